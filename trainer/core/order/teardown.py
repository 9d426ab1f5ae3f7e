"""Find one good teardown order, and the steps a fitter would say it in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from models.spec.assembly import Assembly
from models.spec.joint import JointKind
from trainer.core.order.blocking import Blocking
from trainer.core.order.directions import Direction
from trainer.core.order.masks import PUMPS_KEPT
from trainer.core.order.state import State, TakenOff


@dataclass(frozen=True, slots=True)
class Step:
    """Take off one piece, or the pieces of one set in one go."""

    part: str
    taken: tuple[TakenOff, ...]

    @property
    def pieces(self) -> tuple[str, ...]:
        """Names of the pieces, in the order they come off."""
        return tuple(taken.piece for taken in self.taken)

    @property
    def direction(self) -> Direction:
        """The way they leave."""
        return self.taken[0].direction


@dataclass(frozen=True, slots=True)
class Order:
    """A complete teardown order; `stuck` names pieces that never come free by straight moves."""

    steps: tuple[Step, ...]
    stuck: tuple[str, ...]

    def find_share(self, pieces: Iterable[str]) -> float:
        """Find the share of the steps, 0 to 1, after which these pieces are off, by themselves or along with others.

        Pieces that no step takes off do not count; 0 where none is taken off.
        """
        wanted = set(pieces)
        done = 0
        for number, step in enumerate(self.steps, start=1):
            gone = {name for one in step.taken for name in (one.piece, *one.along)} & wanted
            if gone:
                wanted -= gone
                done = number
        return done / max(len(self.steps), 1)

    def list_ways_out(self) -> Mapping[str, Direction]:
        """List the direction in which each piece that a step takes off comes off."""
        return {taken.piece: taken.direction for step in self.steps for taken in step.taken}


def find_order(assembly: Assembly, blocking: Blocking) -> Order:
    """Find a teardown order: fasteners of a joint together, one sub-assembly after another, few turns.

    What rides on another part (a wear ring in its cover, studs in the casing) is stripped from it
    last, at the bench, unless it is a fastener or stands in the way of the rest.
    """
    state = State(assembly, blocking)
    left = [piece.name for piece in assembly.pieces]
    steps: list[Step] = []
    last: TakenOff | None = None
    while left:
        free = {name: found for name in left if (found := state.find(name))}
        if not free:
            break
        chosen = min(free.values(), key=lambda found: _preference(state, found, last))
        part = assembly.by_name[chosen.piece].part
        taken = []
        for name in _set_order(assembly, part, chosen.piece, left):
            found = state.find(name)
            if found is not None and _is_alike(found, chosen):
                state.take(name)
                taken.append(found)
                left.remove(name)
        steps.append(Step(part, tuple(taken)))
        last = taken[-1]
    return Order(tuple(steps), tuple(left))


@dataclass(frozen=True, slots=True)
class Fitting:
    """Put on the pieces of one set, one after another.

    way: the moves in turn, one or two directions. along: what is on them by then.
    """

    part: str
    pieces: tuple[str, ...]
    way: tuple[Direction, ...]
    along: frozenset[str]


def reverse_order(order: Order) -> tuple[Fitting, ...]:
    """Turn a teardown order round: how it goes together, as far as geometry says.

    Every piece comes in by the way it left, past just what was there when it left. The taught rebuild is
    a procedure of its own: trial fits, new seals, hot bearings.
    """
    fittings = []
    for step in reversed(order.steps):
        taken = step.taken[0]
        last = taken.direction.back
        way = (taken.aside.back, last) if taken.aside else (last,)
        along = frozenset[str]().union(*(one.along for one in step.taken))
        pieces = tuple(reversed(step.pieces))
        fittings.append(Fitting(step.part, pieces, way, along - set(pieces)))
    return tuple(fittings)


def _is_alike(one: TakenOff, other: TakenOff) -> bool:
    """Say whether two pieces of a set leave in the same way, so that one step says both."""
    return one.direction == other.direction and len(one.along) == len(other.along)


@lru_cache(maxsize=PUMPS_KEPT)
def find_ways_out(assembly: Assembly, blocking: Blocking) -> Mapping[str, Direction]:
    """Find the direction in which each piece comes off in a good order."""
    return find_order(assembly, blocking).list_ways_out()


def _set_order(assembly: Assembly, part: str, first: str, left: list[str]) -> list[str]:
    """Order a set so that what lies outermost goes first: `first`, then back towards it through the rest."""
    names = [name for name in assembly.sets[part] if name in left]
    return (
        [first, *(name for name in reversed(names) if name != first)]
        if first == names[-1]
        else names
    )


Preference = tuple[tuple[bool, bool], bool, bool, bool, int, float, bool, int]


def _preference(state: State, found: TakenOff, last: TakenOff | None) -> Preference:
    """Rank a free piece; smaller is sooner.

    Keys and lock tabs are taken as they are reached; what is pressed, threaded or sealed into
    another part is left for the bench, lot by lot, unless that part is the smaller. What is bulkier than all it leaves stays put:
    the shaft is drawn from the housing, not the housing from the shaft. Then come the fewest turns:
    go on with the tool and the direction in hand, at the same end, from the suction end.
    """
    masks, number = state.masks, state.masks.number[found.piece]
    fastens = bool(masks.fastens[number])
    rides = not fastens and any(
        carry.kind is not JointKind.KEYED
        and masks.bulk[masks.number[carry.carrier]] >= masks.bulk[number]
        for carry in masks.carriers[number]
    )
    lot = state.lot_of(found.piece)
    same_lot = last is not None and last.piece in lot
    moving = sum(masks.bulk[masks.number[name]] for name in found.along)
    is_base = 2 * moving > sum(masks.bulk[masks.number[name]] for name in lot)
    turns = count_turns(last, found) + (not _is_same_end(state, last, found)) if last else 0
    outermost = float(state.blocking.low[number][0])
    apart = bool(found.cautions), found.as_unit
    return apart, rides, rides and not same_lot, is_base, turns, outermost, not fastens, number


def _is_same_end(state: State, one: TakenOff, other: TakenOff) -> bool:
    """Say whether two pieces sit in the same half of the whole, seen along the shaft."""
    low, high = state.blocking.low[:, 0], state.blocking.high[:, 0]
    middle = (low.min() + high.max()) / 2
    sits = [
        bool(low[i] + high[i] < 2 * middle)
        for i in (state.masks.number[one.piece], state.masks.number[other.piece])
    ]
    return sits[0] == sits[1]


def count_turns(one: TakenOff, other: TakenOff) -> int:
    """Count what a fitter changes between two moves: the tool, and the direction."""
    return (one.tool != other.tool) + (one.direction != other.direction)
