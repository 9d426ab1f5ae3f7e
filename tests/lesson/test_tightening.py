"""Any good cross pattern is right, whichever it is; what closes one side first is not."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import pytest

from trainer.lesson.item import LineVerdict
from trainer.lesson.tightening import AT_ONCE, BY_HAND, PASSES, CrossJudge, number_round

WRITTEN = {
    4: ("1 3 2 4", "1 3 4 2", "2 4 1 3"),
    6: ("1 4 2 5 3 6", "1 4 2 5 6 3"),
    8: ("1 5 3 7 2 6 4 8", "1 5 2 6 3 7 4 8", "3 7 1 5 4 8 2 6"),
    12: ("1 7 4 10 2 8 5 11 3 9 6 12",),
}
"""Patterns by number of bolts as they are written on joints. Source: common practice, from memory."""


def write(pattern: str) -> tuple[str, ...]:
    return (BY_HAND, *(f"bolt-{number}" for number in pattern.split()), *PASSES)


def list_bad(count: int, lines: tuple[str, ...]) -> list[str]:
    bad = {LineVerdict.WRONG, LineVerdict.MISSED}
    return [mark.line for mark in CrossJudge(count).judge(lines) if mark.verdict in bad]


@pytest.mark.parametrize(("count", "pattern"), [(n, p) for n, ps in WRITTEN.items() for p in ps])
def test_patterns_as_they_are_written_on_joints_are_right(count: int, pattern: str) -> None:
    assert list_bad(count, write(pattern)) == []


@pytest.mark.parametrize("count", range(4, 13))
def test_whatever_is_allowed_next_ends_in_an_order_that_is_right(count: int) -> None:
    judge, chance = CrossJudge(count), random.Random(count)
    for _ in range(40):
        done: list[int] = []
        while len(done) < count:
            done.append(chance.choice(judge.list_next(done)))
        assert sorted(done) == list(range(1, count + 1))
        assert list_bad(count, write(" ".join(map(str, done)))) == []
        # in space: the first two lie across, as far as that many bolts can
        angles = [math.tau * number / count for number in done]
        assert math.cos(angles[1] - angles[0]) <= -math.cos(math.pi / count) + 1e-9


@pytest.mark.parametrize("count", [4, 6, 8])
def test_an_order_is_as_good_wherever_one_begins_and_whichever_way_round(count: int) -> None:
    judge = CrossJudge(count)
    order = [int(line.rpartition("-")[2]) for line in judge.find_order() if line.startswith("bolt")]
    for shift in range(count):
        for sign in (1, -1):
            moved = [(sign * number + shift) % count + 1 for number in order]
            assert list_bad(count, write(" ".join(map(str, moved)))) == []


@pytest.mark.parametrize("count", [4, 6, 8])
def test_one_after_the_other_round_is_wrong(count: int) -> None:
    bad = list_bad(count, write(" ".join(str(number) for number in range(1, count + 1))))
    # of four, going on beside the pair is what there is to do
    assert bad == [f"bolt-{number}" for number in range(2, count if count > 4 else 3)]


def test_passes_come_in_their_order_and_each_mistake_is_told_once() -> None:
    hand, *bolts = write(WRITTEN[4][0])[:5]
    second, third, last = PASSES
    for lines, bad in (
        ((*bolts, hand, second, third, last), [hand]),
        ((hand, *bolts, third, second, last), [third]),
        ((hand, *bolts, last, second, third), [last]),
        ((hand, second, *bolts, third, last), [second]),
        ((hand, AT_ONCE, *bolts, second, third, last), [AT_ONCE]),
        ((hand, *bolts, second, third), [last]),
        ((hand, *bolts[:3], second, third, last), [bolts[3]]),
    ):
        assert list_bad(4, lines) == bad


def test_numbers_run_clockwise_from_the_top() -> None:
    spots = [(0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0)]
    assert number_round(spots) == (2, 1, 0, 3)
    many = [(math.cos(turn), math.sin(turn)) for turn in (0.3, 2.0, 4.0, 5.5, 1.2)]
    ring = [many[at] for at in number_round(many)]
    assert all(x * v - y * u < 0.0 for (x, y), (u, v) in pairwise(ring))
