"""What moves in the picture by itself: frame by frame, by the time that has passed, so that a slow machine shows the right motion."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

if TYPE_CHECKING:
    from trainer.desktop.picture.view import PumpView

FRAME_MS = 16


class Moving(QObject):
    """Move something in a picture: each kind says what the timer does at a frame, and stops it at the end."""

    def __init__(self, view: PumpView, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__(view)
        self._view, self._clock = view, clock
        self._since_s = 0.0
        self._timer = QTimer(self, interval=FRAME_MS)

    @property
    def is_under_way(self) -> bool:
        """Is anything still moving?"""
        return self._timer.isActive()

    def _begin(self) -> None:
        """Count the time from now on."""
        self._since_s = self._clock()
        self._timer.start()


def ease(share: float) -> float:
    """Give the share of a way (0 to 1) that is gone at a share of its time: it begins and ends gently."""
    return share * share * (3.0 - 2.0 * share)
