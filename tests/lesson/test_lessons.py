"""The lessons we ship are sound."""

from __future__ import annotations

import pytest

from models.builds import list_builds
from trainer.lesson import Known, QuestionKind, check_lesson, list_lessons, read_lesson

LESSONS = list_lessons()


def make_known() -> Known:
    builds = list_builds()
    return Known(
        builds=builds,
        options={name: family.option_values() for name, family in builds.items()},
        parts={name: set(family.every_place()) for name, family in builds.items()},
        clearances={name: set(family.every_clearance()) for name, family in builds.items()},
    )


def test_there_are_lessons() -> None:
    assert "end-suction-first-strip" in LESSONS


@pytest.mark.parametrize("course", LESSONS)
def test_a_lesson_names_only_what_is_there(course: str) -> None:
    assert check_lesson(read_lesson(LESSONS[course]), make_known()) == []


def test_the_first_strip_asks_one_question_of_each_kind() -> None:
    lesson = read_lesson(LESSONS["end-suction-first-strip"])
    assert sorted(question.kind for question in lesson.questions) == sorted(QuestionKind)


def test_the_first_strip_cautions_before_it_opens_anything() -> None:
    steps = read_lesson(LESSONS["end-suction-first-strip"]).steps
    opening = next(index for index, step in enumerate(steps) if step.show.apart > 0)
    assert opening >= 2
    assert all(step.caution for step in steps[:2])
    assert all(
        step.caution for step in steps[opening:] if step.ask is None and step.show.apart > 0.5
    )
