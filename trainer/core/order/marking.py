"""Mark a learner's order by replaying it: every step is judged in the state it meets, never against a stored list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from models.spec.assembly import Assembly
from trainer.core.order.blocking import Blocking
from trainer.core.order.state import Refused, State, TakenOff
from trainer.core.order.teardown import find_ways_out


class Verdict(StrEnum):
    """What became of one step."""

    FREE = "free"
    REFUSED = "refused"
    CONSEQUENCE = "consequence"
    REPEATED = "repeated"


@dataclass(frozen=True, slots=True)
class MarkedStep:
    """One piece of the order as asked, and what the state said to it."""

    piece: str
    verdict: Verdict
    found: TakenOff | Refused | None


@dataclass(frozen=True, slots=True)
class Marked:
    """A marked order. score = 1 - counted faults / pieces asked (0 at the least).

    complete: every piece of the assembly was named. waiting: refused and never freed.
    """

    steps: tuple[MarkedStep, ...]
    score: float
    complete: bool
    waiting: tuple[str, ...]

    @property
    def is_valid(self) -> bool:
        """No step was refused."""
        return all(step.verdict in (Verdict.FREE, Verdict.REPEATED) for step in self.steps)


def mark_order(
    assembly: Assembly,
    blocking: Blocking,
    asked: Sequence[Sequence[str]],
    helped: Sequence[str] = (),
) -> Marked:
    """Mark an order of groups; the pieces of one group come off in whichever order they can.

    A refused piece waits and comes off by itself as soon as it is free. A later step refused only
    because of waiting pieces is a consequence, shown and not counted.

    Args:
        assembly: pieces, and what holds and carries them.
        blocking: who is in whose way.
        asked: groups of piece names, one group a line of the learner.
        helped: pieces that are not asked: somebody else takes them off as soon as they are free.

    Raises:
        KeyError: a name that is no piece of the assembly.
    """
    state = State(assembly, blocking, find_ways_out(assembly, blocking))
    waiting: list[str] = []
    named: set[str] = set()
    steps: list[MarkedStep] = []
    unasked = list(helped)
    for group in asked:
        unasked = _help(state, unasked)
        fresh = [name for name in group if name not in named]
        steps += [MarkedStep(name, Verdict.REPEATED, None) for name in group if name in named]
        named.update(fresh)
        taken, refused = _take_all(state, fresh)
        steps += [MarkedStep(found.piece, Verdict.FREE, found) for found in taken]
        for found in refused:
            verdict = (
                Verdict.CONSEQUENCE
                if waiting and _is_consequence(state, found.piece, waiting)
                else Verdict.REFUSED
            )
            steps.append(MarkedStep(found.piece, verdict, found))
        waiting += [found.piece for found in refused]
        came, _ = _take_all(state, waiting)
        waiting = [name for name in waiting if name not in {found.piece for found in came}]
    faults = sum(step.verdict is Verdict.REFUSED for step in steps)
    pieces = sum(step.verdict is not Verdict.REPEATED for step in steps)
    score = max(0.0, 1.0 - faults / pieces) if pieces else 0.0
    complete = named | set(helped) == set(blocking.names)
    return Marked(tuple(steps), score, complete, tuple(waiting))


def _help(state: State, unasked: Sequence[str]) -> list[str]:
    """Take off what nobody asked about, as far as it can come off, and give what is left of it."""
    taken, _ = _take_all(state, unasked)
    gone = {found.piece for found in taken}
    return [name for name in unasked if name not in gone]


def _take_all(state: State, names: Sequence[str]) -> tuple[list[TakenOff], list[Refused]]:
    """Take off all that can come off of these, in any order; give the refusals of the rest as they stand at the end."""
    left, taken = list(names), []
    moved = True
    while moved:
        moved = False
        for name in list(left):
            found = state.take(name)
            if isinstance(found, TakenOff):
                taken.append(found)
                left.remove(name)
                moved = True
    refused = [found for name in left if isinstance(found := state.look(name), Refused)]
    return taken, refused


def _is_consequence(state: State, piece: str, waiting: Sequence[str]) -> bool:
    """Would the piece come off, along its way out, if the waiting pieces were gone?

    Only that way counts: a washer under an impeller that waits for it could slip out sideways
    if the impeller were gone, but it is the washer that keeps the impeller.
    """
    trial = state.copy()
    trial.remove(waiting)
    found = trial.look(piece)
    return isinstance(found, TakenOff) and found.direction == state.ways_out.get(piece)
