"""A small button in the corner of a painted widget that asks for the proof of what it shows."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtWidgets import QPushButton, QWidget

RIM_PX = 4


class ProofLink(QPushButton):
    """Keep to the lower right corner of its parent."""

    def __init__(
        self, parent: QWidget, text: str, spoken: str, asked: Callable[[], object]
    ) -> None:
        super().__init__(text, parent)
        self.setObjectName("link")
        self.setAccessibleName(spoken)
        self.setToolTip(spoken)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.clicked.connect(lambda _checked=False: asked())
        self._shown_on = parent
        parent.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Go along when the parent gets another size or other letters."""
        if event.type() in (QEvent.Type.Resize, QEvent.Type.Show, QEvent.Type.FontChange):
            self.adjustSize()
            corner = self._shown_on.rect().bottomRight()
            self.move(corner - self.rect().bottomRight() - QPoint(RIM_PX, RIM_PX))
        return super().eventFilter(watched, event)
