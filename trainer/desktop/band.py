"""A band of controls that takes no more of the window than it may, and scrolls beyond that."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QScrollArea, QSizePolicy, QWidget


class Band(QScrollArea):
    """Be as high as what is in it needs, up to `most_px`."""

    def __init__(self, inside: QWidget) -> None:
        super().__init__()
        self._most_px = 10_000
        # What is in it may wrap otherwise once it has its place.
        self._settled = QTimer(self, singleShot=True, interval=0)
        self._settled.timeout.connect(self._fit)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setWidget(inside)
        inside.installEventFilter(self)

    def set_most(self, most_px: int) -> None:
        """Set how high it may be."""
        self._most_px = most_px
        self._fit()

    def minimumSizeHint(self) -> QSize:
        """Be as narrow as the layout likes."""
        return QSize(0, self.minimumHeight())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap anew."""
        super().resizeEvent(event)
        self._fit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow what is added, hidden or made larger."""
        if event.type() is QEvent.Type.LayoutRequest:
            self._fit()
            self._settled.start()
        return super().eventFilter(watched, event)

    def _fit(self) -> None:
        inside = self.widget()
        layout = inside.layout() if inside is not None else None
        if layout is None:
            return
        layout.invalidate()
        wanted = layout.heightForWidth(self.width())
        if wanted < 0:
            wanted = layout.sizeHint().height()
        high = min(wanted, self._most_px)
        if (self.minimumHeight(), self.maximumHeight()) != (high, high):
            self.setFixedHeight(high)
        needs_bar = wanted > self._most_px
        policy = (
            Qt.ScrollBarPolicy.ScrollBarAlwaysOn
            if needs_bar
            else Qt.ScrollBarPolicy.ScrollBarAlwaysOff
        )
        self.setVerticalScrollBarPolicy(policy)
