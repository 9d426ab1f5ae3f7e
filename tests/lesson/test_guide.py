"""The page on writing lessons says everything there is to say, and each of its examples is a sound lesson."""

from __future__ import annotations

import re

import pytest
from pydantic import BaseModel

from trainer.lesson import LESSONS_FOLDER, QuestionKind, parse_lesson
from trainer.lesson.asked import ASKED
from trainer.lesson.lesson import Camera
from trainer.lesson.schema import LessonText, ShowText, StepText
from trainer.lesson.written import End, RefersTo
from trainer.session.asking import Benches
from trainer.session.asking.kinds import KINDS
from trainer.session.lesson_checking import check_lesson_on_builds

GUIDE = (LESSONS_FOLDER / "README.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"^```yaml\n(.*?)^```$", GUIDE, re.MULTILINE | re.DOTALL)
SAID = set(re.findall(r"`([^`]+)`", re.sub(r"```.*?```", "", GUIDE, flags=re.DOTALL)))
HEAD = "title: An example\nbuild: end-suction/100-250\nsteps:\n"


def make_whole(example: str) -> str:
    return example if example.startswith("title:") else HEAD + example


def test_there_are_examples_of_lessons_steps_and_questions() -> None:
    assert len(EXAMPLES) >= 3
    assert sum(example.count("ask:") for example in EXAMPLES) >= 5


@pytest.mark.parametrize("example", EXAMPLES, ids=range(len(EXAMPLES)))
def test_every_example_is_a_sound_lesson(example: str) -> None:
    lesson = parse_lesson(make_whole(example).encode(), "README.md")
    # Whether every question can be drawn is held by the tests of drawing; here it would need the solids.
    assert check_lesson_on_builds(lesson, Benches(), draws=False) == []


def test_every_key_is_said() -> None:
    models: tuple[type[BaseModel], ...] = (LessonText, StepText, ShowText, *ASKED.values())
    keys = {field.alias or name for model in models for name, field in model.model_fields.items()}
    told = SAID | {one.partition(":")[0] for one in SAID}
    assert keys - told == set()


def test_every_kind_camera_and_reference_is_said() -> None:
    rows = set(re.findall(r"^\| `([a-z-]+)` \| ", GUIDE, re.MULTILINE))
    assert set(QuestionKind) <= rows
    assert set(Camera) <= SAID
    assert set(RefersTo) == set(re.findall(r"^\| `\{([a-z]+): ", GUIDE, re.MULTILINE))
    assert {f".{end}" for end in End} <= SAID


@pytest.mark.parametrize("kind", QuestionKind)
def test_each_kind_is_said_with_the_keys_that_narrow_it_down(kind: QuestionKind) -> None:
    row = next(line for line in GUIDE.splitlines() if line.startswith(f"| `{kind}` |"))
    given = set(ASKED[kind].model_fields) - {"id", "kind", "prompt", "afresh"}
    assert given <= set(re.findall(r"`([^`]+)`", row))


@pytest.mark.parametrize("kind", KINDS)
def test_a_lesson_can_give_what_a_kind_is_narrowed_down_by(kind: QuestionKind) -> None:
    narrows = KINDS[kind].narrows
    assert not narrows or narrows in ASKED[kind].model_fields
