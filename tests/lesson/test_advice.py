"""What an instructor is told to do follows only from what the numbers are sure of."""

from __future__ import annotations

from trainer.lesson.advice import What, find_advice
from trainer.lesson.statistics import (
    Broken,
    ChoiceUse,
    Doubt,
    ItemFigures,
    find_mean_interval,
)


def figure(item: str, mean: float, count: int, *doubts: Doubt) -> ItemFigures:
    lies = find_mean_interval(mean, count)
    return ItemFigures(item, count, mean, lies, mean, None, None, doubts)


def test_a_handful_that_all_fail_is_sure_of_little_and_a_class_of_much() -> None:
    assert find_advice([figure("a/b", 0.0, 3)], [], []) == ()
    (found,) = find_advice([figure("a/b", 0.0, 12)], [], [])
    assert (found.what, found.item, found.choices) == (What.TEACH, "a/b", ())
    assert find_advice([figure("a/b", 1.0, 12)], [], []) == ()
    (found,) = find_advice([figure("a/b", 1.0, 60)], [], [])
    assert found.what is What.EASY


def test_what_most_took_is_named_and_what_few_took_is_not() -> None:
    def use(choice: str, taken: int, *, is_right: bool = False) -> ChoiceUse:
        return ChoiceUse("a/b", "part", choice, is_right, 40, taken, None)

    uses = [use("nut", 25), use("stud", 9), use("ring", 6, is_right=True)]
    (found,) = find_advice([figure("a/b", 0.15, 40)], uses, [])
    assert (found.what, found.choices) == (What.TEMPTS, ("nut",))
    (found,) = find_advice([figure("a/c", 0.15, 40)], uses, [])
    assert found.what is What.TEACH, "what tempted was another question's"
    uses = [use("nut", 5), use("ring", 6, is_right=True)]
    (found,) = find_advice([figure("a/b", 0.15, 40)], uses, [])
    assert found.what is What.TEACH


def test_questions_that_mislead_come_first_and_rare_breaks_not_at_all() -> None:
    figures = [figure("a/hard", 0.1, 40), figure("a/odd", 0.6, 120, Doubt.PARTS_THE_WRONG_WAY)]
    broken = [
        Broken("o/t", "screw", "cap", 12, 40),
        Broken("o/t", "key", "cap", 2, 4),  # of many, but by few
        Broken("o/t", "pin", "cap", 3, 40),  # by several, but of many more
    ]
    found = find_advice(figures, [], broken)
    assert [(one.what, one.item) for one in found] == [
        (What.LOOK, "a/odd"), (What.TEACH, "a/hard"), (What.SHOW, "o/t"),
    ]  # fmt: skip
    assert found[-1].choices == ("screw", "cap")
