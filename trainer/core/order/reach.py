"""Find what must come off to reach a part: the shortest way, and the routes from either end.

Only the lot in which the part lies matters: a move either takes something else away from it or takes
the part along, on what carries it or in a unit. The search (A*, Hart, Nilsson and Raphael 1968)
counts steps, and never overlooks a shorter way: what no way can do without is known beforehand, and
how much of that is still to do bounds every way from below.
"""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from models.spec.assembly import Assembly
from trainer.core.order.blocking import Blocking
from trainer.core.order.directions import Direction
from trainer.core.order.masks import find_masks
from trainer.core.order.state import State, TakenOff

MOST_STATES = 4000
"""States looked at before the best way found so far is given as it is."""
FEW_STATES = 300
"""States looked at where no way is known yet."""

Allowed = Callable[[State, TakenOff], bool]
"""Says whether a move may be made on the way."""


@dataclass(frozen=True, slots=True)
class Reached:
    """A way to a part: each step the pieces of one set, the last step the part itself.

    is_shortest: no way has fewer steps. Else the search was stopped, and no piece of the way can be
    left out, but there may be a shorter one.
    """

    steps: tuple[tuple[TakenOff, ...], ...]
    is_shortest: bool

    @property
    def pieces(self) -> tuple[str, ...]:
        """Every piece taken, in order."""
        return tuple(taken.piece for step in self.steps for taken in step)


def find_reach(
    assembly: Assembly,
    blocking: Blocking,
    target: str,
    *,
    start: State | None = None,
    allowed: Allowed | None = None,
) -> Reached | None:
    """Find the way with the fewest steps by which a piece comes off; None when none does.

    Args:
        assembly: pieces, and what holds and carries them.
        blocking: who is in whose way.
        target: the piece to be reached.
        start: where to begin; as assembled if not given.
        allowed: leaves out moves, as `is_sane` does if not given.

    Raises:
        KeyError: no piece is called that.
    """
    return _Search(assembly, start or State(assembly, blocking), target, allowed or is_sane).run()


def find_routes(
    assembly: Assembly, blocking: Blocking, target: str, start: State | None = None
) -> dict[Direction, Reached | None]:
    """Find the shortest way to a piece from the suction end and from the drive end.

    From an end means: while the piece lies together with the heaviest part, whatever leaves goes to
    that end or across. From the drive end this is the back pull-out, where the build allows it.
    `start` is where to begin; as assembled if None.
    """
    heaviest = find_masks(assembly, blocking).find_heaviest(blocking.names)
    routes: dict[Direction, Reached | None] = {}
    for end in (Direction.SUCTION, Direction.DRIVE):

        def is_from_end(state: State, taken: TakenOff, away: Direction = end.back) -> bool:
            is_away = taken.direction == away and state.are_together(target, heaviest)
            return not is_away and is_sane(state, taken)

        routes[end] = find_reach(assembly, blocking, target, start=start, allowed=is_from_end)
    return routes


def is_sane(state: State, taken: TakenOff) -> bool:
    """Say whether a fitter would choose a move: no wrong practice, and no unit that takes the heaviest part of all along."""
    if taken.cautions:
        return False
    if not taken.as_unit:
        return True
    return state.masks.find_heaviest(state.lot_of(taken.piece)) not in taken.along


MOST_LEADERS = 8
"""How many of the bulkiest pieces are tried as leaders of a unit."""


