"""A question as one learner gets it: what is asked, in which form it is answered, and what is right.

An item is drawn from a build by `session/asking`; a few **forms** serve all kinds, so that each face
learns to ask a form once and can then ask every kind. Values only: nothing here knows a build, a screen
or a language.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Protocol

from trainer.lesson.kinds import SKILLS, QuestionKind, Skill
from trainer.lesson.lesson import Show
from trainer.lesson.said import Amount, Quantity, Said

Reply = str | tuple[str, ...] | Mapping[str, str]
"""An answer to one field: a choice, a part pointed at or a number as typed; choices or lines; or choices by what
they are paired with."""
Answer = Mapping[str, Reply]
"""Replies by the names of an item's fields."""


# ------------------------------------------------------------------ what is played in the view
@dataclass(frozen=True, slots=True)
class MoveShown:
    """A move: `piece` is tried after `taken` came off, and travels to its contact, or comes off."""

    piece: str
    taken: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class GapShown:
    """A clearance with its chain on the section."""

    clearance: str


@dataclass(frozen=True, slots=True)
class PiecesShown:
    """Pieces to be lit."""

    pieces: tuple[str, ...]


Shown = MoveShown | GapShown | PiecesShown


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is said of an answer, and what the view plays to it."""

    said: Said
    is_right: bool
    shown: Shown | None = None


# ------------------------------------------------------------------ forms
@dataclass(frozen=True, slots=True)
class Choice:
    """One thing to choose; `id` is the same whenever the item is drawn, whatever its place in the list.

    why: of a wrong choice the reason that it is wrong, of a right one the reason that it is right.
    """

    id: str
    said: Said
    why: Said
    shown: Shown | None = None


@dataclass(frozen=True, slots=True)
class OneOf:
    """Choose one; any of `right` is full marks."""

    choices: tuple[Choice, ...]
    right: frozenset[str]


@dataclass(frozen=True, slots=True)
class SomeOf:
    """Choose all that are right and no other."""

    choices: tuple[Choice, ...]
    right: frozenset[str]


@dataclass(frozen=True, slots=True)
class Pairs:
    """Give each of `left` its one of `choices`; `right` has the choice's id by the left one's."""

    left: tuple[Choice, ...]
    choices: tuple[Choice, ...]
    right: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Mistake:
    """A wrong number that a known slip leads to, from `low` to `high`, and what is said of it."""

    low: float
    high: float
    why: Said


@dataclass(frozen=True, slots=True)
class Number:
    """Give a number: right from `low` to `high`, which follow from the chain; `aim` is the exact one.

    why: how it is worked out. mistakes: slips that are told apart. shown: what the view plays to it once it is marked.
    """

    aim: float
    low: float
    high: float
    why: Said
    quantity: Quantity = Quantity.LENGTH
    digits: int = 2
    mistakes: tuple[Mistake, ...] = ()
    shown: Shown | None = None

    @property
    def right_amount(self) -> Amount:
        """The exact number, to be told."""
        return Amount(self.aim, self.quantity, self.digits)


@dataclass(frozen=True, slots=True)
class Pointed:
    """Point at one piece, in the view or by its number on the picture. `right`: pieces; `parts`: the part of each piece."""

    right: frozenset[str]
    parts: Mapping[str, str]
    why: Mapping[str, Said] = field(default_factory=dict)
    """By piece or part, why it is not the one; where there is none the piece is just named."""


class LineVerdict(StrEnum):
    """What became of a line of an order.

    POOR can be done and should not be: never counted. FOLLOWS is wrong only because of an earlier
    line: not counted. MISSED was not given at all.
    """

    RIGHT = "right"
    POOR = "poor"
    WRONG = "wrong"
    FOLLOWS = "follows"
    MISSED = "missed"


@dataclass(frozen=True, slots=True)
class LineMark:
    """One line judged. is_critical: a wrong or missed one fails the whole exercise."""

    line: str
    verdict: LineVerdict
    why: Said | None = None
    shown: Shown | None = None
    is_critical: bool = False


class OrderJudge(Protocol):
    """Judge an order. There may be many right ones: it is judged by what it does, never against one list."""

    def judge(self, lines: Sequence[str]) -> tuple[LineMark, ...]:
        """Judge line after line, then what was missed."""

    def find_order(self) -> tuple[str, ...]:
        """Give one right order."""


@dataclass(frozen=True, slots=True)
class InOrder:
    """Put lines in order. With `extra`, not every line belongs, and those that don't are to be left out.

    shows: what the view plays to a line that was judged, where its judge does not say; the lines as they were given.
    """

    lines: tuple[Choice, ...]
    judge: OrderJudge
    extra: frozenset[str] = frozenset()
    shows: Callable[[Sequence[str], LineMark], Shown | None] | None = field(
        default=None, compare=False
    )


Form = OneOf | SomeOf | Pairs | Number | Pointed | InOrder


# ------------------------------------------------------------------ the item
@dataclass(frozen=True, slots=True)
class Field:
    """One thing to be answered. name: its key in an answer. weight: its share of the marks, among the others'."""

    name: str
    asks: Said
    form: Form
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class Basis:
    """What an answer rests on: how it is computed, or who says so.

    source: the published source, or "common practice"; "" where it is computed from the build.
    """

    said: Said
    source: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing beside the question, made by `stage` from plain values: which drawing, and what it shows.

    spoken: what is to be seen on it, for who cannot see it, without giving the answer away.
    """

    drawing: str
    values: Mapping[str, float | str | tuple[str, ...]]
    spoken: Said


@dataclass(frozen=True, slots=True)
class Item:
    """A question drawn for one learner.

    subject: what it is about, such as a part or a clearance; kind and subject are the same whenever it
    is drawn anew, so practice and statistics count by `key`. stem: paragraphs before the fields.
    show: how the pump stands while it is asked; None leaves it as it is.
    """

    kind: QuestionKind
    subject: str
    build: str
    options: Mapping[str, str]
    stem: tuple[Said, ...]
    fields: tuple[Field, ...]
    basis: Basis
    show: Show | None = None
    figure: Figure | None = None
    caution: Said | None = None

    @property
    def key(self) -> str:
        """Name what is asked, whoever is asked and however it was drawn: KIND/SUBJECT."""
        return f"{self.kind}/{self.subject}"

    @property
    def skill(self) -> Skill:
        """The skill it shows."""
        return SKILLS[self.kind]
