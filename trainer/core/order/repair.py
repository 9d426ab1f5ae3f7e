"""The shortest repair of a wrong order: the fewest lines that must stand elsewhere for it to be right.

Given which lines may move, the order is replayed with all others where they stand; before one that
would be refused, every movable piece that can come off is taken off, since doing so early never bars
anything (a unit apart).
The first line that still cannot come off must itself move, or something that bars or holds it must.
Trying that with one movable line, then two, and so on, the first success is a shortest repair.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from models.spec.assembly import Assembly
from trainer.core.order.blocking import Blocking
from trainer.core.order.state import State

MOST_MOVED = 4
"""Beyond this many lines a repair is no help any more."""
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


def find_repair(
    assembly: Assembly, blocking: Blocking, order: Sequence[Sequence[str]]
) -> Repair | None:
    """Find a shortest repair of an order of groups: none moved when it is right as it is.

    A group is a line of the learner: its pieces come off in whichever order they can. It moves as a
    whole; lines of one set that stand side by side move together and count as one.

    Returns:
        None when more than MOST_MOVED would have to move, or pieces of the order never come off.

    Raises:
        KeyError: a name that is no piece of the assembly.
    """
    search = _Search(assembly, blocking, order)
    for most in range(MOST_MOVED + 1):
        found = search.run(frozenset(), most)
        if found is not None:
            return found
    return None


class _Search:
    def __init__(
        self, assembly: Assembly, blocking: Blocking, order: Sequence[Sequence[str]]
    ) -> None:
        self.start = State(assembly, blocking)
        self.lines: list[list[str]] = []
        named: set[str] = set()
        for group in order:
            self.lines.append([name for name in group if name not in named])
            named.update(group)
        self.block = _find_blocks(assembly, self.lines)
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
        """Give the repair, or the blocks of which one must be movable too.

        What moves to a later place goes there as soon as it is free, what moves to an earlier one as
        late as it is needed: as near as can be to where the learner had it.
        """
        state = self.start.copy()
        later: list[str] = []
        sooner = [name for line in self.lines for name in line if name in movable]
        done: list[str] = []
        moves: list[Moved] = []
        for line in [*self.lines, []]:
            left = [name for name in line if name not in movable]
            if left or not line:
                came = take_what_comes(state, later)
                done += [*came, *take_what_comes(state, left)]
                if left:
                    came += take_what_comes(state, sooner)
                    done += [*came, *take_what_comes(state, left)]
                moves += [Moved(came, line[0] if line else "")] if came else []
            if left:
                return list(self._who(state, [left[0], *later, *sooner], movable))
            passed = [name for name in line if name in sooner]
            later += passed
            sooner = [name for name in sooner if name not in passed]
        return [] if later else Repair(tuple(moves), tuple(dict.fromkeys(done)))

    def _who(
        self, state: State, stuck: Sequence[str], movable: frozenset[str]
    ) -> Iterator[frozenset[str]]:
        """Yield who might move: what bars or holds the stuck pieces and stands later, then the first itself.

        What may move already but cannot come off yet is stuck too: its going might free the first.
        """
        seen: set[frozenset[str]] = set()
        gone = set(state.off)
        obstacles = (other for name in stuck for other in state.find_obstacles(name))
        for other in itertools.chain(obstacles, [stuck[0]]):
            block = self.block.get(other)
            if block and other not in gone and other not in movable and block not in seen:
                seen.add(block)
                yield block


def take_what_comes(state: State, waiting: list[str]) -> tuple[str, ...]:
    """Take off of these whatever can come off, one after another; what cannot stays in `waiting`."""
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


def _find_blocks(assembly: Assembly, lines: Sequence[Sequence[str]]) -> dict[str, frozenset[str]]:
    """Find for each piece all that moves with it: its line, and neighbouring lines of the same set."""
    blocks: dict[str, frozenset[str]] = {}
    run: list[str] = []
    for line in [*lines, []]:
        parts = {assembly.by_name[name].part for name in [*run, *line]}
        if run and (not line or len(parts) > 1):
            blocks |= dict.fromkeys(run, frozenset(run))
            run = []
        run += line
    return blocks
