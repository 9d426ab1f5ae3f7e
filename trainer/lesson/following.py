"""Judge the order of a procedure's steps by what each needs before it; steps on which safety hangs fail it all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from trainer.lesson.item import LineMark, LineVerdict
from trainer.lesson.said import Said, say

MANY = 2
"""Steps that came before one that they need, from which on that one is late and they only follow."""


@dataclass(frozen=True)
class FollowJudge:
    """Judge an order of steps.

    taught: one right order. after: by step those that have to come before it. critical: steps that fail the whole when
    they are late or missing; never: what is not to be done, and fails it where it is in `critical`. texts: how steps are told.
    """

    taught: tuple[str, ...]
    after: Mapping[str, frozenset[str]]
    critical: frozenset[str]
    never: frozenset[str]
    texts: Mapping[str, Said]

    def find_order(self) -> tuple[str, ...]:
        """Give one right order: the taught one."""
        return self.taught

    def judge(self, lines: Sequence[str]) -> tuple[LineMark, ...]:
        """Judge line after line, then what was missed."""
        place = {line: at for at, line in enumerate(lines)}
        early = {
            line: [one for one in self.taught if one in self.after.get(line, ()) and place.get(one, -1) > at]
            for line, at in place.items()
        }  # fmt: skip
        waited = {one: [line for line in lines if one in early[line]] for one in lines}
        late = {one for one, by in waited.items() if by and (one in self.critical or len(by) >= MANY)}  # fmt: skip
        judged = tuple(self._judge_line(line, early[line], late) for line in lines)
        missed = (one for one in self.taught if one not in place)
        return (*judged, *(self._mark(one, LineVerdict.MISSED, "missed") for one in missed))

    def _judge_line(self, line: str, early: Sequence[str], late: set[str]) -> LineMark:
        if line in self.never:
            return self._mark(line, LineVerdict.WRONG, "never")
        if line in late:
            return self._mark(line, LineVerdict.WRONG, "late")
        own = [one for one in early if one not in late]
        if own:
            return self._mark(line, LineVerdict.WRONG, "early", self.texts[own[0]])
        if early:
            return self._mark(line, LineVerdict.FOLLOWS, "early", self.texts[early[0]])
        return self._mark(line, LineVerdict.RIGHT, "right")

    def _mark(self, line: str, verdict: LineVerdict, key: str, other: Said | None = None) -> LineMark:  # fmt: skip
        why = say(
            f"why.step-{key}", step=self.texts[line], other=other or "",
            reason=say(f"step.{line}.why"),
        )  # fmt: skip
        return LineMark(line, verdict, why, is_critical=line in self.critical)
