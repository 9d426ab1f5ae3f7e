"""`lessons` lists what there is, `lessons check` finds what is wrong and draws what is sound."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result
from PIL import Image

from trainer.console import make_console
from trainer.console.lessons import name_sheet
from trainer.lesson import list_lessons

SHORT = """\
title: A short one
build: packing/38
steps:
- title: One
  show: {camera: side, cutaway: true, lit: [gland]}
  say: |
    There are {count: gland-nut} nuts, and **no** more than {25 kg | common practice}.
  caution: Mind your fingers.
- title: Two
  ask: {kind: name-it, id: a}
"""


def run(*arguments: str) -> Result:
    return CliRunner().invoke(make_console(), ["lessons", *arguments])


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "a-short-one" / "en" / "lesson.yaml"
    path.parent.mkdir(parents=True)
    path.write_text(SHORT, encoding="utf-8")
    return path


def test_every_lesson_is_listed() -> None:
    told = json.loads(run("--json").stdout)
    assert [one["course"] for one in told] == list(list_lessons())
    first = told[0]
    assert {"title", "build", "with", "steps", "questions", "file"} <= first.keys()
    shown = run().stdout
    assert all(one["title"] in shown for one in told)


def test_a_sound_lesson_is_drawn_step_by_step(file: Path, tmp_path: Path) -> None:
    folder = tmp_path / "pictures"
    result = run("check", str(file), "--pictures", str(folder), "--json")
    assert result.exit_code == 0
    (told,) = json.loads(result.stdout)
    assert (told["faults"], told["steps"], told["questions"]) == ([], 2, 1)
    (picture,) = told["pictures"]
    assert Path(picture) == (folder / "a-short-one-01.png").resolve()
    with Image.open(picture) as image:
        assert image.width > 1800
        assert image.height > 600
        # both pictures and the text below them: ink stands in both columns, none in the third
        grey = np.asarray(image.convert("L"))[150:-20]
        left, middle, right = np.array_split(grey, 3, axis=1)
        assert (left < 100).sum() > 1000
        assert (middle < 100).sum() > 1000
        assert not (right < 100).any()


def test_a_faulty_lesson_is_told_with_its_places(file: Path) -> None:
    file.write_text(
        SHORT.replace("gland]", "glnd]").replace("nuts,", "or 4 nuts,"), encoding="utf-8"
    )
    result = run("check", str(file))
    assert result.exit_code == 1
    assert f"{file}:7:37: the number 4 stands bare" in result.stderr
    file.write_text(SHORT.replace("gland]", "glnd]"), encoding="utf-8")
    result = run("check", str(file))
    assert result.exit_code == 1
    assert f"{file}:5:45: there is no part called glnd. Did you mean gland" in result.stderr


def test_a_folder_is_checked_with_all_the_lessons_in_it(file: Path, tmp_path: Path) -> None:
    other = tmp_path / "another" / "en" / "lesson.yaml"
    other.parent.mkdir(parents=True)
    other.write_text("title: [", encoding="utf-8")
    told = json.loads(run("check", str(tmp_path), "--json").stdout)
    assert {one["file"]: bool(one["faults"]) for one in told} == {
        str(other): True,
        str(file): False,
    }
    empty = tmp_path / "empty"
    empty.mkdir()
    result = run("check", str(empty))
    assert result.exit_code == 2
    assert "there is no lesson" in result.stderr


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    result = run("check", str(tmp_path / "no.yaml"))
    assert result.exit_code == 1
    assert "cannot be read" in result.stderr


def test_a_broken_lesson_does_not_hide_the_others(file: Path, tmp_path: Path) -> None:
    broken = tmp_path / "broken.yaml"
    broken.write_text("title: [", encoding="utf-8")
    told = json.loads(run("check", str(broken), str(file), "--json").stdout)
    assert [bool(one["faults"]) for one in told] == [True, False]


def test_pictures_are_named_by_the_course_never_by_what_a_file_says(tmp_path: Path) -> None:
    assert name_sheet(tmp_path / "some-course" / "en" / "lesson.yaml") == "some-course"
    assert name_sheet(tmp_path / "draft.yaml") == "draft"
