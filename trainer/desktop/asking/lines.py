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
LONG_LETTERS = 44
"""Texts longer than this are sentences, which are not written in heavy letters."""
BAR_PX = 3
"""What stands beside a reason, in the colour of its verdict: a whole paragraph in that colour is hard to read."""
MOST_KNOWN = 2_000
"""Of so many lines it is remembered where their texts stand, before it is found anew."""


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

    may_be_heavy = True
    """Are names written in heavy letters? Sentences never are."""

    def __init__(self, spoken: str) -> None:
        super().__init__(spoken)
        self.is_heavy = self.may_be_heavy
        self._verdicts: dict[str, LineVerdict] = {}
        self._names: list[str] | None = None
        """From top to bottom, until a line comes, goes, moves or changes: with very many it takes a while to ask for them."""
        model = self.model()
        for changed in (
            model.rowsInserted,
            model.rowsRemoved,
            model.rowsMoved,
            model.dataChanged,
            model.modelReset,
        ):
            changed.connect(self._forget_names)
        self.setItemDelegate(_LineDelegate(self))
        self.setMouseTracking(True)

    def fill(self, names: Sequence[str], texts: Sequence[str]) -> None:
        """Fill it with names and texts."""
        is_short = max(map(len, texts), default=0) <= LONG_LETTERS
        self.is_heavy = self.may_be_heavy and is_short
        self.clear()
        for name, text in zip(names, texts, strict=True):
            item = QListWidgetItem(text)
            item.setData(NAME_ROLE, name)
            self.addItem(item)
        self.setCurrentRow(0)
        self.fit_height()

    def read_names(self) -> list[str]:
        """Read the names from top to bottom."""
        return list(self._find_names())

    def name_at(self, row: int) -> str:
        """Give the name of a line; "" where there is none."""
        names = self._find_names()
        return names[row] if 0 <= row < len(names) else ""

    def _find_names(self) -> list[str]:
        if self._names is None:
            rows = range(self.count())
            self._names = [str(self.item(row).data(NAME_ROLE)) for row in rows]
        return self._names

    def _forget_names(self) -> None:
        self._names = None

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
        self._known: dict[tuple[object, ...], tuple[QRect, QRect]] = {}

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Take as many lines as the reason needs."""
        del option
        width = max(self._owner.viewport().width(), 120)
        name, why = self._rects(QRect(0, 0, width, 0), index)
        return QSize(width, (why.bottom() if why.height() else name.bottom()) + PAD_PX + 1)

    def _rects(self, row: QRect, index: Index) -> tuple[QRect, QRect]:
        """Find where the text of a line stands, and its reason."""
        owner = self._owner
        text = str(index.data(Qt.ItemDataRole.DisplayRole))
        verdict = owner.find_verdict(index.row())
        reason = verdict.why if verdict else ""
        font, lead_px = owner.find_font(index.row()), owner.find_lead_px()
        key = (text, reason, row.width(), lead_px, font.key(), owner.font().key())
        if key not in self._known:
            if len(self._known) >= MOST_KNOWN:
                self._known.clear()
            self._known[key] = self._wrap(text, reason, row.width(), lead_px, font)
        name, why = self._known[key]
        return name.translated(row.topLeft()), why.translated(row.topLeft())

    def _wrap(
        self, text: str, reason: str, wide_px: int, lead_px: int, font: QFont
    ) -> tuple[QRect, QRect]:
        usual = self._owner.font()
        left = PAD_PX + lead_px + PAD_PX
        wide = wide_px - 1 - PAD_PX - round(1.2 * QFontMetrics(usual).height()) - left
        room = QRect(left, PAD_PX, wide, 9999)
        name = QFontMetrics(font).boundingRect(room, WRAP, text)
        room.moveTop(name.bottom() + 4)
        if not reason:
            return name, QRect(left, room.top(), wide, 0)
        letters = QFontMetrics(make_smaller(usual, WHY_SHARE))
        return name, letters.boundingRect(room, WRAP, reason)

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
            colour = getattr(PALETTE, COLOURS[verdict.state])
            painter.setFont(make_heavy(owner.font()))
            painter.setPen(colour)
            painter.drawText(sign, Qt.AlignmentFlag.AlignCenter, verdict.state.value)
            if verdict.why:
                bar = QRect(why.left() - PAD_PX, why.top() + 2, BAR_PX, why.height() - 2)
                painter.fillRect(bar, colour)
            painter.setFont(make_smaller(owner.font(), WHY_SHARE))
            painter.setPen(PALETTE.quiet_ink)
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
