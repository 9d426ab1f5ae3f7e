"""Where an order goes astray: what had to come first, told from what only stood beside it."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass

import pytest

from tests.plain_said import say_text
from trainer.lesson.astray import MOST_LINES_JUDGED, find_broken
from trainer.lesson.item import InOrder, LineMark, LineVerdict
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.wanted import Wanted
from trainer.session.asking import Benches, draw_item
from trainer.session.asking.replaying import ReplayJudge


@dataclass
class Waiting:
    """Judge a teardown by a list of (FIRST, THEN); what is refused waits, and comes off as soon as it can."""

    waits: frozenset[tuple[str, str]]
    right: tuple[str, ...] = ()
    judged: int = 0

    def judge(self, lines: Sequence[str]) -> tuple[LineMark, ...]:
        self.judged += len(lines)
        off, marks = set[str](), list[LineMark]()
        waiting = list[str]()
        for line in lines:
            verdict = LineVerdict.RIGHT if self._is_free(line, off, lines) else LineVerdict.WRONG
            marks.append(LineMark(line, verdict, say_text("why")))
            (waiting.append if verdict is LineVerdict.WRONG else off.add)(line)
            while freed := next((one for one in waiting if self._is_free(one, off, lines)), None):
                waiting.remove(freed)
                off.add(freed)
        return tuple(marks)

    def find_order(self) -> tuple[str, ...]:
        return self.right

    def _is_free(self, line: str, off: set[str], lines: Sequence[str]) -> bool:
        return all(first in off for first, then in self.waits if then == line and first in lines)


def test_only_what_had_to_come_first_is_named() -> None:
    judge = Waiting(frozenset({("nut", "cover"), ("cover", "gasket")}))
    assert find_broken(judge, ("drain", "cover", "plug", "nut", "gasket")) == (("nut", "cover"),)
    assert find_broken(judge, ("drain", "nut", "cover", "gasket", "plug")) == ()


def test_what_waits_by_way_of_a_third_had_to_wait_too() -> None:
    judge = Waiting(frozenset({("nut", "cover"), ("cover", "gasket")}))
    broken = set(find_broken(judge, ("gasket", "cover", "nut")))
    assert broken == {("nut", "cover"), ("cover", "gasket"), ("nut", "gasket")}


def test_what_a_right_order_bears_had_not_to_wait() -> None:
    judge = Waiting(frozenset({("nut", "cover")}), ("cover", "nut"))
    assert find_broken(judge, ("cover", "nut")) == ()


@pytest.mark.parametrize("joint", ["cover-joint", "clean-out-joint"])
def test_a_bolt_that_may_well_begin_is_not_said_to_have_to_wait_for_another(joint: str) -> None:
    benches = Benches()
    wanted = Wanted(QuestionKind.TIGHTEN, given={"joint": joint})
    item = draw_item(benches.open("end-suction/100-250"), benches, wanted, "bolts")
    form = item.fields[0].form
    assert isinstance(form, InOrder)
    right = form.judge.find_order()
    bolts = {line for line in right if line.startswith("bolt-")}
    for seed in range(20):
        lines = random.Random(seed).sample(right, len(right))
        for first, then in find_broken(form.judge, lines):
            assert first != "bolt-1" or then not in bolts
            assert right.index(first) < right.index(then)


def test_a_long_order_takes_no_more_time_than_was_set() -> None:
    names = [f"line-{n}" for n in range(60)]
    judge = Waiting(frozenset((names[-1], name) for name in names[:-1]))
    find_broken(judge, names)
    assert judge.judged <= MOST_LINES_JUDGED + 3 * len(names)


@pytest.mark.parametrize("way", ["teardown", "assembly"])
def test_what_a_pump_s_order_has_broken_is_broken_in_no_right_one(way: str) -> None:
    """Ask it the other way round: an order in which the two stand as named is right, turned it is not."""
    benches = Benches()
    bench = benches.open("end-suction/100-250")
    tried = 0
    for seed in range(8):
        wanted = Wanted(QuestionKind.PUT_IN_ORDER, given={"way": way})
        form = draw_item(bench, benches, wanted, str(seed)).fields[0].form
        assert isinstance(form, InOrder)
        assert isinstance(form.judge, ReplayJudge)
        order = list(form.judge.find_order())
        assert find_broken(form.judge, order) == ()
        lines = random.Random(seed).sample(order, len(order))
        for first, then in find_broken(form.judge, lines):
            tried += 1
            assert lines.index(then) < lines.index(first)
            alone = ReplayJudge(bench, (first, then), form.judge.way)
            assert alone.mark((first, then)).is_valid
            assert not alone.mark((then, first)).is_valid
    assert tried > 5
