"""A fault of the program itself is kept and told in the window, and what else was under way goes on."""

from __future__ import annotations

import sys
import threading
from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from models.solids.builders import Builders
from trainer.desktop import bench_work
from trainer.desktop.bench_work import BenchChoice, BenchWork
from trainer.desktop.doing.arriving import Arriving, no_steps
from trainer.desktop.own_faults import OwnFaults
from trainer.desktop.picture.surface import Steps
from trainer.words import load_words

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
BUILD = "end-suction/100-250"


@pytest.fixture
def faults(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[OwnFaults, Path]:
    """Watch for faults over a picture; what is kept of them lies in a folder of its own."""
    kept = tmp_path / "kept"
    kept.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(kept))
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    picture = QWidget()
    qtbot.addWidget(picture)
    picture.resize(640, 360)
    picture.show()
    watching = OwnFaults(load_words(), picture)
    watching.watch()
    return watching, kept


def fail() -> None:
    raise ZeroDivisionError("by nothing")


def test_a_fault_of_the_window_is_kept_and_told_once_for_each_place(
    faults: tuple[OwnFaults, Path], qtbot: QtBot, capsys: pytest.CaptureFixture[str]
) -> None:
    watching, kept = faults
    for _ in range(3):
        QTimer.singleShot(0, fail)
    qtbot.waitUntil(watching.note.isVisible, timeout=5000)
    [file] = kept.iterdir()
    assert "ZeroDivisionError: by nothing" in watching.note.text.text()
    assert str(file) in watching.note.text.text()
    assert "Traceback" in file.read_text()
    assert "Traceback" not in capsys.readouterr().err, "a person never meets one"
    assert watching.note.width() == 640
    watching.note.done.click()
    assert not watching.note.isVisible()


def test_a_fault_of_another_thread_is_told_too(
    faults: tuple[OwnFaults, Path], qtbot: QtBot
) -> None:
    watching, kept = faults
    thread = threading.Thread(target=fail)
    thread.start()
    thread.join()
    qtbot.waitUntil(watching.note.isVisible, timeout=5000)
    assert len(list(kept.iterdir())) == 1


def test_a_stop_by_the_keyboard_is_no_fault(
    faults: tuple[OwnFaults, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    watching, kept = faults
    watching.take(KeyboardInterrupt, KeyboardInterrupt(), None)
    assert not list(kept.iterdir())
    assert "KeyboardInterrupt" in capsys.readouterr().err


def test_what_goes_wrong_while_it_is_made_ready_keeps_nothing_away(
    faults: tuple[OwnFaults, Path], qtbot: QtBot
) -> None:
    def break_off() -> Steps:
        yield
        fail()

    def never_begin() -> Steps:
        raise ZeroDivisionError("at once")

    watching, kept = faults
    told: list[str] = []
    arriving = Arriving(watching)
    arriving.bring(break_off, lambda: told.append("a"))
    arriving.bring(never_begin, lambda: told.append("b"))
    arriving.bring(no_steps, fail)
    arriving.bring(no_steps, lambda: told.append("c"))
    qtbot.waitUntil(lambda: told == ["a", "b", "c"], timeout=5000)
    qtbot.waitUntil(lambda: len(list(kept.iterdir())) == 2, timeout=5000)


def test_nobody_waits_for_a_bench_that_an_unforeseen_fault_keeps_away(
    faults: tuple[OwnFaults, Path], qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    watching, kept = faults
    monkeypatch.setattr(bench_work, "prepare_reach", lambda _assembly: fail())
    work = BenchWork(BenchChoice(BUILD), Builders(), {})
    with qtbot.waitSignal(work.failed, timeout=60_000) as told:
        work.start()
    assert work.wait(10_000)
    assert told.args[1] == "ZeroDivisionError: by nothing"
    qtbot.waitUntil(watching.note.isVisible, timeout=5000)
    assert len(list(kept.iterdir())) == 1
