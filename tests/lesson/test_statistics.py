"""Item statistics: what is undefined says so, small classes are doubted, simulated classes give back what they were made of."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.lesson.outcome import FieldOutcome, Help, Outcome
from trainer.lesson.simulated import draw_right, make_difficulties
from trainer.lesson.statistics import (
    Doubt,
    ScoreTable,
    correlate,
    correlate_ranks,
    count_broken,
    count_choices,
    find_figures,
    find_interval,
    find_mean_interval,
    find_reliability,
    make_table,
)

MORNING = datetime(2026, 12, 1, 8, tzinfo=UTC)


def make_outcome(person: str, item: str, score: float, minute: int = 0, **field: object) -> Outcome:
    one = FieldOutcome("only", "one-of", score, **field)  # type: ignore[arg-type]  # named by the test
    return Outcome(person, item, MORNING + timedelta(minutes=minute), score, (one,))


def make_scores(rows: list[list[float]]) -> ScoreTable:
    scores = np.array(rows, dtype=float)
    persons, items = (tuple(str(n) for n in range(count)) for count in scores.shape)
    return ScoreTable(persons, items, scores)


def test_only_the_first_answer_of_a_person_counts() -> None:
    table = make_table([make_outcome("Ann", "a/x", 0.0), make_outcome("Ann", "a/x", 1.0, 5)])
    assert table.scores.tolist() == [[0.0]]


def test_an_answer_with_help_is_no_first_answer() -> None:
    helped = replace(make_outcome("Ann", "a/x", 1.0), help=Help.HINTED)
    shown = replace(make_outcome("Bob", "a/x", 1.0), help=Help.EXAMPLE)
    unaided = make_outcome("Ann", "a/x", 0.25, 5)
    table = make_table([helped, shown, unaided])
    assert (table.persons, table.scores.tolist()) == (("Ann",), [[0.25]])


@pytest.mark.parametrize(
    ("right", "count", "least", "most"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_mean_of_marks_lies_where_published_examples_say(
    right: int, count: int, least: float, most: float
) -> None:
    """R. G. Newcombe, Statistics in Medicine 17 (1998) 857, table I, method 3, from memory."""
    assert find_mean_interval(right / count, count) == pytest.approx((least, most), abs=5e-5)


def test_a_question_that_all_get_right_may_still_be_hard_for_the_next() -> None:
    (only,) = find_figures(make_scores([[1.0], [1.0], [1.0]]))
    assert only.lies[0] < 0.5
    assert only.lies[1] == 1.0


def test_what_was_not_answered_counts_for_nothing() -> None:
    given_ = [("Ann", "a/x", 1.0), ("Ann", "a/y", 0.0), ("Bob", "a/x", 0.0)]
    table = make_table([make_outcome(*one) for one in given_])
    x, y = find_figures(table)
    assert (x.count, x.difficulty) == (2, 0.5)
    assert (y.count, y.difficulty) == (1, 0.0)
    reliability = find_reliability(table)
    assert (reliability.persons, reliability.alpha) == (1, None)
    assert reliability.doubts == (Doubt.NOBODY_ANSWERED_ALL,)


def test_an_item_that_all_get_right_parts_nobody() -> None:
    (right, _, _) = find_figures(make_scores([[1, 0, 1], [1, 1, 1], [1, 0, 0]]))
    assert right.discrimination is None
    assert Doubt.ALL_ALIKE in right.doubts


def test_a_small_class_is_doubted_and_a_large_one_is_not() -> None:
    chance = np.random.default_rng(1)
    scores = (chance.random((120, 6)) < 0.6).astype(float)
    few, many = (find_figures(make_scores(scores[:n].tolist())) for n in (12, 120))
    assert all(Doubt.FEW_FOR_DIFFICULTY in one.doubts for one in few)
    assert all(Doubt.FEW_FOR_DISCRIMINATION in one.doubts for one in few)
    assert not any({Doubt.FEW_FOR_DIFFICULTY, Doubt.FEW_FOR_DISCRIMINATION} & set(one.doubts) for one in many)  # fmt: skip
    # The figures that the thresholds are told with.
    assert find_mean_interval(0.5, 30) == pytest.approx((0.33, 0.67), abs=0.005)
    assert find_interval(0.0, 100) == pytest.approx((-0.2, 0.2), abs=0.006)


def test_an_item_that_the_strong_get_wrong_is_told() -> None:
    rows = [[1.0, 0.0, 0.0, 0.0]] * 20 + [[0.0, 1.0, 1.0, 1.0]] * 20 + [[0.0, 1.0, 0.0, 1.0]] * 5
    turned = find_figures(make_scores(rows))[0]
    assert turned.discrimination is not None
    assert turned.discrimination < 0
    assert Doubt.PARTS_THE_WRONG_WAY in turned.doubts
    few = find_figures(make_scores([*rows[:2], *rows[20:22], [1.0, 1.0, 0.0, 1.0]]))[0]
    assert few.between is not None
    assert few.between[0] < 0.0 < few.between[1]
    assert Doubt.PARTS_THE_WRONG_WAY not in few.doubts, "so few may do so by chance"


def test_who_answered_nothing_else_does_not_count_for_how_an_item_parts() -> None:
    rows = [[1.0, 1.0, 0.5], [0.0, 0.0, 0.5], [1.0, 0.0, 0.0], [0.0, 1.0, 1.0]]
    alone = [[1.0, math.nan, math.nan], [0.0, math.nan, math.nan]]
    (whole, *_), (more, *_) = (find_figures(make_scores(some)) for some in (rows, rows + alone))
    assert more.discrimination == pytest.approx(whole.discrimination)
    assert (more.count, whole.count) == (6, 4)


def test_wrong_choices_are_counted_of_the_times_they_were_offered() -> None:
    of, right = ("a", "b", "c"), ("a",)
    found = count_choices(
        [
            make_outcome("Ann", "k/x", 0.0, taken=("b",), offered=of, right=right),
            make_outcome("Bob", "k/x", 1.0, taken=("a",), offered=of, right=right),
            make_outcome("Cid", "k/x", 0.0, taken=("d",), offered=("a", "d"), right=("a",)),
        ]
    )
    shares = {use.choice: (use.taken, use.offered) for use in found}
    assert shares == {"a": (1, 3), "b": (1, 2), "c": (0, 2), "d": (1, 1)}
    assert [use.choice for use in found] == ["d", "b", "c", "a"]
    assert all(use.rest is None for use in found), "nobody answered anything else"


def test_of_a_choice_it_is_told_how_well_those_who_took_it_did_elsewhere() -> None:
    found = count_choices(
        [
            make_outcome("Ann", "k/x", 0.0, taken=("b",), offered=("a", "b"), right=("a",)),
            make_outcome("Bob", "k/x", 0.0, taken=("b",), offered=("a", "b"), right=("a",)),
            make_outcome("Cid", "k/x", 1.0, taken=("a",), offered=("a", "b"), right=("a",)),
            *(
                make_outcome(name, "k/y", score)
                for name, score in (("Ann", 0.5), ("Bob", 0.25), ("Cid", 1.0))
            ),
        ]
    )
    assert {use.choice: use.rest for use in found} == {"a": 1.0, "b": pytest.approx(0.375)}


def test_a_choice_that_is_right_for_one_and_wrong_for_another_is_counted_apart() -> None:
    of = ("a", "b")
    found = count_choices(
        [
            make_outcome("Ann", "k/x", 1.0, taken=("a",), offered=of, right=("a",)),
            make_outcome("Bob", "k/x", 0.0, taken=("a",), offered=of, right=("b",)),
        ]
    )
    assert sorted((use.choice, use.is_right, use.taken, use.offered) for use in found) == [
        ("a", False, 1, 1),
        ("a", True, 1, 1),
        ("b", False, 0, 1),
        ("b", True, 0, 1),
    ]


def test_the_precedence_that_is_broken_most_comes_first() -> None:
    lines = ("x", "y", "z")
    found = count_broken(
        [
            make_outcome("Ann", "k/x", 0.5, lines=lines, broken=(("y", "x"), ("z", "x"))),
            make_outcome("Bob", "k/x", 0.5, lines=lines, broken=(("y", "x"),)),
            make_outcome("Cid", "k/x", 1.0, lines=lines),
            make_outcome("Dee", "k/x", 1.0, lines=("x", "z")),
        ]
    )
    assert [(one.first, one.then, one.broken, one.asked) for one in found] == [
        ("y", "x", 2, 3),
        ("z", "x", 1, 4),
    ]


def test_equal_ranks_are_shared() -> None:
    # Worked by hand: ranks 1, 2.5, 2.5, 4 against 1, 2, 3, 4.
    assert correlate_ranks([1, 5, 5, 9], [1, 2, 3, 4]) == pytest.approx(4.5 / math.sqrt(4.5 * 5))


@given(st.lists(st.tuples(st.floats(-9, 9), st.floats(-9, 9)), min_size=3, max_size=20))
def test_a_correlation_lies_between_minus_one_and_one(pairs: list[tuple[float, float]]) -> None:
    found = correlate(*zip(*pairs, strict=True))
    assert found is None or -1.0 - 1e-9 <= found <= 1.0 + 1e-9


@settings(max_examples=12)
@given(seed=st.integers(0, 2**32 - 1), items=st.integers(8, 30))
def test_five_hundred_simulated_learners_give_back_the_order_of_difficulty(
    seed: int, items: int
) -> None:
    difficulties = make_difficulties(items)
    right = draw_right(difficulties, 500, np.random.default_rng(seed))
    found = [one.difficulty for one in find_figures(make_scores(right.astype(float).tolist()))]
    agreement = correlate_ranks([-b for b in difficulties], found)
    assert agreement is not None
    assert agreement >= 0.9
