"""What stands above the picture: from where it is seen, and below that what is done with it."""

from __future__ import annotations

from collections.abc import Collection

from PySide6.QtWidgets import QButtonGroup, QPushButton, QVBoxLayout, QWidget

from trainer.desktop.flow import Flow
from trainer.desktop.pieces import GAP_PX, MARGIN_PX, let_up


class ToolsAbove(QWidget):
    """Two sets of buttons, each in a row of its own that goes on in another where it is full.

    `viewing` and `tools` take what the modules of `doing` add to the one and the other.
    """

    def __init__(
        self, views: Collection[QPushButton], fit: QPushButton, section: QPushButton
    ) -> None:
        super().__init__()
        self.setObjectName("tools")
        self._group = QButtonGroup(self)
        self.viewing, self.tools = Flow(3, GAP_PX // 2), Flow(3, GAP_PX // 2)
        self.viewing.setContentsMargins(MARGIN_PX, GAP_PX, GAP_PX, GAP_PX // 2)
        self.tools.setContentsMargins(MARGIN_PX, 0, GAP_PX, GAP_PX // 2)
        for button in views:
            button.setCheckable(True)
            self._group.addButton(button)
            self.viewing.addWidget(button)
        self.viewing.addWidget(fit)
        self.tools.addWidget(section)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(self.viewing)
        column.addLayout(self.tools)

    def forget_view(self) -> None:
        """Show that the eye stands at none of the standing views."""
        let_up(self._group)
