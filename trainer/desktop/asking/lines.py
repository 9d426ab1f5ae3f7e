"""Lines that are answered with: what stands before each, its text, a sign behind it, and once it is marked the reason under it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import (
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
)

from trainer.desktop.letters import make_heavy, make_smaller
from trainer.desktop.panes.tall_list import PAD_PX, Index, TallList
from trainer.desktop.theme import PALETTE

NAME_ROLE = Qt.ItemDataRole.UserRole
WRAP = Qt.TextFlag.TextWordWrap
WHY_SHARE = 0.88
"""Size of a reason, in sizes of the name above it."""


class LineState(Enum):
    """What became of a line when it was marked."""

    FREE = "✓"
    REFUSED = "✗"
    FOLLOWS = "↳"


@dataclass(frozen=True, slots=True)
class LineVerdict:
    """A line's verdict, a word for it, and the reason in a sentence."""

    state: LineState
    word: str
    why: str = ""


COLOURS = {
    LineState.FREE: "accent",
    LineState.REFUSED: "in_the_way",
    LineState.FOLLOWS: "quiet_ink",
}
"""What a line's verdict is written in, by names of the palette: the look may change."""


class LineList(TallList):
    """Hold lines, each with a name (what is answered) and a text (what is read)."""

    is_heavy = True
    """Is the text of a line a name, in heavy letters? Sentences are easier to read in plain ones."""

    def __init__(self, spoken: str) -> None:
        super().__init__(spoken)
        self._verdicts: dict[str, LineVerdict] = {}
        self.setItemDelegate(_LineDelegate(self))
        self.setMouseTracking(True)

    def fill(self, names: Sequence[str], texts: Sequence[str]) -> None:
        """Fill it with names and texts."""
        self.clear()
        for name, text in zip(names, texts, strict=True):
            item = QListWidgetItem(text)
            item.setData(NAME_ROLE, name)
            self.addItem(item)
        self.setCurrentRow(0)
        self.fit_height()

    def read_names(self) -> list[str]:
        """Read the names from top to bottom."""
        return [self.name_at(row) for row in range(self.count())]

    def name_at(self, row: int) -> str:
        """Give the name of a line; "" where there is none."""
        return str(self.item(row).data(NAME_ROLE)) if 0 <= row < self.count() else ""

    @property
    def chosen(self) -> str:
        """The name of the line that is gone to."""
        return self.name_at(self.currentRow())

    def set_verdicts(self, verdicts: Mapping[str, LineVerdict]) -> None:
        """Give lines their verdicts, by name."""
        self._verdicts = dict(verdicts)
        for row, name in enumerate(self.read_names()):
            verdict = self._verdicts.get(name)
            told = f"{verdict.word}. {verdict.why}" if verdict else ""
            self.item(row).setData(Qt.ItemDataRole.AccessibleDescriptionRole, told)
        self.fit_height()
        self.viewport().update()

    @property
    def has_verdicts(self) -> bool:
        """Has it been marked?"""
        return bool(self._verdicts)

    def find_verdict(self, row: int) -> LineVerdict | None:
        """Find a line's verdict."""
        return self._verdicts.get(self.name_at(row))

    @property
    def is_place_shown(self) -> bool:
        """Is it to be seen which line is gone to?"""
        return True

    def find_lead(self, row: int) -> str:
        """Find what stands before a line."""
        return str(row + 1)

    def find_lead_px(self) -> int:
        """Find how wide that is."""
        return QFontMetrics(self.font()).horizontalAdvance("00")

    def paint_lead(self, painter: QPainter, where: QRect, row: int) -> None:
        """Paint what stands before a line."""
        painter.setPen(PALETTE.quiet_ink)
        painter.drawText(where, Qt.AlignmentFlag.AlignRight, self.find_lead(row))

    def paint_sign(self, painter: QPainter, where: QRectF, row: int) -> None:
        """Paint what stands behind a line that is not marked yet."""

    def find_font(self, row: int) -> QFont:
        """Find the letters of a line."""
        del row
        return make_heavy(self.font()) if self.is_heavy else self.font()


class _LineDelegate(QStyledItemDelegate):
    """Paint a line, and under it the reason."""

    def __init__(self, owner: LineList) -> None:
        super().__init__(owner)
        self._owner = owner

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Take as many lines as the reason needs."""
        del option
        width = max(self._owner.viewport().width(), 120)
        name, why = self._rects(QRect(0, 0, width, 0), index)
        return QSize(width, (why.bottom() if why.height() else name.bottom()) + PAD_PX + 1)

    def _rects(self, row: QRect, index: Index) -> tuple[QRect, QRect]:
        owner = self._owner
        letters = QFontMetrics(owner.font())
        left = row.left() + PAD_PX + owner.find_lead_px() + PAD_PX
        right = row.right() - PAD_PX - round(1.2 * letters.height())
        text = str(index.data(Qt.ItemDataRole.DisplayRole))
        name = QFontMetrics(owner.find_font(index.row())).boundingRect(
            QRect(left, row.top() + PAD_PX, right - left, 9999), WRAP, text
        )
        why = QRect(left, name.bottom() + 4, right - left, 0)
        verdict = owner.find_verdict(index.row())
        if verdict and verdict.why:
            reason = QFontMetrics(make_smaller(owner.font(), WHY_SHARE))
            why = reason.boundingRect(
                QRect(left, name.bottom() + 4, right - left, 9999), WRAP, verdict.why
            )
        return name, why

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one line."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        owner, row = self._owner, option.rect
        is_chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        is_gone_to = is_chosen and owner.is_place_shown
        verdict = owner.find_verdict(index.row())
        painter.fillRect(row, PALETTE.soft if is_gone_to else PALETTE.field)
        if index.row() < owner.count() - 1:
            painter.fillRect(QRect(row.left(), row.bottom(), row.width(), 1), PALETTE.faint)
        if is_gone_to:
            painter.fillRect(QRect(row.left(), row.top(), 5, row.height()), PALETTE.accent)
        name, why = self._rects(row, index)
        font = owner.find_font(index.row())
        painter.setFont(font)
        high = QFontMetrics(font).height()
        lead = QRect(row.left() + PAD_PX, name.top(), owner.find_lead_px(), high)
        owner.paint_lead(painter, lead, index.row())
        painter.setFont(font)
        painter.setPen(PALETTE.ink)
        painter.drawText(name, WRAP, str(index.data(Qt.ItemDataRole.DisplayRole)))
        side = round(1.1 * QFontMetrics(owner.font()).height())
        sign = QRectF(row.right() - PAD_PX - side, name.top(), side, side)
        if verdict:
            painter.setFont(make_heavy(owner.font()))
            painter.setPen(getattr(PALETTE, COLOURS[verdict.state]))
            painter.drawText(sign, Qt.AlignmentFlag.AlignCenter, verdict.state.value)
            painter.setFont(make_smaller(owner.font(), WHY_SHARE))
            painter.drawText(why, WRAP, verdict.why)
        else:
            owner.paint_sign(painter, sign, index.row())
        painter.restore()


def paint_grip(painter: QPainter, where: QRectF) -> None:
    """Paint what says that a line can be taken hold of."""
    painter.setPen(QPen(PALETTE.rule, 2))
    for share in (0.3, 0.5, 0.7):
        y = where.top() + share * where.height()
        painter.drawLine(QPointF(where.left() + 3, y), QPointF(where.right() - 3, y))
