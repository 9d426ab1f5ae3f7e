"""An observed practical: somebody does it on a real pump, somebody else watches, marks line by line, and both sign.

The written rule: a line done alone is a full mark, one done after a prompt half a mark, one not done none; the mark is
the mean. It is passed from `pass_at` on, and never with a critical line short of a full mark. Source: common practice.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from types import MappingProxyType

from models.spec.errors import RefusalError, say_near

PASS_AT = 0.8
"""Mean mark from which on a practical is passed. Source: common practice."""
LONGEST_REMARK = 300
SAME = 1e-9


class Level(StrEnum):
    """How a line was done."""

    ALONE = "alone"
    PROMPTED = "prompted"
    NOT_DONE = "not-done"


MARKS: Mapping[Level, float] = MappingProxyType(
    {Level.ALONE: 1.0, Level.PROMPTED: 0.5, Level.NOT_DONE: 0.0}
)


@dataclass(frozen=True, slots=True)
class RubricLine:
    """One thing to be seen. name: its words are `step.NAME`. is_never: it is well done by not being done."""

    name: str
    is_critical: bool = False
    is_never: bool = False


@dataclass(frozen=True, slots=True)
class Rubric:
    """What is to be seen in a practical, in the order in which it comes."""

    name: str
    lines: tuple[RubricLine, ...]
    pass_at: float = PASS_AT


@dataclass(frozen=True, slots=True)
class Judged:
    """What a practical comes to. score: 0 to 1. short: critical lines that were not done alone."""

    score: float
    short: tuple[str, ...]
    has_passed: bool


@dataclass(frozen=True, slots=True)
class Observed:
    """A practical while it is watched: how each line was done so far, and what was remarked."""

    rubric: Rubric
    levels: Mapping[str, Level] = field(default_factory=lambda: MappingProxyType({}))
    remarks: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    @property
    def left(self) -> tuple[str, ...]:
        """The lines that are not marked yet."""
        return tuple(line.name for line in self.rubric.lines if line.name not in self.levels)

    def mark(self, line: str, level: Level, remark: str = "") -> Observed:
        """Mark a line, or mark it otherwise; the remark goes with it.

        Raises:
            RefusalError: no such line, or a remark that is too long.
        """
        noted = self.note(line, remark)
        return replace(noted, levels=MappingProxyType({**self.levels, line: level}))

    def unmark(self, line: str) -> Observed:
        """Leave a line open again, after a slip of the hand; its remark stays. Raises RefusalError for no such line."""
        self._check(line)
        levels = {name: level for name, level in self.levels.items() if name != line}
        return replace(self, levels=MappingProxyType(levels))

    def note(self, line: str, remark: str) -> Observed:
        """Remark on a line, marked or not; "" takes the remark away. Raises as `mark` does."""
        self._check(line)
        if len(remark) > LONGEST_REMARK:
            raise RefusalError(f"a remark has {LONGEST_REMARK} letters at the most; shorten it")
        remarks = {name: text for name, text in self.remarks.items() if name != line}
        if remark.strip():
            remarks[line] = remark.strip()
        return replace(self, remarks=MappingProxyType(remarks))

    def _check(self, line: str) -> None:
        known = [one.name for one in self.rubric.lines]
        if line not in known:
            raise RefusalError(f"{line!r} is no line of this practical; {say_near(line, known)}")

    def judge(self) -> Judged:
        """Judge it by the written rule.

        Raises:
            RefusalError: lines are left; nobody signs what has not been seen.
        """
        if self.left:
            raise RefusalError(f"{', '.join(self.left)}: not marked yet; mark every line first")
        lines = self.rubric.lines
        score = sum(MARKS[self.levels[line.name]] for line in lines) / len(lines)
        short = tuple(
            line.name
            for line in lines
            if line.is_critical and self.levels[line.name] is not Level.ALONE
        )
        return Judged(score, short, not short and score >= self.rubric.pass_at - SAME)
