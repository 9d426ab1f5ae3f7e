"""What lies over the head or the foot of the picture for a while: the picture neither grows nor shrinks for it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QFrame, QWidget


class OverPicture(QFrame):
    """Lie over a whole edge of the picture, as high as what is told; out of sight at first."""

    def __init__(self, name: str, picture: QWidget, *, at_foot: bool) -> None:
        super().__init__(picture)
        self.setObjectName(name)
        self.setAttribute(Qt.WidgetAttribute.WA_NoMousePropagation)
        self._picture, self._at_foot = picture, at_foot
        picture.installEventFilter(self)
        self.hide()

    def lay_over(self) -> None:
        """Lie over the edge of the picture as it is now, before all else there."""
        width = self._picture.width()
        height = self.heightForWidth(width)
        top = self._picture.height() - height if self._at_foot else 0
        self.setGeometry(0, top, width, height)
        self.raise_()
        self.show()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay at the edge of a picture that gets another size."""
        if event.type() == QEvent.Type.Resize and not self.isHidden():
            self.lay_over()
        return super().eventFilter(watched, event)
