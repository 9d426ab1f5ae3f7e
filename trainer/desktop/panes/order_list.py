"""A list of parts that is put in order by dragging or by keys; each line can carry a verdict and its reason."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import Enum

from PySide6.QtCore import (
    QPointF,
    QRect,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QFontMetrics, QKeyEvent, QPainter, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
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


class OrderList(TallList):
    """Hold lines in an order. Alt with the arrows moves the chosen line."""

    changed = Signal()

    def __init__(self, spoken: str) -> None:
        super().__init__(spoken)
        self._verdicts: dict[str, LineVerdict] = {}
        self.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
        self.setDefaultDropAction(Qt.DropAction.MoveAction)
        self.setItemDelegate(_LineDelegate(self))
        self.model().rowsMoved.connect(self._order_changed)
        self.model().rowsInserted.connect(self._order_changed)
        self.setMouseTracking(True)

    def fill(self, names: Sequence[str], texts: Sequence[str]) -> None:
        """Fill it with names (what is answered) and texts (what is read)."""
        self.clear()
        for name, text in zip(names, texts, strict=True):
            item = QListWidgetItem(text)
            item.setData(NAME_ROLE, name)
            self.addItem(item)
        self.setCurrentRow(0)
        self.fit_height()

    def read_names(self) -> list[str]:
        """Read the names from top to bottom."""
        return [str(self.item(row).data(NAME_ROLE)) for row in range(self.count())]

    def set_verdicts(self, verdicts: Mapping[str, LineVerdict]) -> None:
        """Give lines their verdicts, by name."""
        self._verdicts = dict(verdicts)
        for row, name in enumerate(self.read_names()):
            verdict = self._verdicts.get(name)
            told = f"{verdict.word}. {verdict.why}" if verdict else ""
            self.item(row).setData(Qt.ItemDataRole.AccessibleDescriptionRole, told)
        self.fit_height()
        self.viewport().update()

    def find_verdict(self, row: int) -> LineVerdict | None:
        """Find a line's verdict."""
        return self._verdicts.get(str(self.item(row).data(NAME_ROLE)))

    def shift(self, by: int) -> None:
        """Move the chosen line earlier (-1) or later (+1)."""
        row = self.currentRow()
        if row >= 0 and 0 <= row + by < self.count():
            item = self.takeItem(row)
            self.insertItem(row + by, item)
            self.setCurrentRow(row + by)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the chosen line with Alt and an arrow; go through the lines without."""
        ways = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
        key = Qt.Key(event.key())
        if event.modifiers() & Qt.KeyboardModifier.AltModifier and key in ways:
            self.shift(ways[key])
        else:
            super().keyPressEvent(event)

    def _order_changed(self) -> None:
        self.fit_height()
        self.changed.emit()


class _LineDelegate(QStyledItemDelegate):
    """Paint a line: its number, its name, a grip, and under it the reason."""

    def __init__(self, owner: OrderList) -> None:
        super().__init__(owner)
        self._owner = owner

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Take as many lines as the reason needs."""
        del option
        width = max(self._owner.viewport().width(), 120)
        name, why = self._rects(QRect(0, 0, width, 0), index)
        return QSize(width, (why.bottom() if why.height() else name.bottom()) + PAD_PX + 1)

    def _rects(self, row: QRect, index: Index) -> tuple[QRect, QRect]:
        letters = QFontMetrics(self._owner.font())
        left = row.left() + PAD_PX + letters.horizontalAdvance("00") + PAD_PX
        right = row.right() - PAD_PX - round(1.2 * letters.height())
        text = str(index.data(Qt.ItemDataRole.DisplayRole))
        name = QFontMetrics(make_heavy(self._owner.font())).boundingRect(
            QRect(left, row.top() + PAD_PX, right - left, 999), WRAP, text
        )
        why = QRect(left, name.bottom() + 4, right - left, 0)
        verdict = self._owner.find_verdict(index.row())
        if verdict and verdict.why:
            reason = QFontMetrics(make_smaller(self._owner.font(), WHY_SHARE))
            why = reason.boundingRect(
                QRect(left, name.bottom() + 4, right - left, 9999), WRAP, verdict.why
            )
        return name, why

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one line."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        row, font = option.rect, self._owner.font()
        is_chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        verdict = self._owner.find_verdict(index.row())
        painter.fillRect(row, PALETTE.soft if is_chosen else PALETTE.field)
        painter.fillRect(QRect(row.left(), row.bottom(), row.width(), 1), PALETTE.faint)
        if is_chosen:
            painter.fillRect(QRect(row.left(), row.top(), 5, row.height()), PALETTE.accent)
        name, why = self._rects(row, index)
        painter.setFont(make_heavy(font))
        painter.setPen(PALETTE.quiet_ink)
        letters = QFontMetrics(font)
        number = QRect(
            row.left() + PAD_PX, name.top(), letters.horizontalAdvance("00"), name.height()
        )
        painter.drawText(number, Qt.AlignmentFlag.AlignRight, str(index.row() + 1))
        painter.setPen(PALETTE.ink)
        painter.drawText(name, WRAP, str(index.data(Qt.ItemDataRole.DisplayRole)))
        side = round(1.1 * letters.height())
        sign = QRectF(row.right() - PAD_PX - side, name.top(), side, side)
        if verdict:
            painter.setPen(getattr(PALETTE, COLOURS[verdict.state]))
            painter.drawText(sign, Qt.AlignmentFlag.AlignCenter, verdict.state.value)
            painter.setFont(make_smaller(font, WHY_SHARE))
            painter.drawText(why, WRAP, verdict.why)
        else:
            _paint_grip(painter, sign)
        painter.restore()


def _paint_grip(painter: QPainter, where: QRectF) -> None:
    painter.setPen(QPen(PALETTE.rule, 2))
    for share in (0.3, 0.5, 0.7):
        y = where.top() + share * where.height()
        painter.drawLine(QPointF(where.left() + 3, y), QPointF(where.right() - 3, y))
