"""A lesson that is being written reads itself anew beside the pump; a fault is said, and the last good page stays."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from tests.desktop.driving import find_control
from trainer.desktop.window import PumpWindow
from trainer.lesson import LESSONS_FOLDER, list_lessons
from trainer.words.speech import LengthUnit

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]

COURSE = "end-suction-first-strip"
PAGE = 6
LONG_MS = 20_000


@pytest.fixture
def written(window: PumpWindow, qtbot: QtBot, tmp_path: Path) -> Iterator[Path]:
    """A copy of the lesson, open in the window at one of its pages."""
    kept = window.lesson.lesson
    assert kept is not None
    file = tmp_path / COURSE / "en" / "lesson.yaml"
    file.parent.mkdir(parents=True)
    shutil.copy(list_lessons()[COURSE], file)
    lessons, seen = dict(window.lessons._lessons), dict(window.lessons._seen)
    window.show_pane("lesson")
    window.lessons.folder = tmp_path
    window.lessons._look()
    qtbot.waitUntil(lambda: str(file) in window.lessons._lessons, timeout=LONG_MS)
    window.lesson.start(window.lessons._lessons[str(file)], window.bench)
    window.lesson.go(PAGE)
    yield file
    qtbot.waitUntil(lambda: not window.lessons.is_busy, timeout=LONG_MS)
    window.lessons.folder = LESSONS_FOLDER
    window.lessons._lessons, window.lessons._seen = lessons, seen
    window.lesson.start(kept, window.bench)
    window.lessons._list()


def test_what_is_written_is_seen_at_once_and_a_fault_is_said_beside_it(
    window: PumpWindow, qtbot: QtBot, written: Path
) -> None:
    pane = window.lesson
    sound = written.read_text(encoding="utf-8")
    written.write_text(sound.replace("This is your", "Here is your"), encoding="utf-8")
    qtbot.waitUntil(lambda: "Here is your" in pane.text.text(), timeout=LONG_MS)
    assert pane.number == PAGE

    broken = sound.replace("{limit: back-vane.least}", "{limit: bak-vane.least}")
    # as editors do: written beside it, then put in its place
    beside = written.with_suffix(".new")
    beside.write_text(broken, encoding="utf-8")
    beside.replace(written)
    qtbot.waitUntil(pane.fault.isVisible, timeout=LONG_MS)
    line = next(n for n, text in enumerate(broken.splitlines(), 1) if "bak-vane" in text)
    told = pane.fault.text.text()
    assert f"lesson.yaml:{line}:" in told
    assert "back-vane" in told, "what it may have been meant to be"
    assert "Here is your" in pane.text.text(), "the last good one stays"

    written.write_text(sound, encoding="utf-8")
    qtbot.waitUntil(lambda: not pane.fault.isVisible(), timeout=LONG_MS)
    assert "This is your" in pane.text.text()
    assert pane.number == PAGE


def test_a_page_that_was_not_touched_keeps_its_half_given_answer(
    window: PumpWindow, qtbot: QtBot, written: Path
) -> None:
    pane = window.lesson
    lesson = pane.lesson
    assert lesson is not None
    pane.go(next(n for n, step in enumerate(lesson.steps) if step.ask))
    control = find_control(window)
    text = written.read_text(encoding="utf-8")
    written.write_text(
        text.replace("No lock, no work.", "No work without a lock."), encoding="utf-8"
    )
    qtbot.waitUntil(lambda: pane.lesson is not lesson, timeout=LONG_MS)
    assert pane.control is control


def test_a_page_moved_by_its_author_is_followed(
    window: PumpWindow, qtbot: QtBot, written: Path
) -> None:
    pane = window.lesson
    title = pane.title.text()
    text = written.read_text(encoding="utf-8")
    more = "steps:\n  - title: A page before all others\n    say: Hello\n"
    written.write_text(text.replace("steps:\n", more, 1), encoding="utf-8")
    qtbot.waitUntil(lambda: pane.number == PAGE + 1, timeout=LONG_MS)
    assert pane.title.text() == title
    assert window.lesson.rests.isVisibleTo(pane)
    assert "common practice" in pane.rests.text()


def test_a_page_shows_the_pump_as_a_mistake_built_it_and_nothing_else_does(
    window: PumpWindow, qtbot: QtBot, written: Path
) -> None:
    faulting = window.lessons.faulting
    text = written.read_text(encoding="utf-8")
    page = "steps:\n  - title: Forgotten\n    show: {fault: casing-gasket-left-out, lit: [casing-gasket, volute]}\n"
    written.write_text(text.replace("steps:\n", page, 1), encoding="utf-8")
    qtbot.waitUntil(lambda: window.lesson.number == PAGE + 1, timeout=LONG_MS)
    window.lesson.go(0)
    qtbot.waitUntil(lambda: faulting.is_on, timeout=LONG_MS)
    shown = window.view.surface.front
    assert shown is not None
    assert "casing-gasket" not in shown.assembly.by_name
    qtbot.waitUntil(lambda: "volute" in window.view.marks.lit, timeout=LONG_MS)
    assert "casing-gasket" not in window.view.marks.lit
    assert window.bench is not None
    assert "casing-gasket" in window.bench.build.pieces, (
        "what is worked out stays that of the sound pump"
    )
    qtbot.waitUntil(lambda: not window.motion.is_gliding, timeout=LONG_MS)
    window.lesson.go(1)
    assert not faulting.is_on
    assert "casing-gasket" in shown.assembly.by_name
    window.lesson.go(0)
    qtbot.waitUntil(lambda: faulting.is_on, timeout=LONG_MS)
    window.show_pane("shim")
    assert not faulting.is_on
    window.show_pane("lesson")


def test_lengths_on_the_page_are_written_in_the_unit_that_is_chosen(
    window: PumpWindow, written: Path
) -> None:
    assert written.exists()
    assert "0.40 mm" in window.lesson.text.text()
    window.desk.set_unit(LengthUnit.INCH)
    assert "0.0157 in" in window.lesson.text.text()
    assert "0.0157 in" in window.lesson.rests.text()
    window.desk.set_unit(LengthUnit.MM)
    assert "0.40 mm" in window.lesson.text.text()
