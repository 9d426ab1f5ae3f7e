"""The shortest repair of a wrong order: the fewest pieces that must be named elsewhere for it to be right.

Given which pieces may move, the order is replayed with all others where they stand; before each of
these, every movable piece that can come off is taken off, since doing so early never bars anything.
The first piece that still cannot come off must itself move, or something that bars or holds it must.
Trying that with one movable piece, then two, and so on, the first success is a shortest repair.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from models.spec.assembly import Assembly
from trainer.core.order.blocking import Blocking
from trainer.core.order.state import State

MOST_MOVED = 4
"""Beyond this many pieces a repair is no help any more."""
MOST_TRIED = 3000
"""Sets of movable pieces tried before the search is given up."""


@dataclass(frozen=True, slots=True)
class Moved:
    """Name `pieces` directly before the piece `before`; at the end when that is empty."""

    pieces: tuple[str, ...]
    before: str


@dataclass(frozen=True, slots=True)
class Repair:
    """What to move, and the order as it is then."""

    moves: tuple[Moved, ...]
    order: tuple[str, ...]


def find_repair(assembly: Assembly, blocking: Blocking, order: Sequence[str]) -> Repair | None:
    """Find a shortest repair of an order of pieces: none moved when it is right as it is.

    Pieces that belong to one set and stand side by side in the order count as one.

    Returns:
        None when more than MOST_MOVED would have to move, or pieces of the order never come off.

    Raises:
        KeyError: a name that is no piece of the assembly.
    """
    wanted = list(dict.fromkeys(order))
    search = _Search(assembly, blocking, wanted)
    for most in range(MOST_MOVED + 1):
        found = search.run(frozenset(), most)
        if found is not None:
            return found
    return None


class _Search:
    def __init__(self, assembly: Assembly, blocking: Blocking, order: list[str]) -> None:
        self.start = State(assembly, blocking)
        self.order = order
        self.block = _find_blocks(assembly, order)
        self.tried = 0
        self.failed: set[tuple[frozenset[str], int]] = set()

    def run(self, movable: frozenset[str], left: int) -> Repair | None:
        """Repair with these movable, and `left` more blocks of pieces made so."""
        if (movable, left) in self.failed or self.tried >= MOST_TRIED:
            return None
        self.tried += 1
        found = self._replay(movable)
        if isinstance(found, Repair):
            return found
        if left:
            for more in found:
                repaired = self.run(movable | more, left - 1)
                if repaired is not None:
                    return repaired
        self.failed.add((movable, left))
        return None

    def _replay(self, movable: frozenset[str]) -> Repair | list[frozenset[str]]:
        """Give the repair, or the blocks of which one must be movable too."""
        state, waiting = self.start.copy(), [name for name in self.order if name in movable]
        done: list[str] = []
        moves: list[Moved] = []
        for name in self.order:
            if name in movable:
                continue
            if state.find(name) is None:
                came = _take_what_comes(state, waiting)
                done += came
                if came:
                    moves.append(Moved(came, name))
            if state.try_take(name) is None:
                return list(self._who(state, name, movable))
            done.append(name)
        came = _take_what_comes(state, waiting)
        if waiting:
            return []
        moves += [Moved(came, "")] if came else []
        return Repair(tuple(moves), (*done, *came))

    def _who(self, state: State, name: str, movable: frozenset[str]) -> Iterator[frozenset[str]]:
        """Yield who might move: what bars or holds the piece and stands later, then the piece itself."""
        seen: set[frozenset[str]] = set()
        gone = set(state.off)
        for other in (*state.obstacles(name), name):
            block = self.block.get(other)
            if block and other not in gone and other not in movable and block not in seen:
                seen.add(block)
                yield block


def _take_what_comes(state: State, waiting: list[str]) -> tuple[str, ...]:
    came: list[str] = []
    moved = True
    while moved:
        moved = False
        for name in list(waiting):
            if state.try_take(name) is not None:
                waiting.remove(name)
                came.append(name)
                moved = True
    return tuple(came)


def _find_blocks(assembly: Assembly, order: Sequence[str]) -> dict[str, frozenset[str]]:
    """Find for each piece the pieces of its set that stand side by side with it."""
    blocks: dict[str, frozenset[str]] = {}
    run: list[str] = []
    for name in [*order, ""]:
        if run and (not name or assembly.by_name[name].part != assembly.by_name[run[-1]].part):
            blocks |= dict.fromkeys(run, frozenset(run))
            run = []
        run.append(name)
    return blocks
