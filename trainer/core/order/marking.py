"""Mark a learner's order by replaying it: every step is judged in the state it meets, never against a stored list."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
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


FREE, WRONG_PRACTICE = Verdict.FREE, Verdict.WRONG_PRACTICE
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
    named. waiting: refused and never freed. off_then: by refused piece, what had come off when it was
    tried, in that order; empty where no reasons were asked for.
    """

    judged: tuple[Judged, ...]
    score: float
    complete: bool
    waiting: tuple[str, ...]
    off_then: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

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
    marker = _Marker(state, helped, reasons=reasons)
    mark = marker.mark
    for group in asked:
        mark(group)
    named, judged = marker.named, marker.judged
    faults = sum(verdict is Verdict.REFUSED for _, verdict, _ in judged)
    score = max(0.0, 1.0 - faults / len(named)) if named else 0.0
    complete = len(named | set(helped)) == len(blocking.names)
    return Marked(tuple(judged), score, complete, tuple(marker.waiting), marker.off_then)


class _Marker:
    """Judge line after line. waiting, unasked: pieces that come off by themselves, with what stops them."""

    def __init__(self, state: State, helped: Sequence[str], *, reasons: bool) -> None:
        self.state, self.reasons = state, reasons
        self.judged: list[Judged] = []
        self.named: set[str] = set()
        self.unasked = dict.fromkeys(helped, 0)
        self.waiting: dict[str, int] = {}
        self.off_then: dict[str, tuple[str, ...]] = {}

    def mark(self, group: Sequence[str]) -> None:
        """Judge the pieces of one line, then let come what waits."""
        if self.unasked:
            self._let_come()
        if len(group) == 1 and group[0] not in self.named:
            self._mark_one(group[0])
            return
        left: list[str] = []
        for name in group:
            if name in self.named:
                self.judged.append((name, Verdict.REPEATED, None))
            else:
                self.named.add(name)
                left.append(name)
        moved = self._take(left)
        if left:
            self._refuse(left)
        if moved and self.waiting:
            self.state.take_freed(self.waiting)

    def _let_come(self) -> None:
        """Let what nobody asked for come, and what waits for that, until neither frees the other any more."""
        off, before = self.state.off, -1
        while len(off) > before:
            before = len(off)
            self.state.take_freed(self.unasked)
            if len(off) > before and self.waiting:
                self.state.take_freed(self.waiting)

    def _mark_one(self, name: str) -> None:
        """Judge a line of one piece, as most are."""
        self.named.add(name)
        found = self.state.try_take(name)
        if found is None:
            self._refuse([name])
            return
        self.judged.append((name, WRONG_PRACTICE if found.cautions else FREE, found))
        if self.waiting:
            self.state.take_freed(self.waiting)

    def _take(self, left: list[str]) -> bool:
        """Take off all that can come off of these, in any order; what cannot stays in `left`. Say whether any came."""
        judged, try_take = self.judged, self.state.try_take
        moved, again = False, True
        while again:
            again = False
            for name in tuple(left):
                found = try_take(name)
                if found is not None:
                    judged.append((name, WRONG_PRACTICE if found.cautions else FREE, found))
                    left.remove(name)
                    moved = True
                    again = bool(left)
        return moved

    def _refuse(self, left: list[str]) -> None:
        state, waiting = self.state, self.waiting
        for name in left:
            is_new = not waiting or not _is_consequence(state, name, list(waiting))
            verdict = Verdict.REFUSED if is_new else Verdict.CONSEQUENCE
            self.judged.append((name, verdict, state.refuse(name) if self.reasons else None))
            if self.reasons:
                self.off_then[name] = tuple(state.off)
        waiting |= dict.fromkeys(left, 0)


def _is_consequence(state: State, piece: str, waiting: Sequence[str]) -> bool:
    """Would the piece come off, along its way out, if the waiting pieces were gone?

    Only that way counts: a washer under an impeller that waits for it could slip out sideways
    if the impeller were gone, but it is the washer that keeps the impeller.
    """
    found = state.find_without(piece, waiting)
    return found is not None and found.direction == state.ways_out.get(piece)