class _Search:
    def __init__(self, assembly: Assembly, start: State, target: str, allowed: Allowed) -> None:
        self.assembly, self.start, self.target, self.allowed = assembly, start, target, allowed
        self.part = assembly.by_name[target].part

    def run(self) -> Reached | None:
        widest = self._greedy(without="", units=True) or self._greedy(without="", units=False)
        if widest is None:
            return self._run_whole()
        needed = self._find_needed()
        found = self._search(needed, MOST_STATES)
        if found is not None:
            return Reached(self._thin(found), is_shortest=True)
        return Reached(self._thin(widest), is_shortest=False)

    def _run_whole(self) -> Reached | None:
        """Look on where taking off whatever comes leads nowhere: all of a small assembly, of a large one by its units."""
        found = self._search(frozenset(), FEW_STATES)
        if found is not None:
            return Reached(self._thin(found), is_shortest=True)
        ways = [self._thin(way) for way in self._find_whole()]
        return Reached(min(ways, key=len), is_shortest=False) if ways else None

    def _find_whole(self) -> list[list[list[TakenOff]]]:
        """Find ways in which something leaves whole that would not come in pieces.

        Taking off single pieces never bars anything, so one order of them is as good as another; but
        what is drawn out whole comes no more when it has lost its housing. So what is tied to each of
        the bulkiest pieces is left alone until that piece leads it off; then the target is near.
        """
        masks, lot = self.start.masks, self.start.lot_of(self.target)
        heaviest = masks.find_heaviest(lot)
        bulky = sorted(lot - {heaviest}, key=lambda name: -masks.bulk[masks.number[name]])
        ways = (self._lead_off(leader, heaviest) for leader in bulky[:MOST_LEADERS])
        return [way for way in ways if way]

    def _lead_off(self, leader: str, heaviest: str) -> list[list[TakenOff]] | None:
        """Free a unit from the heaviest piece, take it off, and then the target; None when it does not come."""
        state, way = self.start.copy(), list[list[TakenOff]]()
        whole = state.find_whole(leader, heaviest)
        free = [name for name in state.blocking.names if name not in whole]
        while not self._may(state, leader):
            name = self._find_leaving(state, free) or self._find_barring(state, leader, free)
            if name is None:
                return None
            way.append([_take(state, name)])
        way.append([_take(state, leader)])
        rest = _Search(self.assembly, state, self.target, self.allowed)
        found = rest._greedy(without="", units=True) or rest._greedy(without="", units=False)
        return [*way, *found] if found else None

    def _find_leaving(self, state: State, names: Iterable[str]) -> str | None:
        return next((one for one in names if self._may_leave(state, one, units=False)), None)

    def _find_barring(self, state: State, leader: str, free: Sequence[str]) -> str | None:
        """Find what bars what holds a unit, such as its own line before a nut, or a hose to be lifted off with its clips."""
        for name in state.blocking.names:
            if name in {leader, self.target} or not self._may_leave(state, name, units=True):
                continue
            after = state.copy()
            if leader in _take(after, name).along:
                continue
            if self._may(after, leader) or self._find_leaving(after, free):
                return name
        return None

    def _may_leave(self, state: State, name: str, *, units: bool) -> bool:
        """Say whether a piece may leave the target's lot now, by itself or, where units may, leading one."""
        found = state.find(name)
        return (
            found is not None
            and (units or not found.as_unit)
            and state.are_together(name, self.target)
            and found.along != state.lot_of(name)
            and self.allowed(state, found)
        )

    def _search(self, needed: frozenset[str], most: int) -> list[list[TakenOff]] | None:
        """Search by fewest steps; None when there is no way, or none among so many states."""
        count = itertools.count()
        queue = [(len(needed), next(count), 0, self.start, list[list[TakenOff]]())]
        seen: set[tuple[int, int]] = set()
        while queue and len(seen) < most:
            _, _, steps, state, way = heapq.heappop(queue)
            if way and any(taken.piece == self.target for taken in way[-1]):
                return way
            key = state.key_around(self.target)
            if key in seen:
                continue
            seen.add(key)
            for after, taken in self._moves(state):
                done = {one.piece for step in [*way, taken] for one in step}
                done_parts = {self.assembly.by_name[name].part for name in done}
                still = len(needed - done_parts)
                entry = (steps + 1 + still, next(count), steps + 1, after, [*way, taken])
                heapq.heappush(queue, entry)
        return None

    def _moves(self, state: State) -> Iterator[tuple[State, list[TakenOff]]]:
        """Yield every step that changes the target's lot: all of a set that comes off now, or the target alone."""
        if self._may(state, self.target):
            after = state.copy()
            yield after, [_take(after, self.target)]
            return  # once it is free, nothing can be nearer
        lot = state.lot_of(self.target)
        for names in self.assembly.sets.values():
            after, taken = state.copy(), list[TakenOff]()
            for name in (*names, *reversed(names)):
                if name in lot and after.are_together(name, self.target) and self._may(after, name):
                    taken.append(_take(after, name))
            if taken:
                yield after, taken

    def _may(self, state: State, name: str) -> bool:
        """Say whether a move may be made and changes anything: a lot of one body is not taken apart by moving it."""
        found = state.find(name)
        if found is None or not self.allowed(state, found):
            return False
        return name == self.target or found.along != state.lot_of(name)

    def _greedy(self, *, without: str, units: bool) -> list[list[TakenOff]] | None:
        """Take off whatever comes, except the part `without`, until the target comes; None when it never does."""
        state, way = self.start.copy(), list[list[TakenOff]]()
        moved = True
        while moved:
            moved = False
            if without != self.part and self._may(state, self.target):
                return [*way, [_take(state, self.target)]]
            for name in state.blocking.names:
                kept = self.assembly.by_name[name].part == without
                if not kept and self._may_leave(state, name, units=units):
                    way.append([_take(state, name)])
                    moved = True
                    break
        return None

    def _find_needed(self) -> frozenset[str]:
        """Find the parts that every way takes off: without one of them the target never comes."""
        return frozenset(
            part
            for part in self.assembly.sets
            if self._greedy(without=part, units=True) is None
            and self._greedy(without=part, units=False) is None
        )

    def _thin(self, way: list[list[TakenOff]]) -> tuple[tuple[TakenOff, ...], ...]:
        """Leave out every piece that the way can do without (bolts of the same kind that hold something else)."""
        names = [[taken.piece for taken in step] for step in way]
        for step in reversed(names):  # what came off later may have needed what came off before
            for name in reversed(step.copy()):
                if name != self.target:
                    fewer = [[one for one in other if one != name] for other in names]
                    if self._replay(fewer) is not None:
                        step.remove(name)
        replayed = self._replay(names)
        assert replayed is not None
        taken = [one for step in replayed for one in step]
        by_part = itertools.groupby(taken, key=lambda one: self.assembly.by_name[one.piece].part)
        return tuple(tuple(step) for _, step in by_part)

    def _replay(self, names: list[list[str]]) -> list[list[TakenOff]] | None:
        state, way = self.start.copy(), list[list[TakenOff]]()
        for step in names:
            way.append([])
            for name in step:
                if not self._may(state, name):
                    return None
                way[-1].append(_take(state, name))
        return way


def _take(state: State, name: str) -> TakenOff:
    taken = state.try_take(name)
    assert taken is not None
    return taken
