"""Hints: each leaves what is right, and something to think about."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.plain_said import say_text
from trainer.lesson.following import FollowJudge
from trainer.lesson.hinting import AMONG, WIDER, make_hint
from trainer.lesson.item import (
    Choice,
    Form,
    InOrder,
    Mistake,
    Number,
    OneOf,
    Pairs,
    Pointed,
    SomeOf,
)
from trainer.lesson.said import Amount, Filling, name_piece

SEEDS = st.integers(0, 10_000)


def make_choices(names: str) -> tuple[Choice, ...]:
    return tuple(Choice(name, say_text(name), say_text(f"why {name}")) for name in names)


def read_hint(form: Form, seed: int, field: str) -> Filling:
    hint = make_hint(form, random.Random(seed))
    assert hint is not None
    return hint.said.fields[field]


@pytest.mark.parametrize("there_are", [4, 5, 8])
@given(seed=SEEDS)
def test_of_many_choices_a_wrong_one_goes(there_are: int, seed: int) -> None:
    choices = make_choices("abcdefgh"[:there_are])
    told = read_hint(OneOf(choices, frozenset("bd")), seed, "choice")
    assert told in {one.said for one in choices if one.id not in "bd"}


@pytest.mark.parametrize("there_are", [2, 3])
def test_of_few_choices_none_goes(there_are: int) -> None:
    form = OneOf(make_choices("abc"[:there_are]), frozenset("b"))
    assert make_hint(form, random.Random(1)) is None


@given(SEEDS, st.floats(-50.0, 50.0), st.floats(0.001, 1.0))
def test_a_number_lies_well_inside_the_band_that_is_told(
    seed: int, aim: float, half: float
) -> None:
    why = say_text("why")
    form = Number(aim, aim - half, aim + half, why, mistakes=(Mistake(99.0, 99.0, why),))
    low, high = (read_hint(form, seed, name) for name in ("least", "most"))
    assert isinstance(low, Amount)
    assert isinstance(high, Amount)
    assert high.value - low.value == pytest.approx(WIDER * max(2 * half, 0.01))
    assert 0.19 < (aim - low.value) / (high.value - low.value) < 0.81


def test_the_middle_of_the_band_is_not_always_right() -> None:
    form = Number(1.0, 0.9, 1.1, say_text("why"))
    middles = set()
    for seed in range(20):
        low, high = (read_hint(form, seed, name) for name in ("least", "most"))
        assert isinstance(low, Amount)
        assert isinstance(high, Amount)
        middles.add(round(low.value + high.value, 6))
    assert len(middles) > 10


@given(SEEDS)
def test_what_is_pointed_at_is_among_pieces_of_other_parts(seed: int) -> None:
    parts = {f"{part}-{number}": part for part in ("nut", "key", "cap", "pin", "rod") for number in (1, 2)}  # fmt: skip
    told = read_hint(Pointed(frozenset({"nut-1", "nut-2"}), parts), seed, "pieces")
    assert isinstance(told, tuple)
    assert name_piece("nut-1") in told
    assert len(told) == AMONG
    assert name_piece("nut-2") not in told


@given(SEEDS)
def test_a_pair_that_is_given_is_right(seed: int) -> None:
    form = Pairs(make_choices("ab"), make_choices("xyz"), {"a": "y", "b": "x"})
    hint = make_hint(form, random.Random(seed))
    assert hint is not None
    pair = tuple(hint.said.fields[side] for side in ("left", "right"))
    assert pair in {(say_text("a"), say_text("y")), (say_text("b"), say_text("x"))}


def test_of_several_it_is_told_how_many_and_of_an_order_both_ends() -> None:
    choices = make_choices("abc")
    assert read_hint(SomeOf(choices, frozenset("ac")), 1, "number") == 2
    texts = {name: say_text(name) for name in "abc"}
    judge = FollowJudge(("b", "a", "c"), {}, frozenset(), frozenset(), texts)
    ends = (read_hint(InOrder(choices, judge), 1, name) for name in ("first", "last"))
    assert tuple(ends) == (say_text("b"), say_text("c"))
