"""Mark a learner's order by replaying it: every step is judged in the state it meets, never against a stored list."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

from models.spec.assembly import Assembly
from trainer.core.order.blocking import Blocking
from trainer.core.order.state import Refused, State, TakenOff
from trainer.core.order.teardown import find_ways_out


class Verdict(StrEnum):
    """What became of one step.

    WRONG_PRACTICE: it can be done, and should not be; never counted as a fault of the order.
    """

    FREE = "free"
    WRONG_PRACTICE = "wrong-practice"
    REFUSED = "refused"
    CONSEQUENCE = "consequence"
    REPEATED = "repeated"


DONE = frozenset({Verdict.FREE, Verdict.WRONG_PRACTICE, Verdict.REPEATED})
"""Verdicts of a step that nothing kept from being done."""


@dataclass(frozen=True, slots=True)
class MarkedStep:
    """One piece of the order as asked, and what the state said to it."""

    piece: str
    verdict: Verdict
    found: TakenOff | Refused | None

    @property
    def is_blocked(self) -> bool:
        """A solid is in the way, and no joint holds."""
        return isinstance(self.found, Refused) and not self.found.held

    @property
    def is_held(self) -> bool:
        """A joint is not yet undone."""
        return isinstance(self.found, Refused) and bool(self.found.held)


Judged = tuple[str, Verdict, TakenOff | Refused | None]


@dataclass(frozen=True)
class Marked:
    """A marked order. score = 1 - counted faults / pieces asked (0 at the least).

    judged: (piece, verdict, what the state said) a step. complete: every piece of the assembly was
    named. waiting: refused and never freed.
    """

    judged: tuple[Judged, ...]
    score: float
    complete: bool
    waiting: tuple[str, ...]

    @cached_property
    def steps(self) -> tuple[MarkedStep, ...]:
        """The steps one by one."""
        return tuple(MarkedStep(*judged) for judged in self.judged)

    @property
    def is_valid(self) -> bool:
        """No step was refused."""
        return all(verdict in DONE for _, verdict, _ in self.judged)


def mark_order(
    assembly: Assembly,
    blocking: Blocking,
    asked: Sequence[Sequence[str]],
    helped: Sequence[str] = (),
    *,
    reasons: bool = True,
) -> Marked:
    """Mark an order of groups; the pieces of one group come off in whichever order they can.

    A refused piece waits and comes off by itself as soon as it is free. A later step refused only
    because of waiting pieces is a consequence, shown and not counted.

    Args:
        assembly: pieces, and what holds and carries them.
        blocking: who is in whose way.
        asked: groups of piece names, one group a line of the learner.
        helped: pieces that are not asked: somebody else takes them off as soon as they are free.
        reasons: False leaves out why a step was refused (`found` is None there), for the marks of
            thousands at once.

    Raises:
        KeyError: a name that is no piece of the assembly.
    """
    state = State(assembly, blocking, find_ways_out(assembly, blocking))
    judged: list[Judged] = []
    named: set[str] = set()
    unasked, waiting = Waiting(state, helped), Waiting(state, ())
    for group in asked:
        if unasked:
            unasked.retry()
        left: list[str] = []
        for name in group:
            if name in named:
                judged.append((name, Verdict.REPEATED, None))
            else:
                named.add(name)
                left.append(name)
        moved = _take_all(state, left, judged)
        for name in left:
            is_new = not waiting or not _is_consequence(state, name, waiting.names)
            verdict = Verdict.REFUSED if is_new else Verdict.CONSEQUENCE
            judged.append((name, verdict, state.refuse(name) if reasons else None))
        if left:
            waiting.add(left)
        if moved and waiting:
            waiting.retry()
    faults = sum(verdict is Verdict.REFUSED for _, verdict, _ in judged)
    score = max(0.0, 1.0 - faults / len(named)) if named else 0.0
    complete = len(named | set(helped)) == len(blocking.names)
    return Marked(tuple(judged), score, complete, tuple(waiting.names))


def _take_all(state: State, left: list[str], judged: list[Judged]) -> bool:
    """Take off all that can come off of these, in any order; what cannot stays in `left`. Say whether any came."""
    if len(left) == 1:  # the usual line
        found = state.try_take(left[0])
        if found is None:
            return False
        judged.append((left.pop(), _find_verdict(found), found))
        return True
    moved, again = False, True
    while again:
        again = False
        for name in list(left):
            found = state.try_take(name)
            if found is not None:
                judged.append((name, _find_verdict(found), found))
                left.remove(name)
                moved = again = True
    return moved


def _find_verdict(found: TakenOff) -> Verdict:
    return Verdict.WRONG_PRACTICE if found.cautions else Verdict.FREE


class Waiting:
    """Pieces that come off by themselves as soon as they can, in the order in which they began to wait."""

    def __init__(self, state: State, names: Iterable[str]) -> None:
        self._state = state
        self._stops = dict.fromkeys(names, 0)

    @property
    def names(self) -> list[str]:
        """Who is still waiting."""
        return list(self._stops)

    def __bool__(self) -> bool:
        return bool(self._stops)

    def add(self, names: Iterable[str]) -> None:
        """Let more pieces wait."""
        self._stops |= dict.fromkeys(names, 0)

    def retry(self) -> None:
        """Take off what has become free, again and again until nothing more does.

        A piece is not tried again while what stopped it last still lies with it.
        """
        state, stops = self._state, self._stops
        came = True
        while came:
            came = False
            for name, stop in list(stops.items()):
                if stop and state.lie_together(name, stop):
                    continue
                if state.try_take(name) is not None:
                    del stops[name]
                    came = True
                else:
                    stops[name] = state.find_stop(name)


def _is_consequence(state: State, piece: str, waiting: Sequence[str]) -> bool:
    """Would the piece come off, along its way out, if the waiting pieces were gone?

    Only that way counts: a washer under an impeller that waits for it could slip out sideways
    if the impeller were gone, but it is the washer that keeps the impeller.
    """
    found = state.find_without(piece, waiting)
    return found is not None and found.direction == state.ways_out.get(piece)
