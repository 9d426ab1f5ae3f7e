"""A band of controls that takes no more of the window than it may, and scrolls beyond that."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QSize, Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractButton, QScrollArea, QSizePolicy, QWidget

MOST_PX = 10_000
AIR_PX = 3
"""How far above a row that would be cut through it ends."""


class Band(QScrollArea):
    """Be as high as what is in it needs, up to `most_px`; where the window has no room for that, as low as `least_px`."""

    def __init__(self, inside: QWidget) -> None:
        super().__init__()
        self._most_px = self._least_px = MOST_PX
        self._wanted_px = 0
        # What is in it may wrap otherwise once it has its place.
        self._settled = QTimer(self, singleShot=True, interval=0)
        self._settled.timeout.connect(self._fit)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Maximum)
        self.setWidget(inside)
        inside.installEventFilter(self)

    def set_most(self, most_px: int, least_px: int = MOST_PX) -> None:
        """Set how high it may be, and how low it may become where there is no room."""
        self._most_px, self._least_px = most_px, least_px
        self._fit()

    def sizeHint(self) -> QSize:
        """Like to be as high as it may."""
        return QSize(0, self.maximumHeight())

    def minimumSizeHint(self) -> QSize:
        """Be as narrow as the layout likes."""
        return QSize(0, self.minimumHeight())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap anew."""
        super().resizeEvent(event)
        self._fit()
        self._show_bar()

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
        wanted = layout.heightForWidth(self.width())
        if wanted < 0:
            wanted = layout.sizeHint().height()
        self._wanted_px = wanted
        high = wanted if wanted <= self._most_px else self._find_whole_rows(self._most_px)
        low = min(high, self._least_px)
        if (self.minimumHeight(), self.maximumHeight()) != (low, high):
            self.setMinimumHeight(low)
            self.setMaximumHeight(high)
            self.updateGeometry()
        self._show_bar()

    def _find_whole_rows(self, most_px: int) -> int:
        """Find how high it is where no row of buttons is cut through: it ends above the row that would be."""
        inside = self.widget()
        assert inside is not None
        buttons = inside.findChildren(QAbstractButton)
        tops = {
            one.mapTo(inside, one.rect().topLeft()).y(): one.height()
            for one in buttons
            if one.isVisible()
        }
        cut = [top - AIR_PX for top, high in tops.items() if top < most_px < top + high]
        return min((end for end in cut if end > AIR_PX), default=most_px)

    def _show_bar(self) -> None:
        needs_bar = self._wanted_px > min(self._most_px, max(self.height(), 1))
        policy = (
            Qt.ScrollBarPolicy.ScrollBarAlwaysOn
            if needs_bar
            else Qt.ScrollBarPolicy.ScrollBarAlwaysOff
        )
        self.setVerticalScrollBarPolicy(policy)
