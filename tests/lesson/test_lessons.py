"""The lessons we ship are sound."""

from __future__ import annotations

import pytest

from trainer.lesson import QuestionKind, list_lessons, read_lesson
from trainer.words import load_words

LESSONS = list_lessons()


def test_there_are_lessons() -> None:
    assert "end-suction-first-strip" in LESSONS


@pytest.mark.parametrize("course", LESSONS)
def test_every_part_a_lesson_names_has_a_name_to_be_shown(course: str) -> None:
    words = load_words()
    for step in read_lesson(LESSONS[course]).steps:
        for part in (*step.show.lit, *step.show.ghosted):
            assert words.has(f"part.{part}.name"), part


def test_the_first_strip_asks_one_question_of_each_kind_and_cautions_before_it_opens_anything() -> (
    None
):
    lesson = read_lesson(LESSONS["end-suction-first-strip"])
    assert sorted(question.kind for question in lesson.questions) == sorted(QuestionKind)
    assert lesson.steps[0].caution
    assert lesson.steps[1].caution
    assert all(step.show.apart == 0 for step in lesson.steps[:3])
