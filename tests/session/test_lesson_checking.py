"""A lesson is checked as it will be shown: on each page's own build, and with every question drawn."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from models.spec.errors import ContentError
from trainer.lesson import LESSONS_FOLDER, list_lessons, parse_lesson, read_lesson
from trainer.session.asking import Benches
from trainer.session.lesson_checking import check_lesson_on_builds

HOUSE = LESSONS_FOLDER.parent
BENCHES = Benches()
SOUND = """\
title: Try
build: end-suction/100-250
with: {bracket: enclosed}
steps:
- title: One
  show: {lit: [bath-drain-plug], camera: side}
  say: |
    The gap is {limit: back-vane.least}

    to {limit: back-vane.most}.
- title: Two
  show: {build: mechanical-seal/38, fault: seat-o-ring-left-out, near: [seal-seat]}
  say: Its share is {25 kg | common practice}.
- title: Three
  show: {clearance: back-vane}
  ask: {kind: read-gap, id: c, clearance: back-vane}
"""


def check(text: str, *, draws: bool = False) -> list[str]:
    return [
        f"{fault.line}:{fault.column} {fault.what}. {fault.remedy}"
        for fault in check_lesson_on_builds(parse_lesson(text.encode(), "f"), BENCHES, draws=draws)
    ]


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ("{braket: enclosed}", "3:16 there is no option called braket. Did you mean bracket"),
        ("{bracket: closed}", "3:17 there is no value of bracket called closed. Did you mean"),
        ("{bracket: enclosed, shaft-seal: packed}", "3:7 shaft-seal=packed requires bracket=open"),
    ],
)
def test_an_option_that_there_is_not_is_told_once(wrong: str, told: str) -> None:
    lesson = parse_lesson(SOUND.replace("{bracket: enclosed}", wrong).encode(), "x.yaml")
    faults = check_lesson_on_builds(lesson, BENCHES, draws=False)
    mine = [f"{one.line}:{one.column} {one.what}. {one.remedy}" for one in faults if one.line == 3]
    assert len(mine) == 1
    assert mine[0].startswith(told)


def test_a_sound_lesson_has_no_fault() -> None:
    assert check(SOUND, draws=True) == []


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        (
            "{limit: back-vane.most}",
            "{limit: bak-vane.most}",
            "10:8 no clearance is called 'bak-vane'. Did you mean back-vane",
        ),
        # it is there, but not with the option that the lesson chooses
        (
            "{bracket: enclosed}",
            "{bracket: open}",
            "6:16 no piece or part is called 'bath-drain-plug'",
        ),
        (
            "title: One",
            "title: With {count:bath-drain-plugg} plugs",
            "5:15 end-suction/100-250 as chosen has no part called 'bath-drain-plugg'",
        ),
        ("fault: seat-o-ring-left-out", "fault: seat-o-ring-lost", "12:44 there is no fault called"),
        (
            "fault: seat-o-ring-left-out",
            "fault: wide-face-fitted",
            "12:44 mechanical-seal/38 with seal-balance=unbalanced cannot have the fault",
        ),
        ("near: [seal-seat]", "near: [seal-set]", "12:73 there is no part called seal-set"),
        ("near: [seal-seat]", "apart: 1, near: [seal-seat]", "12:82 near is of a pump that is together"),
        ("{25 kg | common practice}", "{result:balance-rato}", "13:21 mechanical-seal/38 has no result"),
        ("kind: read-gap", "kind: what-if", "16:42 end-suction/100-250 as chosen cannot be asked what-if"),
        ("kind: read-gap, id: c, clearance: back-vane", "kind: point-out, id: c, part: shaft}\n  show: {lit: [shaft]", "15:39 the page lights and names shaft"),
    ],
)  # fmt: skip
def test_what_a_build_does_not_have_is_told_with_its_place(old: str, new: str, fault: str) -> None:
    assert old in SOUND
    text = SOUND.replace("  show: {clearance: back-vane}\n", "") if "lit: [shaft]" in new else SOUND
    found = check(text.replace(old, new, 1), draws=True)
    assert len(found) == 1, found
    assert found[0].startswith(fault)


@pytest.mark.parametrize("course", list_lessons())
def test_every_shipped_lesson_is_sound_on_its_builds_and_every_question_can_be_drawn(
    course: str,
) -> None:
    assert check_lesson_on_builds(read_lesson(list_lessons()[course]), BENCHES) == []


# ------------------------------------------------------------------ hostile files
@contextmanager
def watch_doings() -> Iterator[list[str]]:
    """Note every file that is opened and all code that is run meanwhile."""
    noted: list[str] = []
    _NOTED.append(noted)
    try:
        yield noted
    finally:
        _NOTED.remove(noted)


_NOTED: list[list[str]] = []
_RUNS = ("exec", "compile", "os.system", "os.exec", "subprocess.Popen", "os.posix_spawn", "socket.connect")  # fmt: skip
_FILES = ("open", "os.remove", "os.rename", "os.mkdir", "os.listdir", "os.scandir")


# The YAML reader looks for additions to itself in its own folder, `ruamel/yaml`.
def _note(event: str, arguments: tuple[object, ...]) -> None:
    if not _NOTED:
        return
    if event in _RUNS:
        _NOTED[-1].append(f"{event} {arguments!r:.80}")
    elif event in _FILES and isinstance(arguments[0], str | bytes | os.PathLike):
        path = Path(os.fsdecode(arguments[0])).resolve()
        if not path.is_relative_to(HOUSE / "models" / "tables") and path.name != "yaml":
            _NOTED[-1].append(f"{event} {path}")


@pytest.fixture(scope="module", autouse=True)
def watched() -> None:
    check(SOUND, draws=True)  # what is imported and opened on first use is no doing of a lesson
    sys.addaudithook(_note)


HOSTILE = ["../../../etc/passwd", "/etc/passwd", "!!python/object/apply:os.system [ls]", "{limit: ../x.least}", "{0.__class__}", "{clearance: back-vane", "file:///etc/passwd", "__import__('os')", "$(ls)", "`ls`", "{% x %}", "end-suction/..", "..", "\x00", "'", '"', "9", ": ", "|", "- ", "  ", "\n", "{", "}", "fault: ", "with: ", "near: [x]", "&a", "*a", "<<: ", "mechanical-seal/38", "shim"]  # fmt: skip


@given(st.data())
@settings(suppress_health_check=[HealthCheck.too_slow])
def test_a_damaged_lesson_is_refused_or_checked_and_touches_nothing(data: st.DataObject) -> None:
    text = SOUND
    for _ in range(data.draw(st.integers(1, 4))):
        start = data.draw(st.integers(0, len(text)))
        end = data.draw(st.integers(start, min(len(text), start + 25)))
        text = text[:start] + data.draw(st.sampled_from(HOSTILE)) + text[end:]
    check_quietly(text.encode())


@given(st.integers(0, len(SOUND.encode()) - 1), st.binary(min_size=1, max_size=4))
@example(0, b"\xff\xfe")
@example(10, b"\x00")
def test_changed_bytes_are_refused_or_checked_and_touch_nothing(at: int, raw: bytes) -> None:
    sound = SOUND.encode()
    check_quietly(sound[:at] + raw + sound[at + len(raw) :])


def check_quietly(raw: bytes) -> None:
    """Check; anything but a lesson, faults or a ContentError goes through and fails the test."""
    with watch_doings() as noted:
        try:
            check_lesson_on_builds(parse_lesson(raw, "f"), BENCHES, draws=False)
        except ContentError as error:
            assert error.faults  # noqa: PT017 - either outcome is right
    assert noted == []


def test_the_watch_sees_what_it_should(tmp_path: Path) -> None:
    with watch_doings() as noted:
        (tmp_path / "x").write_text("x", encoding="utf-8")
        eval("1 + 1")
    assert any("open" in one for one in noted)
    assert any("compile" in one for one in noted)
