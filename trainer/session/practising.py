"""Practise by oneself: what can be asked of a pump, where a learner stands with it, and the next question drawn.

All state follows from the attempts in the records; nothing is kept beside them.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from models.spec.errors import RefusalError, say_near
from trainer.lesson.hinting import Hint, make_hint
from trainer.lesson.item import Item
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.outcome import Help
from trainer.lesson.practice import (
    History,
    Mastery,
    Next,
    Standing,
    Subject,
    choose_next,
    find_standing,
    fold_outcomes,
    map_mastery,
)
from trainer.lesson.wanted import Wanted
from trainer.session.asking.benches import Benches
from trainer.session.asking.drawing import draw_item, find_kind, list_subjects
from trainer.session.attempting import read_outcomes
from trainer.session.bench import Bench

if TYPE_CHECKING:
    from trainer.records import Attempt, Records

PRACTICE_BUILD = "end-suction/100-250"
"""What is practised on where nobody says."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question of practice: why it comes now, what stands beside it, and the seed it can be drawn from again.

    example: another one of its kind, to be shown worked out; nothing without that help. hints: by field.
    """

    item: Item
    next: Next
    seed: str
    example: Item | None
    hints: tuple[tuple[str, Hint], ...]


def list_pool(bench: Bench, kinds: Iterable[QuestionKind] | None = None) -> tuple[Subject, ...]:
    """List all that can be asked of a pump, by kinds; of all kinds where none is named."""
    wanted = tuple(QuestionKind) if kinds is None else tuple(kinds)
    return tuple(
        Subject(kind, subject, _find_topic(bench, subject))
        for kind in wanted
        for subject in list_subjects(bench, kind)
    )


def _find_topic(bench: Bench, subject: str) -> str:
    """Find the kind of part that a subject is about; of what is no part its first word."""
    head = subject.partition(".")[0]
    names = bench.build.places.get(head)
    return bench.build.pieces[names[0]].part.kind if names else head


def read_history(records: Records, person: str) -> History:
    """Read a learner's answers from the records and fold them."""
    return fold_outcomes(read_outcomes(records.list_attempts(person, None)))


class Practice:
    """One learner's practice on one pump: a sitting. The clock and the chance are the caller's."""

    def __init__(
        self,
        bench: Bench,
        benches: Benches,
        history: History,
        seed: str,
        kinds: Sequence[QuestionKind] | None = None,
    ) -> None:
        self.bench, self.history = bench, history
        self.pool = list_pool(bench, kinds)
        self.benches, self._seed = benches, seed
        self._asked: list[Subject] = []

    def find_standing(self, now: datetime) -> Standing:
        """Find what is due today, what is weak, what is new. now: in the time zone whose day is meant."""
        return find_standing(self.pool, self.history, now)

    def map_mastery(self, now: datetime) -> tuple[Mastery, ...]:
        """Map how far the learner is, skill by skill."""
        return map_mastery(self.pool, self.history, now)

    def ask_next(self, now: datetime, *, ahead: bool = False) -> Asked | None:
        """Draw the next question; nothing where nothing is due and enough was begun. ahead: ask all the same."""
        following = self.peek_next(now, ahead=ahead)
        if following is None:
            return None
        return self.ask_again(following, self._name_seed())

    def ask_again(self, following: Next, seed: str) -> Asked:
        """Draw a question that was drawn from a seed before, with the help that stood beside it then."""
        chance = random.Random(f"{seed}/help")
        self._asked.append(following.subject)
        item = draw_item(self.bench, self.benches, make_wanted(following.subject), seed)
        helped = following.help is not Help.UNAIDED
        hints = tuple(_list_hints(item, chance))
        example = None
        if following.help is Help.EXAMPLE:
            example = self._draw_example(following.subject, seed, chance)
        return Asked(item, following, seed, example, hints if helped else ())

    def peek_next(self, now: datetime, *, ahead: bool = False) -> Next | None:
        """Tell what `ask_next` would ask, without drawing it."""
        chance = random.Random(self._name_seed())
        return choose_next(self.pool, self.history, now, chance, asked=self._asked, ahead=ahead)

    def _name_seed(self) -> str:
        return f"{self._seed}/{len(self._asked)}"

    def take_in(self, attempt: Attempt) -> None:
        """Take in an answer that was kept since."""
        self.history = fold_outcomes(read_outcomes([attempt]), self.history)

    def _draw_example(self, subject: Subject, seed: str, chance: random.Random) -> Item:
        """Draw another question of the kind to be shown worked out: about something else where there is anything else."""
        others = [s for s in self.pool if s.kind == subject.kind and s != subject]
        shown = chance.choice(others) if others else subject
        return draw_item(self.bench, self.benches, make_wanted(shown), f"{seed}/example")


def _list_hints(item: Item, chance: random.Random) -> Iterator[tuple[str, Hint]]:
    """List the hints to an item by field; a field with few choices has none."""
    for field in item.fields:
        hint = make_hint(field.form, chance)
        if hint is not None:
            yield field.name, hint


def make_wanted(subject: Subject) -> Wanted:
    """Make what is wanted of a question about a subject."""
    narrows = find_kind(subject.kind).narrows
    return Wanted(subject.kind, given={narrows: subject.subject} if narrows else {})


def read_kinds(typed: Sequence[str], bench: Bench) -> tuple[QuestionKind, ...] | None:
    """Read kinds of question as typed; nothing where none was.

    Raises:
        RefusalError: there is no such kind, or the build has nothing to ask of it; near ones are given.
    """
    kinds = list(QuestionKind)
    for name in typed:
        if name not in kinds:
            raise RefusalError(f"no kind of question is called {name!r}; {say_near(name, kinds)}")
        if not list_subjects(bench, QuestionKind(name)):
            raise RefusalError(f"{bench.name} has nothing to ask of the kind {name}")
    return tuple(QuestionKind(name) for name in typed) or None
