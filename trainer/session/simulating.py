"""Simulate a class that answers real questions: who is right is drawn, what is answered and its mark are worked out.

A learner is more or less able, a question more or less hard (`lesson/simulated.py`). Whoever gets it wrong answers as
people do: some wrong choice rather than another, two lines of an order changed over, a number that a slip leads to.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np

from trainer.lesson.item import (
    Answer,
    Form,
    InOrder,
    Item,
    LineVerdict,
    Number,
    OneOf,
    Pairs,
    Pointed,
    Reply,
    SomeOf,
)
from trainer.lesson.marking import mark_item, reply_rightly
from trainer.lesson.outcome import Outcome
from trainer.lesson.practice import Subject
from trainer.lesson.simulated import draw_right, make_difficulties
from trainer.lesson.statistics import correlate_ranks, find_figures, make_table
from trainer.session.asking.benches import Benches
from trainer.session.asking.drawing import draw_item
from trainer.session.attempting import describe_fields
from trainer.session.bench import Bench
from trainer.session.practising import list_pool, make_wanted

BEGAN = datetime(2026, 1, 5, 8, tzinfo=UTC)
"""When a simulated class sits down; nobody's clock."""
TEMPTING = 2.0
"""How many times as often one wrong choice is taken as the next."""
MOST_MOVES = 12
"""Lines of an order moved, one at a time, until one is wrong where it stands."""
BEYOND = 3.0
"""A wrong number without a known slip lies so many widths of the band off."""


@dataclass(frozen=True, slots=True)
class SimulatedClass:
    """What a simulated class answered.

    difficulties: by item, what was put in. agreement: their rank correlation with the share that got all wrong, or part.
    """

    outcomes: tuple[Outcome, ...]
    difficulties: Mapping[str, float]
    agreement: float | None


def simulate_class(
    bench: Bench, benches: Benches, learners: int, items: int, seed: int
) -> SimulatedClass:
    """Simulate a class that answers questions of a pump.

    Args:
        bench: the pump.
        benches: where others are opened from.
        learners: how many.
        items: how many questions, spread over all kinds.
        seed: the same makes the same class.
    """
    chance, draws = random.Random(seed), np.random.default_rng(seed)
    drawn = _draw_items(bench, benches, items, chance)
    difficulties = list(make_difficulties(len(drawn)))
    chance.shuffle(difficulties)
    right = draw_right(tuple(difficulties), learners, draws)
    outcomes = tuple(
        _answer(item, f"learner {row + 1}", is_right=bool(right[row, column]), chance=chance,
                when=BEGAN + timedelta(minutes=column))
        for row in range(learners)
        for column, item in enumerate(drawn)
    )  # fmt: skip
    put_in = {item.key: b for item, b in zip(drawn, difficulties, strict=True)}
    found = {one.item: one.all_right for one in find_figures(make_table(outcomes))}
    agreement = correlate_ranks(
        [-put_in[item] for item in sorted(put_in)], [found[item] for item in sorted(put_in)]
    )
    return SimulatedClass(outcomes, put_in, agreement)


def _draw_items(bench: Bench, benches: Benches, count: int, chance: random.Random) -> list[Item]:
    """Draw different items, kind after kind, until there are enough or no more."""
    by_kind: dict[str, list[Subject]] = {}
    for subject in list_pool(bench):
        by_kind.setdefault(subject.kind, []).append(subject)
    for subjects in by_kind.values():
        chance.shuffle(subjects)
    drawn: dict[str, Item] = {}
    while len(drawn) < count and any(by_kind.values()):
        for subjects in by_kind.values():
            if subjects and len(drawn) < count:
                item = draw_item(bench, benches, make_wanted(subjects.pop()), "class")
                drawn.setdefault(item.key, item)
    return list(drawn.values())


def _answer(
    item: Item, person: str, *, is_right: bool, chance: random.Random, when: datetime
) -> Outcome:
    wrong = chance.choice(item.fields).name
    answer: Answer = {
        field.name: reply_rightly(field.form)
        if is_right or field.name != wrong
        else _REPLIES[type(field.form)](field.form, chance)
        for field in item.fields
    }
    mark = mark_item(item, answer)
    return Outcome(person, item.key, when, mark.score, describe_fields(item, answer, mark))


# ------------------------------------------------------------------ right and wrong replies
def _choose_tempting(names: Sequence[str], chance: random.Random) -> str:
    """Choose among wrong ones, each TEMPTING times as often as the next by name."""
    ordered = sorted(names)
    return chance.choices(ordered, [TEMPTING**-n for n in range(len(ordered))])[0]


def _miss_one(form: Form, chance: random.Random) -> Reply:
    assert isinstance(form, OneOf)
    return _choose_tempting([c.id for c in form.choices if c.id not in form.right], chance)


def _miss_some(form: Form, chance: random.Random) -> Reply:
    assert isinstance(form, SomeOf)
    taken = set(form.right)
    taken.discard(chance.choice(sorted(form.right)))
    wrong = [c.id for c in form.choices if c.id not in form.right]
    return tuple(sorted(taken | ({_choose_tempting(wrong, chance)} if wrong else set())))


def _miss_pairs(form: Form, chance: random.Random) -> Reply:
    assert isinstance(form, Pairs)
    given = dict(form.right)
    one = chance.choice(sorted(given))
    others = [choice.id for choice in form.choices if choice.id != given[one]]
    return given | {one: chance.choice(others)}


def _miss_number(form: Form, chance: random.Random) -> Reply:
    assert isinstance(form, Number)
    if form.mistakes:
        slip = chance.choice(form.mistakes)
        return f"{(slip.low + slip.high) / 2.0:.9f}"
    width = max(form.high - form.low, 10.0**-form.digits)
    return f"{form.high + BEYOND * width:.9f}"


def _miss_pointed(form: Form, chance: random.Random) -> Reply:
    assert isinstance(form, Pointed)
    return chance.choice(sorted(form.parts.keys() - form.right))


def _miss_order(form: Form, chance: random.Random) -> Reply:
    assert isinstance(form, InOrder)
    right = form.judge.find_order()
    for _ in range(MOST_MOVES):
        lines = list(right)
        place = chance.randrange(1, len(lines))
        lines.insert(chance.randrange(place), lines.pop(place))
        if any(mark.verdict is LineVerdict.WRONG for mark in form.judge.judge(lines)):
            return tuple(lines)
    return right[1:]  # any order would do; then something is forgotten


_REPLIES: Mapping[type[Form], Callable[[Form, random.Random], Reply]] = {
    OneOf: _miss_one,
    SomeOf: _miss_some,
    Pairs: _miss_pairs,
    Number: _miss_number,
    Pointed: _miss_pointed,
    InOrder: _miss_order,
}
