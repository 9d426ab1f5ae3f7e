"""Play a move: what was tried goes to the contact, stays a moment and springs back; what a step moves comes off or on."""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Mapping

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import Signal

from trainer.desktop.picture.moving import Moving
from trainer.desktop.picture.view import PumpView
from trainer.session.step_move import StepMove
from trainer.session.wrong_move import TriedMove

OUT_S, HOLD_S, BACK_S = 0.8, 1.0, 0.35
NUDGE_PX = 9.0
"""A piece that bears on what is in the way from the start is nudged towards it by this much of the picture."""
NUDGES = 2
LOOK_S = 0.5
"""A piece that goes on is looked at where it comes from before it moves."""

Offsets = Mapping[str, npt.NDArray[np.float64]]


class Replay(Moving):
    """Move the pieces of one move in a picture; `finished` tells that all is where it was."""

    finished = Signal()

    def __init__(self, view: PumpView, clock: Callable[[], float] = time.monotonic) -> None:
        super().__init__(view, clock)
        self._timer.timeout.connect(self.go_on)
        self._move: TriedMove | StepMove | None = None
        self._from: Offsets = {}
        self._ways_mm: Offsets = {}
        self._find_share: Callable[[float], float | None] = find_share
        self._share = 0.0

    @property
    def move(self) -> TriedMove | StepMove | None:
        """The move that is being played; None when none is."""
        return self._move

    @property
    def tried(self) -> TriedMove | None:
        """The same where it is one that was tried."""
        return self._move if isinstance(self._move, TriedMove) else None

    def play(self, move: TriedMove | StepMove, places: Offsets) -> None:
        """Play a move from where the pieces stand now: `places` (3,) mm from home, by piece."""
        self.stop()
        self._move, self._from = move, dict(places)
        self._find_share = find_share
        if isinstance(move, StepMove):
            self._ways_mm = move.shifts
            self._find_share = find_coming if move.goes_on else find_share
        elif move.is_touching and move.direction is not None:
            nudge_mm = move.direction.vector * NUDGE_PX * self._view.camera.mm_per_px
            self._ways_mm = dict.fromkeys(move.moving, nudge_mm)
            self._find_share = find_nudge
        else:
            self._ways_mm = dict.fromkeys(move.moving, move.shift_mm)
        self._share = 0.0
        self._begin()

    def stop(self) -> None:
        """Put everything back at once."""
        if self._move is None:
            return
        self._timer.stop()
        self._move = None
        self._view.set_offsets(self._from)
        self.finished.emit()

    def go_on(self) -> None:
        """Move by the time that has passed, so that a slow machine still shows the right motion."""
        if self._move is None:
            return
        share = self._find_share(self._clock() - self._since_s)
        if share is None:
            self.stop()
        elif share != self._share and any(np.any(way) for way in self._ways_mm.values()):
            # While nothing moves nothing is set, so that the full picture can be drawn at the contact.
            self._share = share
            home = np.zeros(3)
            moved = {
                name: self._from.get(name, home) + way * share
                for name, way in self._ways_mm.items()
            }
            self._view.set_offsets({**self._from, **moved})


def find_share(past_s: float) -> float | None:
    """Find the share of its way at which a piece is: there at an even speed, a hard stop, and a spring back; None at the end."""
    if past_s < OUT_S:
        return past_s / OUT_S
    if past_s < OUT_S + HOLD_S:
        return 1.0
    back = (past_s - OUT_S - HOLD_S) / BACK_S
    return (1.0 - back) ** 2 if back < 1.0 else None


def find_coming(past_s: float) -> float | None:
    """Find how far from its seat a piece is that goes on: it waits to be seen, goes home and stays; None at the end."""
    if past_s < LOOK_S:
        return 1.0
    gone = (past_s - LOOK_S) / OUT_S
    return max(1.0 - gone, 0.0) if past_s < LOOK_S + OUT_S + HOLD_S else None


def find_nudge(past_s: float) -> float | None:
    """Find the share of a nudge: twice against it and back, then still; None at the end."""
    if past_s < OUT_S:
        return abs(math.sin(math.pi * NUDGES * past_s / OUT_S))
    return 0.0 if past_s < OUT_S + HOLD_S + BACK_S else None
