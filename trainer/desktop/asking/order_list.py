"""A list of lines that is put in order by dragging or by keys; lines that do not belong can be left out of it."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from PySide6.QtCore import QRect, QRectF, Qt, Signal
from PySide6.QtGui import QFont, QKeyEvent, QPainter
from PySide6.QtWidgets import QAbstractItemView

from trainer.desktop.asking.lines import LineList, LineState, LineVerdict, paint_grip

__all__ = ["LineState", "LineVerdict", "OrderList"]
LEFT_OUT = "–"


class OrderList(LineList):
    """Hold lines in an order. Alt with the arrows moves the chosen line, Delete leaves it out or takes it in again.

    Lines that are left out lie below all others.
    """

    changed = Signal()

    def __init__(self, spoken: str, *, can_leave_out: bool = False) -> None:
        super().__init__(spoken)
        self._can_leave_out, self._is_filling = can_leave_out, False
        self._left_out: set[str] = set()
        self.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
        self.setDefaultDropAction(Qt.DropAction.MoveAction)
        self.model().rowsMoved.connect(self._order_changed)
        self.model().rowsInserted.connect(self._order_changed)

    def fill(self, names: Sequence[str], texts: Sequence[str]) -> None:
        """Fill it with names (what is answered) and texts (what is read); all belong."""
        self._left_out.clear()
        self._is_filling = True  # its height is found once, and not at every line
        super().fill(names, texts)
        self._is_filling = False
        self._order_changed()

    @property
    def kept(self) -> list[str]:
        """The names of the lines that belong, from top to bottom."""
        return [name for name in self.read_names() if name not in self._left_out]

    def leave_out(self, names: Collection[str]) -> None:
        """Leave lines out, all others in."""
        self._left_out = set(names)
        self._order_changed()

    def toggle(self) -> None:
        """Leave the chosen line out, or take it in again at the end of those that belong."""
        name, row = self.chosen, self.currentRow()
        if not self._can_leave_out or row < 0:
            return
        is_in = name not in self._left_out
        self._left_out ^= {name}
        item = self.takeItem(row)
        to = self.count() if is_in else len(self.kept)
        self.insertItem(to, item)
        self.setCurrentRow(min(row, self.count() - 1) if is_in else to)
        self.changed.emit()

    def shift(self, by: int) -> None:
        """Move the chosen line earlier (-1) or later (+1)."""
        row = self.currentRow()
        if row >= 0 and 0 <= row + by < self.count():
            item = self.takeItem(row)
            self.insertItem(row + by, item)
            self.setCurrentRow(row + by)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the chosen line with Alt and an arrow, leave it out with Delete; go through the lines without."""
        ways = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
        key = Qt.Key(event.key())
        if event.modifiers() & Qt.KeyboardModifier.AltModifier and key in ways:
            self.shift(ways[key])
        elif key == Qt.Key.Key_Delete and self._can_leave_out:
            self.toggle()
        else:
            super().keyPressEvent(event)

    def find_lead(self, row: int) -> str:
        """Give its place among those that belong."""
        name = self.name_at(row)
        return LEFT_OUT if name in self._left_out else str(self.kept.index(name) + 1)

    def find_font(self, row: int) -> QFont:
        """Strike out what is left out: not by colour alone."""
        font = super().find_font(row)
        font.setStrikeOut(self.name_at(row) in self._left_out)
        return font

    def paint_lead(self, painter: QPainter, where: QRect, row: int) -> None:
        """Paint its place, never struck out."""
        painter.setFont(super().find_font(row))
        super().paint_lead(painter, where, row)

    def paint_sign(self, painter: QPainter, where: QRectF, row: int) -> None:
        """Show that it can be taken hold of."""
        del row
        paint_grip(painter, where)

    def _order_changed(self) -> None:
        if self._is_filling:
            return
        self.fit_height()
        self.viewport().update()
        self.changed.emit()
