"""Style the window part by part: all of its thousand widgets at one go would hold its thread for a quarter of a second."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QChildEvent, QCoreApplication, QEvent, QObject, QTimer
from PySide6.QtWidgets import QWidget

from trainer.desktop.signs import draw_signs, fit_signs
from trainer.desktop.theme import Sizes, make_style_sheet

if TYPE_CHECKING:
    from trainer.desktop.window_frame import WindowFrame

SIGN_PX = 16
MOST_WIDGETS = 60
"""Widgets that are styled and laid out in one go; a part with more is one go by itself."""
LATER_MS = 2000
MOST_WAITS = 5
"""After so long panes out of sight are styled; while the first picture is still to come, only after so many times as long."""


class Styling(QObject):
    """Give each part of the window its style: what is seen first, all of it before any of it is painted.

    Panes out of sight follow when there is time, or when they are shown. Neither the window nor what holds
    the panes has a style sheet of its own: it would reach everything that lies in it.
    """

    def __init__(self, window: WindowFrame) -> None:
        super().__init__(window)
        self._window = window
        self._sheet = self._picture_sheet = ""
        self._sizes = Sizes()
        self._waits = 0
        self._next = QTimer(self, singleShot=True, interval=0)
        self._next.timeout.connect(self._go_on)
        window.installEventFilter(self)
        window.panes.currentChanged.connect(self._style_shown)

    @property
    def is_under_way(self) -> bool:
        """Is there a part that does not look yet as it shall?"""
        return self._next.isActive()

    def style(self, sizes: Sizes, letters_px: int, *, anew: bool) -> None:
        """Style all for some sizes, in the colours of now; what is seen of a window that is about to be shown at once.

        Args:
            sizes: of all letters.
            letters_px: height of those over the picture, which follow the window's height.
            anew: whether anything but these last may be another than before.
        """
        self._picture_sheet = f"#picture {{ font-size: {letters_px}px; }}"
        window = self._window
        if anew:
            self._sizes, self._sheet = sizes, make_style_sheet(sizes)
            if window.isVisible():
                window.setUpdatesEnabled(False)
                self._next.start(0)
                return
            for part in self._find_stale():
                if part.isVisibleTo(window):
                    self.style_part(part)
            self._next.start(LATER_MS)
        elif not self.is_under_way:
            self.style_part(window.view)

    def style_part(self, part: QWidget) -> None:
        """Style one part at once, if it is not styled so already."""
        sheet = self._find_sheet(part)
        if part.styleSheet() == sheet:
            return
        part.setStyleSheet(sheet)
        draw_signs(part)
        fit_signs(part, self._sizes.px(SIGN_PX))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Style what is laid into the window, or opened over it, later than all else."""
        if event.type() is QEvent.Type.ChildPolished and self._sheet:
            child = event.child() if isinstance(event, QChildEvent) else None
            if isinstance(child, QWidget) and child is not self._window.side:
                self.style_part(child)
        return super().eventFilter(watched, event)

    def _style_shown(self) -> None:
        shown = self._window.panes.currentWidget()
        if shown is not None and self._sheet:
            self.style_part(shown)

    def _find_sheet(self, part: QWidget) -> str:
        return self._sheet + self._picture_sheet if part is self._window.view else self._sheet

    def _find_stale(self) -> list[QWidget]:
        """Find the parts that do not look yet as they shall, what is seen first."""
        window = self._window
        around = [one for one in window.children() if isinstance(one, QWidget)]
        parts = [*(one for one in around if one is not window.side), *window.side.parts]
        stale = [part for part in parts if part.styleSheet() != self._find_sheet(part)]
        return sorted(stale, key=lambda part: not part.isVisible())

    def _go_on(self) -> None:
        stale = self._find_stale()
        seen = [part for part in stale if part.isVisible()]
        if not seen and not self._window.view.has_pump and self._waits < MOST_WAITS:
            self._waits += 1
            self._next.start(LATER_MS)
            return
        room = MOST_WIDGETS
        for part in seen or stale:
            many = len(part.findChildren(QWidget))
            if room < MOST_WIDGETS and many > room:
                break
            room -= many
            self.style_part(part)
        left = self._find_stale()
        if not any(part.isVisible() for part in left) and not self._window.updatesEnabled():
            self._window.setUpdatesEnabled(True)
            # A window whose size changed meanwhile still takes itself for one that is being resized, and would drop
            # all that asks to be painted from now on, for ever: it is asked to paint itself by name.
            QCoreApplication.postEvent(self._window, QEvent(QEvent.Type.UpdateRequest))
            self._window.view.fit_to_size()
        if left:
            self._next.start(0)
