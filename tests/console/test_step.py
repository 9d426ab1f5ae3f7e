"""The command `step`: its answers for people and scripts, the files it writes, and how it refuses."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from PIL import Image

from models.spec.errors import ContentError, RefusalError, SurroundingsError
from tests.step_scenes import make_cover_scene, make_overlap_scene, write_scene
from trainer.console import make_console

pytestmark = pytest.mark.xdist_group("step")  # one process reads the file, and all ask that


@pytest.fixture(scope="module", autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        yield


@pytest.fixture(scope="module")
def cover(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_scene(tmp_path_factory.mktemp("files") / "cover.step", make_cover_scene())


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(make_console(), ["step", *map(str, arguments)])


def ask(*arguments: str | Path, status: int = 0) -> Any:
    result = run(*arguments, "--json")
    assert result.exit_code == status, result.output
    return json.loads(result.stdout)


def test_scripts_get_parts_joints_order_and_what_is_stuck(cover: Path) -> None:
    answer = ask(cover)
    assert answer["pieces"] == 10
    assert {part["name"]: part["kind"] for part in answer["parts"]}["screw"] == "screw"
    assert answer["joints"][0]["told"] == "cover and box are held together by screw 1"
    assert [step["part"] for step in answer["steps"]] == ["screw", "washer", "cover"]
    assert {step["direction"] for step in answer["steps"]} == {"+z"}
    assert answer["stuck"] == []
    assert {one["verdict"] for one in answer["overlaps"]} <= {"thread", "contact"}


def test_people_get_sentences(cover: Path) -> None:
    result = run(cover)
    assert result.exit_code == 0
    for told in (
        "10 pieces in 4 kinds of part",
        "a hexagon head on a shank along one axis",
        "cover and box are held together by screw 4",
        "4 pairs overlap as drawn threads do",
        "Every part comes free by straight moves",
        "maker's manual",
    ):
        assert told in " ".join(result.stdout.split())


def test_a_form_is_written_that_changes_nothing_when_read_back(cover: Path, tmp_path: Path) -> None:
    form = tmp_path / "form.toml"
    before = ask(cover, "--write-form", form)
    after = ask(cover, "--form", form)
    for key in ("steps", "joints", "stuck", "base", "overlaps"):
        assert after[key] == before[key]
    kinds = [[(part["name"], part["kind"]) for part in one["parts"]] for one in (before, after)]
    assert kinds[0] == kinds[1]


def test_guessed_joints_in_the_written_form_can_be_put_in_force(
    cover: Path, tmp_path: Path
) -> None:
    form = tmp_path / "form.toml"
    before = ask(cover, "--write-form", form)
    text = form.read_text(encoding="utf-8")
    head, joints = text.split("# Joints", 1)
    lines = [
        line.removeprefix("# ") if "=" in line or "[[" in line else line
        for line in joints.splitlines()
    ]
    form.write_text(head + "# Joints" + "\n".join(lines), encoding="utf-8")
    after = ask(cover, "--form", form)
    assert {joint["surety"] for joint in after["joints"]} == {"said"}
    assert after["steps"] == before["steps"]


def test_names_of_the_form_are_used_everywhere(cover: Path, tmp_path: Path) -> None:
    form = tmp_path / "form.toml"
    form.write_text(
        '[parts.screw]\nname = "lid bolt"\nmany = "lid bolts"\n'
        '[parts.cover]\nname = "lid"\nbefore = ["Hang the lid in a sling."]\n',
        encoding="utf-8",
    )
    told = " ".join(run(cover, "--form", form).stdout.split())
    assert "lid and box are held together by lid bolt 1" in told
    assert "4 lid bolts" in told
    assert "Hang the lid in a sling." in told


def test_pictures_are_drawn(cover: Path, tmp_path: Path) -> None:
    apart, together = tmp_path / "apart.png", tmp_path / "together.png"
    answer = ask(cover, "--out", apart, "--together", together, "--size", "640x400")
    assert answer["files"] == [str(apart), str(together)]
    for file in (apart, together):
        with Image.open(file) as opened:
            picture = opened.convert("RGB")
        assert picture.size == (640, 400)
        assert len(picture.getcolors(10**6) or []) > 50


def test_a_question_comes_with_plate_and_key_and_is_marked(cover: Path, tmp_path: Path) -> None:
    question = tmp_path / "cover.txt"
    ask(cover, "--question", question)
    sheet = question.read_text(encoding="utf-8")
    assert "What stays on the bench: box." in sheet
    assert "cover-plate.png" in sheet
    key = (tmp_path / "cover-key.txt").read_text(encoding="utf-8")
    steps = [line for line in key.splitlines() if line[:2] in {"1.", "2.", "3."}]
    assert ["screw" in steps[0], "washer" in steps[1], "cover" in steps[2]] == [True] * 3
    with Image.open(tmp_path / "cover-plate.png") as plate:
        assert plate.height > plate.width
    answer = tmp_path / "answer.txt"
    numbers = [line.split("[")[1].split("]")[0] for line in steps]
    answer.write_text("\n".join(numbers), encoding="utf-8")
    assert ask(cover, "--mark", answer)["valid"]
    answer.write_text("\n".join(reversed(numbers)), encoding="utf-8")
    marked = ask(cover, "--mark", answer, status=1)
    assert "is still held by" in marked["steps"][0]["why"]
    told = " ".join(run(cover, "--mark", answer).stdout.split())
    assert "cover is still held by" in told


def test_a_deep_overlap_is_a_no_until_it_is_tolerated(tmp_path: Path) -> None:
    file = write_scene(tmp_path / "overlap.step", make_overlap_scene(1.5))
    result = run(file)
    assert result.exit_code == 1
    assert "lower block and upper block by 1.50 mm" in " ".join(result.stdout.split())
    assert ask(file, "--overlap", "2")["overlaps"][0]["verdict"] == "tolerated"


def test_bad_input_is_refused_with_what_to_do(cover: Path, tmp_path: Path) -> None:
    empty, form = tmp_path / "empty.step", tmp_path / "form.toml"
    empty.write_bytes(b"")
    form.write_text("[parts.scrw]\n", encoding="utf-8")
    assert isinstance(run(tmp_path / "none.step").exception, SurroundingsError)
    assert isinstance(run(empty).exception, ContentError)
    refused = run(cover, "--form", form).exception
    assert isinstance(refused, ContentError)
    assert "did you mean screw" in str(refused)
    assert isinstance(run(cover, "--overlap", "-1").exception, RefusalError)
    wrong_name = run(cover, "--question", tmp_path / "question.doc")
    assert wrong_name.exit_code == 2
    assert ".txt" in wrong_name.output


def test_no_file_is_lost_by_writing(cover: Path, tmp_path: Path) -> None:
    form = tmp_path / "form.toml"
    form.write_text("# my own entries\n", encoding="utf-8")
    for arguments in (
        ("--write-form", form),
        ("--form", form, "--write-form", form),
        ("--out", tmp_path / "a.png", "--together", tmp_path / "a.png"),
        ("--out", tmp_path / "q-plate.png", "--question", tmp_path / "q.txt"),
    ):
        assert run(cover, *arguments).exit_code == 2
    assert form.read_text(encoding="utf-8") == "# my own entries\n"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["form.toml"]


def test_help_shows_the_form_line_by_line() -> None:
    told = run("--help").stdout
    assert '\n    up = "z" ' in told
    assert "--write-form" in told
