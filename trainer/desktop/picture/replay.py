"""Play a move that was tried: the piece goes to the contact and stops there, stays a moment, and springs back."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Mapping

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import Signal

from trainer.desktop.picture.moving import Moving
from trainer.desktop.picture.view import PumpView
from trainer.session.wrong_move import TriedMove

OUT_S, HOLD_S, BACK_S = 0.8, 1.0, 0.35
NUDGE_PX = 9.0
"""A piece that bears on what is in the way from the start is nudged towards it by this much of the picture."""
NUDGES = 2

Offsets = Mapping[str, npt.NDArray[np.float64]]


class Replay(Moving):
    """Move the pieces of one tried move in a picture; `finished` tells that all is where it was."""

    finished = Signal()

    def __init__(self, view: PumpView, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__(view, clock)
        self._timer.timeout.connect(self.go_on)
        self._tried: TriedMove | None = None
        self._from: Offsets = {}
        self._way_mm = np.zeros(3)
        self._share = 0.0

    @property
    def tried(self) -> TriedMove | None:
        """The move that is being played; None when none is."""
        return self._tried

    def play(self, tried: TriedMove, places: Offsets) -> None:
        """Play a move from where the pieces stand now: `places` (3,) mm from home, by piece."""
        self.stop()
        self._tried, self._from = tried, dict(places)
        self._way_mm = tried.shift_mm
        if tried.is_touching and tried.direction is not None:
            self._way_mm = tried.direction.vector * NUDGE_PX * self._view.camera.mm_per_px
        self._share = 0.0
        self._begin()

    def stop(self) -> None:
        """Put everything back at once."""
        if self._tried is None:
            return
        self._timer.stop()
        self._tried = None
        self._view.set_offsets(self._from)
        self.finished.emit()

    def go_on(self) -> None:
        """Move by the time that has passed, so that a slow machine still shows the right motion."""
        tried = self._tried
        if tried is None:
            return
        past_s = self._clock() - self._since_s
        share = find_nudge(past_s) if tried.is_touching else find_share(past_s)
        if share is None:
            self.stop()
        elif share != self._share and np.any(self._way_mm):
            # While nothing moves nothing is set, so that the full picture can be drawn at the contact.
            self._share = share
            moved = {name: self._from.get(name, np.zeros(3)) for name in tried.moving}
            shift = self._way_mm * share
            self._view.set_offsets(
                {**self._from, **{name: at + shift for name, at in moved.items()}}
            )


def find_share(past_s: float) -> float | None:
    """Find the share of its way at which a piece is: there at an even speed, a hard stop, and a spring back; None at the end."""
    if past_s < OUT_S:
        return past_s / OUT_S
    if past_s < OUT_S + HOLD_S:
        return 1.0
    back = (past_s - OUT_S - HOLD_S) / BACK_S
    return (1.0 - back) ** 2 if back < 1.0 else None


def find_nudge(past_s: float) -> float | None:
    """Find the share of a nudge: twice against it and back, then still; None at the end."""
    if past_s < OUT_S:
        return abs(math.sin(math.pi * NUDGES * past_s / OUT_S))
    return 0.0 if past_s < OUT_S + HOLD_S + BACK_S else None
