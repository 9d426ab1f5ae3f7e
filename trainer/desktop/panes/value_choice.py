"""A list of values of which some are barred by what else is chosen: they stand in it with the reason, and can't be taken."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import (
    QAbstractItemModel,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QFontMetrics, QKeyEvent, QPainter
from PySide6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from trainer.desktop.letters import make_smaller
from trainer.desktop.pieces import Choice
from trainer.desktop.theme import PALETTE

REASON_ROLE = Qt.ItemDataRole.UserRole + 1
PAD_PX = 7
LEAST_PX = 380
SMALLER = 0.86
"""Size of a reason beside its value's."""
WRAPPED = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft
Index = QModelIndex | QPersistentModelIndex


class ValueChoice(Choice):
    """Choose one value; `barred` tells of one that was tried and can't be had as things are.

    Arrow keys on the closed list pass over barred values; in the opened list every value is reached,
    and a screen reader says of a barred one why.
    """

    barred = Signal(str)
    taken = Signal(str)

    def __init__(self, spoken: str) -> None:
        super().__init__(spoken, least_letters=4)
        self.reasons: Mapping[str, str] = {}
        self._before = ""
        self.setItemDelegate(_Lines(self))
        self.activated.connect(lambda _row: self._take())

    def bar(self, reasons: Mapping[str, str], spoken: Mapping[str, str]) -> None:
        """Bar values by name, each with its reason; `spoken` is what a screen reader says of them."""
        self.reasons = dict(reasons)
        for row, name in enumerate(self.names):
            self.setItemData(row, self.reasons.get(name, ""), REASON_ROLE)
            text = spoken.get(name, self.itemText(row))
            self.setItemData(row, text, Qt.ItemDataRole.AccessibleTextRole)

    def choose(self, name: str) -> None:
        """Choose the line of a name, or the first."""
        super().choose(name)
        self._before = self.name
        self.setToolTip(self.currentText())  # where it is too long for the box

    def _take(self) -> None:
        """Take what a hand has chosen, unless it is barred."""
        name = self.name
        if name in self.reasons:
            super().choose(self._before)
            self.barred.emit(name)
        elif name != self._before:
            self._before = name
            self.setToolTip(self.currentText())
            self.taken.emit(name)

    def showPopup(self) -> None:
        """Open as wide and as high as reasons need to be read, where the screen has room."""
        lines = self.view()
        lines.setMinimumWidth(max(self.width(), LEAST_PX if self.reasons else 0))
        super().showPopup()
        high = sum(lines.sizeHintForRow(row) for row in range(self.count()))
        missing = high - lines.viewport().height()
        if self.reasons and missing > 0:  # Qt counts the lines as if all were of one height
            box, room = lines.window(), self.screen().availableGeometry()
            rect = box.geometry()
            rect.setHeight(min(rect.height() + missing, room.height()))
            rect.moveBottom(min(rect.bottom(), room.bottom()))
            box.setGeometry(rect)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to the next value that can be had."""
        steps = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
        by = steps.get(Qt.Key(event.key()))
        if by is None or event.modifiers() & Qt.KeyboardModifier.AltModifier:
            super().keyPressEvent(event)
            return
        row = self.currentIndex() + by
        while 0 <= row < self.count() and self.names[row] in self.reasons:
            row += by
        if 0 <= row < self.count():
            self.setCurrentIndex(row)
            self._take()


class _Lines(QStyledItemDelegate):
    """Draw a value, and below a barred one why it is."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        reason = str(index.data(REASON_ROLE) or "")
        metrics = QFontMetrics(option.font)
        wide = max(option.rect.width(), LEAST_PX) - 2 * PAD_PX
        high = metrics.height() + 2 * PAD_PX
        if reason:
            high += self._measure(option, reason, wide).height()
        return QSize(wide, high)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        model: QAbstractItemModel = index.model()
        reason = str(model.data(_plain(index), REASON_ROLE) or "")
        rect: QRect = option.rect
        state = option.state
        is_met = bool(state & QStyle.StateFlag.State_Selected)
        painter.save()
        painter.fillRect(rect, PALETTE.soft if is_met else PALETTE.paper)
        inside = rect.adjusted(PAD_PX, PAD_PX, -PAD_PX, -PAD_PX)
        font = option.font
        painter.setFont(font)
        painter.setPen(PALETTE.quiet_ink if reason else PALETTE.ink)
        text = str(index.data(Qt.ItemDataRole.DisplayRole))
        painter.drawText(inside, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop, text)
        if reason:
            high = QFontMetrics(font).height()
            middle = inside.top() + high // 2
            end = inside.left() + QFontMetrics(font).horizontalAdvance(text)
            painter.drawLine(inside.left(), middle, end, middle)  # struck out: not by colour alone
            painter.setFont(make_smaller(font, SMALLER))
            painter.drawText(inside.adjusted(0, high, 0, 0), WRAPPED, reason)
        painter.restore()

    def _measure(self, option: QStyleOptionViewItem, reason: str, wide: int) -> QRect:
        metrics = QFontMetrics(make_smaller(option.font, SMALLER))
        return metrics.boundingRect(QRect(0, 0, wide, 1000), WRAPPED, reason)


def _plain(index: Index) -> QModelIndex:
    return index.model().index(index.row(), index.column())
