"""Let pieces glide from where they stand to where they belong, in a moment that the eye can follow."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import Signal

from trainer.desktop.picture.moving import Moving, ease
from trainer.desktop.picture.view import PumpView

GLIDE_S = 0.45

Offsets = Mapping[str, npt.NDArray[np.float64]]


class Gliding(Moving):
    """Glide pieces in a picture; `finished` tells that all are there."""

    finished = Signal()

    def __init__(self, view: PumpView, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__(view, clock)
        self._timer.timeout.connect(self.go_on)
        self._from: Offsets = {}
        self._to: Offsets = {}

    def glide_to(self, places: Offsets) -> None:
        """Begin to glide to places, (3,) mm from home by piece, from wherever the pieces stand now."""
        self._from, self._to = dict(self._view.offsets), dict(places)
        self._begin()

    def stop(self) -> None:
        """Leave all where it stands now."""
        self._timer.stop()

    def go_on(self) -> None:
        """Move by the time that has passed, so that a slow machine still shows the right motion."""
        share = min((self._clock() - self._since_s) / GLIDE_S, 1.0)
        eased = ease(share)
        home = np.zeros(3)
        if share >= 1.0:
            self._timer.stop()
            self._view.set_offsets(self._to)
            self.finished.emit()
            return
        self._view.set_offsets(
            {
                name: self._from.get(name, home) * (1.0 - eased) + there * eased
                for name, there in self._to.items()
            }
        )
