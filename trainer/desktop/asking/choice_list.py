"""A list of choices, each with its letter, of which one or several are taken by a click, by Space or by the letter."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from string import ascii_lowercase

from PySide6.QtCore import QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QFontMetrics, QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QAbstractItemView

from trainer.desktop.asking.lines import LineList
from trainer.desktop.panes.tall_list import PAD_PX
from trainer.desktop.theme import PALETTE

RIM_PX = 2.0


class ChoiceList(LineList):
    """Take one line, or with `takes_several` any number. `changed` comes when a hand has taken or left one."""

    changed = Signal()

    def __init__(self, spoken: str, *, takes_several: bool) -> None:
        super().__init__(spoken)
        self._takes_several = takes_several
        self._taken: set[str] = set()
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)

    def fill(self, names: Sequence[str], texts: Sequence[str]) -> None:
        """Fill it with names (what is answered) and texts (what is read); none is taken."""
        self._taken.clear()
        super().fill(names, texts)
        self.take(())

    @property
    def taken(self) -> list[str]:
        """The names of the lines that are taken, from top to bottom."""
        return [name for name in self.read_names() if name in self._taken]

    def take(self, names: Collection[str]) -> None:
        """Take these lines and no others."""
        self._taken = set(names)
        for row, name in enumerate(self.read_names()):
            checked = Qt.CheckState.Checked if name in self._taken else Qt.CheckState.Unchecked
            self.item(row).setData(Qt.ItemDataRole.CheckStateRole, checked)
        self.viewport().update()

    def toggle(self, row: int) -> None:
        """Take a line; of several one that is taken is left again."""
        name = self.name_at(row)
        if not name:
            return
        self.setCurrentRow(row)
        self.take(self._taken ^ {name} if self._takes_several else {name})
        self.changed.emit()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the line that is clicked."""
        super().mousePressEvent(event)
        if event.button() == Qt.MouseButton.LeftButton:
            self.toggle(self.indexAt(event.position().toPoint()).row())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take a line by its letter or, once it is gone to, by Space."""
        letter = event.text().lower()
        if event.key() == Qt.Key.Key_Space:
            self.toggle(self.currentRow())
        elif letter and not event.modifiers() and letter in ascii_lowercase[: self.count()]:
            self.toggle(ascii_lowercase.index(letter))
        else:
            super().keyPressEvent(event)

    @property
    def is_place_shown(self) -> bool:
        """Where no key is pressed a line that is gone to would look as if it were taken."""
        return self.hasFocus() or self.has_verdicts

    def find_lead(self, row: int) -> str:
        """Give its letter."""
        return ascii_lowercase[row]

    def find_lead_px(self) -> int:
        """Find room for the letter and what it is taken by."""
        letters = QFontMetrics(self.font())
        return letters.horizontalAdvance("m") + PAD_PX + self._find_side_px()

    def _find_side_px(self) -> int:
        return round(0.8 * QFontMetrics(self.font()).height())

    def paint_lead(self, painter: QPainter, where: QRect, row: int) -> None:
        """Paint a ring, or a box where several can be taken, filled once it is; and the letter."""
        side = self._find_side_px()
        is_taken = self.name_at(row) in self._taken
        top = where.top() + (where.height() - side) / 2
        mark = QRectF(where.left(), top, side, side).adjusted(1, 1, -1, -1)
        painter.setPen(QPen(PALETTE.accent if is_taken else PALETTE.quiet_ink, RIM_PX))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        inner = mark.adjusted(4, 4, -4, -4)
        if self._takes_several:
            painter.drawRect(mark)
            if is_taken:
                corners = ((0.0, 0.5), (0.38, 0.95), (1.0, 0.05))
                hook = [
                    QPointF(inner.left() + x * inner.width(), inner.top() + y * inner.height())
                    for x, y in corners
                ]
                painter.setPen(QPen(PALETTE.accent, 1.5 * RIM_PX))
                painter.drawPolyline(hook)
        else:
            painter.drawEllipse(mark)
            if is_taken:
                painter.setBrush(PALETTE.accent)
                painter.drawEllipse(inner)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(PALETTE.quiet_ink)
        painter.drawText(where, Qt.AlignmentFlag.AlignRight, self.find_lead(row))
