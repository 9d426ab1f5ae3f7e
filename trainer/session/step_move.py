"""What is seen of a step of a procedure that moves parts: they come off, or go on, along their real directions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.spec.procedure import MOVES, Does
from trainer.core.order.directions import Direction, with_riders
from trainer.core.order.state import State, TakenOff
from trainer.session.asking.benches import once_a_bench
from trainer.session.asking.procedure_kind import find_gap, find_off_before, list_procedures
from trainer.session.bench import Bench
from trainer.session.wrong_move import CLEAR_SHARE

LEAST_SHARE = 0.1
"""What is short goes this share of the pump's length all the same, so that it is seen to go."""


@dataclass(frozen=True, slots=True, eq=False)
class StepMove:
    """Parts that a step moves, in the state in which it comes.

    pieces: those that it names, as they come off. shifts: by piece, with what rides along, how far it goes to be
    clear, (3,) mm. gone: pieces that are off meanwhile, no more than need be. direction: the way off, None where they
    have several. goes_on: whether they come on, the other way round.
    """

    pieces: tuple[str, ...]
    shifts: Mapping[str, npt.NDArray[np.float64]]
    gone: frozenset[str]
    direction: Direction | None
    goes_on: bool

    @property
    def moving(self) -> frozenset[str]:
        """All pieces that move."""
        return frozenset(self.shifts)


@once_a_bench
def find_step_move(bench: Bench, procedure: str, step: str) -> StepMove | None:
    """Find what a step moves, by the order engine; a part goes on where it could come off again. Takes a moment.

    None where it moves nothing, or not all of what it names could move by then.

    Raises:
        KeyError: no such procedure, or no such step in it.
    """
    taught = list_procedures(bench)[procedure]
    names = [one.name for one in taught.steps]
    number = names.index(step) if step in names else -1
    if number < 0:
        raise KeyError(step)
    now = taught.steps[number]
    if now.does not in MOVES:
        return None
    places = bench.build.places
    wanted = tuple(piece for part in now.parts for piece in places[part])
    off, moved = find_off_before(taught, taught.steps[:number], now)
    off |= _find_off_by_then(bench, procedure) - moved
    # What the procedure does not move stays on as far as it can, so that the pump is seen to be one.
    stays = [
        name
        for one in bench.order.steps
        for name in (taken.piece for taken in one.taken)
        if name not in wanted and bench.assembly.by_name[name].part not in moved | off
    ]
    forced = [name for part in off for name in places[part]]
    if _take_rounds(bench, forced, stays, wanted) is None:
        return None
    lying = stays
    for part in reversed(list(dict.fromkeys(bench.assembly.by_name[name].part for name in stays))):
        fewer = [name for name in lying if bench.assembly.by_name[name].part != part]
        if _take_rounds(bench, forced, fewer, wanted) is not None:
            lying = fewer
    found = _take_rounds(bench, forced, lying, wanted)
    assert found is not None
    rounds, gone = found
    return _make_move(bench, rounds, gone, goes_on=now.does is Does.ON)


def find_step_gap(bench: Bench, procedure: str, step: str) -> str:
    """Find the clearance that a step of a procedure measures, by its name; "" for none, or none that this build has.

    Raises:
        KeyError: no such procedure.
    """
    steps = list_procedures(bench)[procedure].steps
    return next((find_gap(bench, one) for one in steps if one.name == step), "")


def _find_off_by_then(bench: Bench, procedure: str) -> frozenset[str]:
    """Find which parts the procedures that are taught before one have left off: no impeller leaves by the suction branch."""
    off: set[str] = set()
    for name, taught in list_procedures(bench).items():
        if name == procedure:
            break
        for step in taught.steps:
            if step.does is Does.OFF:
                off |= set(step.parts)
            elif step.does is Does.ON:
                off -= set(step.parts)
    return frozenset(off)


def _take_rounds(
    bench: Bench, forced: Sequence[str], loose: Sequence[str], wanted: Sequence[str]
) -> tuple[list[list[TakenOff]], frozenset[str]] | None:
    """Take pieces off as they come, then the wanted ones, round by round.

    Gives what came in each round, and what no longer lay with the wanted pieces before the first; None where one of
    the wanted pieces does not come.
    """
    state = State(bench.assembly, bench.blocking)
    state.take_freed(dict.fromkeys([*forced, *loose], 0))
    there = _find_there(state, wanted)
    # What is off by the procedure's word alone is set aside, unless the wanted pieces sit on it.
    stuck = [one for one in forced if one in there and wanted[0] not in with_riders(bench.assembly, {one})]  # fmt: skip
    if stuck:
        state.remove(stuck)
        there = _find_there(state, wanted)
    rounds: list[list[TakenOff]] = []
    left = list(wanted)
    while left:
        found = [(name, state.find(name)) for name in left]
        came = [taken for _, taken in found if taken is not None]
        if not came:
            return None
        for taken in came:
            state.try_take(taken.piece)
        left = [name for name, taken in found if taken is None]
        rounds.append(came)
    return rounds, frozenset(bench.assembly.by_name) - there


def _find_there(state: State, wanted: Sequence[str]) -> frozenset[str]:
    """Find what lies with some pieces, themselves included."""
    return frozenset[str]().union(*(state.lot_of(name) for name in wanted))


def _make_move(
    bench: Bench, rounds: Sequence[Sequence[TakenOff]], gone: frozenset[str], *, goes_on: bool
) -> StepMove:
    """Let what came first go farthest, so that nothing runs into what goes the same way before it."""
    pieces = bench.assembly.by_name
    ends = np.array([piece.mesh.bounds for piece in pieces.values()])
    least_mm = LEAST_SHARE * float(np.max(ends[:, 1].max(axis=0) - ends[:, 0].min(axis=0)))
    shifts: dict[str, npt.NDArray[np.float64]] = {}
    for number, came in enumerate(rounds):
        for taken in came:
            way = taken.direction.vector
            bounds = np.array([pieces[name].mesh.bounds for name in taken.along - gone])
            size_mm = bounds[:, 1].max(axis=0) - bounds[:, 0].min(axis=0)
            length_mm = max(CLEAR_SHARE * float(size_mm @ np.abs(way)), least_mm)
            shift = way * length_mm * (len(rounds) - number)
            for name in taken.along - gone:
                shifts.setdefault(name, shift)
    named = tuple(taken.piece for came in rounds for taken in came)
    ways = {taken.direction for came in rounds for taken in came}
    return StepMove(named, shifts, gone, ways.pop() if len(ways) == 1 else None, goes_on)
