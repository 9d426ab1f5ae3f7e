"""What came of one answer, as far as practice and statistics count it: without the question, without a database."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from trainer.lesson.item import (
    Form,
    InOrder,
    Number,
    OneOf,
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
