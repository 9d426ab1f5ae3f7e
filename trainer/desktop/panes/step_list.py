"""A list of steps as they are done one after another: number, what comes off and how, and what must be done before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRect, QSize, Qt
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

LINE_ROLE = Qt.ItemDataRole.UserRole
WRAP = int(Qt.TextFlag.TextWordWrap)
DONE = "\N{CHECK MARK}"
SMALL_SHARE = 0.88
"""Size of what stands below a name, in sizes of the name."""
NUMBER_SHARE = 1.75
"""Room for the number before a name, in heights of letters: "1" before "8 nuts" must not read as 18."""


@dataclass(frozen=True, slots=True)
class StepLine:
    """A line: its number ("" for the goal), what it takes off, how, and what must be done before ("" for nothing)."""

    number: str
    name: str
    way: str
    before: str = ""


class StepList(TallList):
    """Show steps, those done ticked; only the pane around it scrolls."""

    def __init__(self, spoken: str) -> None:
        super().__init__(spoken)
        self.done = 0
        self.setItemDelegate(_StepDelegate(self))

    def fill(self, lines: Sequence[StepLine]) -> None:
        """Fill it with lines, none done."""
        self.clear()
        self.done = 0
        for line in lines:
            item = QListWidgetItem(line.name)
            item.setData(LINE_ROLE, line)
            told = ". ".join(
                text for text in (line.number, line.name, line.way, line.before) if text
            )
            item.setData(Qt.ItemDataRole.AccessibleTextRole, told)
            self.addItem(item)
        self.fit_height()

    def set_done(self, done: int) -> None:
        """Tick so many lines, and go to the next."""
        self.done = done
        self.setCurrentRow(min(done, self.count() - 1))
        self.viewport().update()


class _StepDelegate(QStyledItemDelegate):
    def __init__(self, owner: StepList) -> None:
        super().__init__(owner)
        self._owner = owner

    def _lay_out(self, row: QRect, line: StepLine) -> list[tuple[QRect, QFont, str]]:
        """Place name, way and warning below each other."""
        font = self._owner.font()
        left = row.left() + PAD_PX + round(NUMBER_SHARE * QFontMetrics(font).height())
        top, width = row.top() + PAD_PX, row.right() - PAD_PX - left
        placed = []
        small = make_smaller(font, SMALL_SHARE)
        for text, one in ((line.name, make_heavy(font)), (line.way, small), (line.before, small)):
            if text:
                room = QFontMetrics(one).boundingRect(QRect(left, top, width, 9999), WRAP, text)
                room.setWidth(width)
                placed.append((room, one, text))
                top = room.bottom() + 4
        return placed

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Take as many lines as the texts need."""
        del option
        width = max(self._owner.viewport().width(), 120)
        placed = self._lay_out(QRect(0, 0, width, 0), index.data(LINE_ROLE))
        return QSize(width, placed[-1][0].bottom() + PAD_PX + 1)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one line."""
        painter.save()
        row, line = QRect(option.rect), index.data(LINE_ROLE)
        is_chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        is_done = index.row() < self._owner.done
        if is_chosen:
            painter.fillRect(row, PALETTE.soft)
            painter.fillRect(QRect(row.left(), row.top(), 5, row.height()), PALETTE.accent)
        painter.fillRect(QRect(row.left(), row.bottom(), row.width(), 1), PALETTE.faint)
        placed = self._lay_out(row, line)
        name = placed[0][0]
        painter.setFont(placed[0][1])
        painter.setPen(QPen(PALETTE.accent if is_done else PALETTE.quiet_ink))
        at = QRect(
            row.left() + PAD_PX,
            name.top(),
            QFontMetrics(placed[0][1]).horizontalAdvance("00"),
            name.height(),
        )
        painter.drawText(at, int(Qt.AlignmentFlag.AlignRight), DONE if is_done else line.number)
        for room, font, text in placed:
            painter.setFont(font)
            is_warning = text is line.before
            colour = PALETTE.quiet_ink if is_done or text is line.way else PALETTE.ink
            painter.setPen(PALETTE.in_the_way if is_warning else colour)
            painter.drawText(room, WRAP, text)
        painter.restore()
