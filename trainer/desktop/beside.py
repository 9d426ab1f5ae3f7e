"""What stands beside the picture: one pane at a time, and above it the buttons that choose it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QApplication, QPushButton, QStackedWidget, QVBoxLayout, QWidget

from trainer.desktop.next_focus import can_take_keys, find_nearest
from trainer.desktop.pieces import GAP_PX, MARGIN_PX, make_choice
from trainer.desktop.theme import PALETTE

LINE_PX = 1


class Beside(QWidget):
    """Hold the buttons and the panes; it paints its ground by itself, as a style sheet would reach all panes."""

    def __init__(self, choices: Sequence[QPushButton]) -> None:
        super().__init__()
        self.setObjectName("beside")
        self.panes = _Panes()
        self.choosing = QWidget()
        self.choosing.setObjectName("clear")
        row = make_choice(choices, self, 3)
        row.setContentsMargins(MARGIN_PX, GAP_PX, MARGIN_PX, GAP_PX // 2)
        self.choosing.setLayout(row)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.choosing)
        column.addWidget(self.panes, 1)

    @property
    def parts(self) -> list[QWidget]:
        """What is styled by itself: the buttons, and each pane."""
        panes = [self.panes.widget(number) for number in range(self.panes.count())]
        return [self.choosing, *(pane for pane in panes if pane is not None)]

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the ground, and a line towards the picture."""
        painter = QPainter(self)
        painter.fillRect(event.rect(), PALETTE.paper)
        painter.fillRect(0, 0, LINE_PX, self.height(), PALETTE.rule)
        painter.end()


class _Panes(QStackedWidget):
    """Show one pane: each scrolls, so nobody need ask all of them how high they would be at every width."""

    def hasHeightForWidth(self) -> bool:
        """Be as high as there is room."""
        return False

    def focusNextPrevChild(self, next: bool) -> bool:  # noqa: A002, FBT001 - the name and the flag are Qt's
        """Keep the keys in the pane where the control they were at has gone dead or out of sight.

        Qt would hand them to whatever comes next in the window, which may be the field with the learner's
        name: the next key would write over it, and another person's record would be kept from then on.
        """
        left, pane = QApplication.focusWidget(), self.currentWidget()
        if left is not None and pane is not None and not can_take_keys(left):
            # Where one page of a pane goes before the next has come, the pane itself holds them: Tab goes on from there.
            (find_nearest(left, pane) or pane).setFocus(Qt.FocusReason.OtherFocusReason)
            return True
        return super().focusNextPrevChild(next)
