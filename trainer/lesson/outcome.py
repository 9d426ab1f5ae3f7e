"""What came of one answer, as far as practice and statistics count it: without the question, without a database."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from itertools import islice

from trainer.lesson.item import (
    Form,
    InOrder,
    LineVerdict,
    Number,
    OneOf,
    OrderJudge,
    Pairs,
    Pointed,
    SomeOf,
)

FORMS: Mapping[type[Form], str] = {
    OneOf: "one-of",
    SomeOf: "some-of",
    Pairs: "pairs",
    Number: "number",
    Pointed: "pointed",
    InOrder: "in-order",
}
"""What each form is called where it is kept."""
MOST_TRIED = 100
"""Pairs of lines that are tried to find out what an order has broken; of a very long one only its first mistakes are traced."""


class Help(StrEnum):
    """What stood beside a question while it was answered."""

    UNAIDED = "unaided"
    HINTED = "hinted"
    EXAMPLE = "example"


@dataclass(frozen=True, slots=True)
class FieldOutcome:
    """What became of one field.

    offered, taken, right: ids of choices. lines: those of an order that were given. broken: pairs of lines of
    which the second was given before the first, which has to come first.
    """

    name: str
    form: str
    score: float
    offered: tuple[str, ...] = ()
    taken: tuple[str, ...] = ()
    right: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()
    broken: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of one answer to an item. item: KIND/SUBJECT. seconds: nothing where it was not kept."""

    person: str
    item: str
    when: datetime
    score: float
    fields: tuple[FieldOutcome, ...] = ()
    help: Help = Help.UNAIDED
    seconds: float | None = None

    @property
    def kind(self) -> str:
        """The kind of question."""
        return self.item.partition("/")[0]

    @property
    def form(self) -> str:
        """The forms in which it was answered, for times to be compared within."""
        return "+".join(sorted({field.form for field in self.fields}))


def find_broken(judge: OrderJudge, lines: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """Find what an order has broken: (FIRST, THEN) with THEN given before FIRST, which has to come first.

    Two lines are tried side by side both ways, at the place of the later one for a line that came too early, and at
    that of the earlier one for a line that came too late. Where one way is wrong and the other is not, whatever else
    is done, one has to come before the other; it may do so by way of a third.
    """
    wrong = [m.line for m in judge.judge(lines) if m.verdict is LineVerdict.WRONG]
    found = islice(_trace(judge, lines, wrong), MOST_TRIED)
    return tuple(dict.fromkeys(pair for pair in found if pair))


def _trace(
    judge: OrderJudge, lines: Sequence[str], wrong: Sequence[str]
) -> Iterator[tuple[str, str] | None]:
    """Try each wrong line with every other; give what was found, or nothing, for each that was tried."""
    for line in wrong:
        place = lines.index(line)
        before, behind = lines[:place], lines[place + 1 :]
        for other in behind:
            done = [*before, *(one for one in behind if one != other)]
            is_first = _is_wrong(judge, [*done, line, other], line) and not _is_wrong(
                judge, [*done, other, line], line
            )
            yield (other, line) if is_first else None
        for other in before:
            left = [*(one for one in before if one != other), *behind]
            is_late = _is_wrong(judge, [other, line, *left], line) and not _is_wrong(
                judge, [line, other, *left], line
            )
            yield (line, other) if is_late else None


def _is_wrong(judge: OrderJudge, lines: Sequence[str], line: str) -> bool:
    return any(m.line == line and m.verdict is LineVerdict.WRONG for m in judge.judge(lines))
