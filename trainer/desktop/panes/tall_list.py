"""A list that is as tall as its lines, however often these wrap, so that only the pane around it scrolls."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QListWidget

Index = QModelIndex | QPersistentModelIndex
PAD_PX = 9


class TallList(QListWidget):
    """Hold lines of different heights; `fit_height` is called whenever their texts have changed."""

    def __init__(self, spoken: str) -> None:
        super().__init__()
        self.setAccessibleName(spoken)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap the lines anew."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.fit_height()

    def fit_height(self) -> None:
        """Be as tall as the lines."""
        self.scheduleDelayedItemsLayout()
        tall = sum(self.sizeHintForRow(row) for row in range(self.count()))
        self.setFixedHeight(tall + 2 * self.frameWidth() + 4)
