"""One real window for the tests of this folder: it is slow to fill, and each test leaves it as it found it."""

from __future__ import annotations

import faulthandler
import tempfile
import time
import traceback
from collections import deque
from collections.abc import Generator, Iterator
from datetime import UTC, datetime
from functools import wraps
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.desktop.driving import is_settled
from trainer.desktop.bench_work import BenchChoice
from trainer.desktop.picture.view import PumpView
from trainer.desktop.theme import load_letters
from trainer.desktop.window import PumpWindow
from trainer.records import open_records
from trainer.stage.camera import ViewName
from trainer.words import LengthUnit, load_words

BUILD = "end-suction/100-250"
LONGEST_S = 400.0
NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
SHARED: list[PumpWindow] = []
"""The window that tests share, while it is open."""
TOLD: deque[str] = deque(maxlen=16)
"""What pictures were told last, and by whom."""


@pytest.fixture(scope="session")
def window(qapp: QApplication, tmp_path_factory: pytest.TempPathFactory) -> Iterator[PumpWindow]:
    qapp.setFont(load_letters())
    records = open_records(tmp_path_factory.mktemp("records") / "attempts.db")
    shown = PumpWindow(load_words(), BUILD, records=records, clock=lambda: NOON)
    shown.show()
    shown.load()
    deadline = time.monotonic() + LONGEST_S
    while not shown.lesson.next.isEnabled():
        assert time.monotonic() < deadline, f"{shown.motion.way.text()}\n{tell_threads()}"
        QTest.qWait(20)
    SHARED.append(shown)
    yield shown
    SHARED.remove(shown)
    shown.close()
    records.close()


def tell_threads() -> str:
    """Tell where every thread is: of a window that does not fill nobody knows else what it waits for."""
    with tempfile.TemporaryFile("w+") as file:
        faulthandler.dump_traceback(file, all_threads=True)
        file.seek(0)
        return file.read()


@pytest.fixture(autouse=True, scope="session")
def _note_what_is_told() -> Iterator[None]:
    """Note what pictures are told: a test that fails once in a hundred runs says by whom it was crossed."""
    with pytest.MonkeyPatch.context() as patch:
        for name in ("set_marks", "set_offsets", "show_assembly"):
            patch.setattr(PumpView, name, _make_noting(getattr(PumpView, name)))
        yield


def _make_noting(method: Any) -> Any:
    @wraps(method)
    def noting(view: PumpView, *given: Any, **named: Any) -> Any:
        calls = traceback.extract_stack(limit=9)[:-1]
        ours = [f"{Path(one.filename).stem}.{one.name}:{one.lineno}" for one in calls]
        by = " > ".join(one for one in ours if not one.startswith(("python.", "runner.")))
        told = sorted(given[0].lit) if method.__name__ == "set_marks" else ""
        if not TOLD or TOLD[-1].split(" ", 1)[1] != f"{method.__name__} {told} {by}":
            TOLD.append(f"{time.monotonic():.2f} {method.__name__} {told} {by}")
        return method(view, *given, **named)

    return noting


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item,
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    report = yield
    if report.failed and "window" in getattr(item, "fixturenames", ()):
        report.sections.append(
            (f"what pictures were told before {time.monotonic():.2f}", "\n".join(TOLD))
        )
    return report


@pytest.fixture(autouse=True)
def _left_as_found() -> Iterator[None]:
    """Hold it that each test leaves the pump, its shims and the unit as it found them: the next one counts on them."""
    yield
    for shown in SHARED:
        wait_until_settled(
            shown
        )  # an order that is still on its way is not left otherwise than found
        left = find_left(shown)
        put_back(shown)
        assert left == [], "what the next test would trip over"


def find_left(shown: PumpWindow) -> list[str]:
    """Say what a test has left otherwise than as it found it."""
    changing = shown.changing
    is_as_found = {
        f"on the bench stands {changing.stands}": changing.stands == BenchChoice(BUILD),
        f"wanted there is {changing.wanted}": changing.wanted == BenchChoice(BUILD),
        f"a gap that was felt: {shown.shims.found.text()}": not shown.shims.found.text(),
        f"lengths are written in {shown.words.lengths.unit}": shown.words.lengths.unit
        is LengthUnit.MM,
    }
    return [told for told, is_so in is_as_found.items() if not is_so]


def put_back(shown: PumpWindow) -> None:
    """Put it back, so that one test that leaves something makes no other fail."""
    shown.shims.found.clear()
    shown.desk.set_unit(LengthUnit.MM)
    if shown.changing.wanted != BenchChoice(BUILD):
        shown.changing.change(BenchChoice(BUILD))
    wait_until_settled(shown)


def wait_until_settled(shown: PumpWindow) -> None:
    """Wait until what is wanted stands on the bench, with its order, and nothing is on its way there."""
    deadline = time.monotonic() + LONGEST_S
    while time.monotonic() < deadline:
        if is_settled(shown) and not (shown.motion.is_gliding or shown.practising.is_busy):
            return
        QTest.qWait(20)


def wait_for(window: PumpWindow) -> None:
    """Wait until what is wanted stands on the bench, with its order."""
    from tests.desktop.test_build_pane import wait

    wait(lambda: not window.changing.is_busy)
    wait(lambda: window.ordered is window.standing)


@pytest.fixture(scope="module")
def cover_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file with a cover on a box: four screws with washers."""
    from tests.step_scenes import make_cover_scene, write_scene

    return write_scene(tmp_path_factory.mktemp("step") / "lid.step", make_cover_scene())


@pytest.fixture(scope="module")
def opened(window: PumpWindow, cover_file: Path) -> Iterator[PumpWindow]:
    """Put that assembly on the bench once for the tests of a module; then the pump again."""
    SHARED.remove(window)  # no pump stands there meanwhile, and it is put back below
    window.opening.open_file(cover_file)
    wait_for(window)
    yield window
    window.changing.change(window.changing.first)
    wait_for(window)
    assert window.bench is not None
    assert window.bench.build.name == BUILD
    assert window.views[ViewName.SUCTION].text() == window.words.say("window.view-suction")
    window.look_from(next(iter(window.views)))
    window.show_pane("lesson")
    SHARED.append(window)
