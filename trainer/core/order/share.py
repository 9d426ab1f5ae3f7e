"""Share the work of a teardown between fitters: what may be taken off at the same time.

Two steps may be done at once when both can be done now, nothing is moved twice, and what the one
draws out does not pass through what the other moves; what lies apart on the bench never does. A step that needs lifting gear is done with all
hands: nobody works elsewhere on a pump while a heavy part of it hangs.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly
from trainer.core.order.blocking import Blocking
from trainer.core.order.state import State, TakenOff
from trainer.core.order.teardown import Order, Step

ROOM_MM = 100.0
"""Room to work in round whatever is drawn out, mm (our own choice)."""

Box = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Shared:
    """Rounds of steps that may be done at the same time, one a fitter. longest: steps of one fitter alone."""

    rounds: tuple[tuple[Step, ...], ...]
    longest: int


def share_order(
    assembly: Assembly,
    blocking: Blocking,
    order: Order,
    fitters: int = 2,
    lifted: Collection[str] = (),
) -> Shared:
    """Share a teardown order between fitters: each round takes the next steps that may be done at once.

    Args:
        assembly: pieces, and what holds and carries them.
        blocking: who is in whose way.
        order: the order of one fitter alone.
        fitters: how many there are, at least one.
        lifted: parts that are taken off with all hands.

    Raises:
        ValueError: fewer than one fitter.
    """
    if fitters < 1:
        raise ValueError(f"{fitters} fitters take nothing off")
    state, left = State(assembly, blocking), list(order.steps)
    rounds: list[tuple[Step, ...]] = []
    while left:
        chosen = _choose(state, blocking, left, fitters, lifted)
        for step in chosen:
            left.remove(step)
            for piece in step.pieces:
                state.take(piece)
        rounds.append(tuple(chosen))
    return Shared(tuple(rounds), len(order.steps))


def _choose(
    state: State, blocking: Blocking, left: list[Step], fitters: int, lifted: Collection[str]
) -> list[Step]:
    """Choose the steps of one round: the first of the order, then whatever goes with it.

    The first step left can always be done: what stood before it in the order is off.
    """
    chosen = [left[0]]
    room = [(state.lot_of(left[0].pieces[0]), _sweep(blocking, left[0]))]
    if left[0].part in lifted:
        return chosen
    moved = {name for taken in left[0].taken for name in taken.along}
    for step in left[1:]:
        if len(chosen) == fitters:
            break
        along = {name for taken in step.taken for name in taken.along}
        swept = _sweep(blocking, step)
        apart = all(
            lot != state.lot_of(step.pieces[0]) or _are_apart(swept, other) for lot, other in room
        )
        if step.part not in lifted and not along & moved and apart and _can_all(state, step):
            chosen.append(step)
            room.append((state.lot_of(step.pieces[0]), swept))
            moved |= along
    return chosen


def _can_all(state: State, step: Step) -> bool:
    """Say whether a whole step can be done now, each piece as it is done in the order."""
    trial = state.copy()
    for taken in step.taken:
        found = trial.look(taken.piece)
        if not isinstance(found, TakenOff) or found.along != taken.along:
            return False
        trial.take(taken.piece)
    return True


def _sweep(blocking: Blocking, step: Step) -> Box:
    """Box what a step moves, stretched along its way by its own length, with room to work in; (2, 3) mm."""
    own = [blocking.names.index(name) for taken in step.taken for name in taken.along]
    low, high = blocking.low[own].min(axis=0), blocking.high[own].max(axis=0)
    way = step.direction.vector * (high - low)
    low, high = np.minimum(low, low + way) - ROOM_MM, np.maximum(high, high + way) + ROOM_MM
    return np.array([low, high], np.float64)


def _are_apart(one: Box, other: Box) -> bool:
    return bool(((one[0] > other[1]) | (other[0] > one[1])).any())
