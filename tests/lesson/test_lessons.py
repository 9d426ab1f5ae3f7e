"""The lessons we ship are sound."""

from __future__ import annotations

import pytest

from models.builds import list_builds
from trainer.lesson import Known, QuestionKind, Show, check_lesson, list_lessons, read_lesson

LESSONS = list_lessons()


def make_known() -> Known:
    builds = list_builds()
    return Known(
        builds=builds,
        options={name: family.option_values() for name, family in builds.items()},
        parts={name: set(family.every_place()) for name, family in builds.items()},
        clearances={name: set(family.every_clearance()) for name, family in builds.items()},
        faults={name: {fault.key for fault in family.faults} for name, family in builds.items()},
    )


def test_there_are_lessons() -> None:
    assert "end-suction-first-strip" in LESSONS


@pytest.mark.parametrize("course", LESSONS)
def test_a_lesson_names_only_what_is_there(course: str) -> None:
    assert check_lesson(read_lesson(LESSONS[course]), make_known()) == []


def test_the_first_strip_asks_about_parts_gaps_and_order() -> None:
    lesson = read_lesson(LESSONS["end-suction-first-strip"])
    asked = {question.kind for question in lesson.questions}
    assert asked >= {QuestionKind.POINT_OUT, QuestionKind.SHIM_THICKNESS, QuestionKind.PUT_IN_ORDER}


def test_the_first_strip_cautions_before_it_opens_anything() -> None:
    steps = read_lesson(LESSONS["end-suction-first-strip"]).steps
    opening = next(index for index, step in enumerate(steps) if is_open(step.show))
    assert opening >= 2
    assert all(step.caution for step in steps[:2])
    handling = [step for step in steps[opening:] if step.ask is None and is_open(step.show)]
    measuring = [step.title for step in handling if not step.caution]
    assert measuring == ["Measure while everything is still tight"]


def test_the_first_strip_shows_by_parts_how_far_it_has_got() -> None:
    # A share of the steps would show something else as soon as a pump has other parts.
    steps = read_lesson(LESSONS["end-suction-first-strip"]).steps
    assert {step.show.apart for step in steps} == {0.0}
    assert [step.show.off for step in steps if step.show.off] == [
        "suction-cover",
        "suction-cover",
        "suction-cover",
        "suction-cover",
        "retaining-washer",
        "shim",
        "seal-face",
        "back-plate",
        "shaft",
    ]


def is_open(show: Show) -> bool:
    return bool(show.off) or show.apart > 0
