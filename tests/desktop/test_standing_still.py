"""Nothing that a person does holds the window's own thread for long.

What is measured is the processor time that the thread takes between two beats of a timer, not the time on the wall:
tests share their machine. On a quiet one a hand should never wait longer than 100 ms; the margin is for slow ones.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QObject, QTimer
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from models.spec.face import Axis
from tests.desktop.driving import put_drawn_pack, wait_for_style
from tests.desktop.question_states import ask, fill_in, leave
from trainer.desktop.panes.desk_pane import WITH_WINDOW
from trainer.desktop.window import PumpWindow
from trainer.lesson.item import InOrder
from trainer.lesson.kinds import QuestionKind
from trainer.stage.cut import Cut
from trainer.words import LengthUnit

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
BEAT_MS = 5
TURNS = 20
"""So often the window looks for what there is to do, and finds nothing to be laid out."""
LONGEST_S = 0.15
"""100 ms, and room for a slower machine. With the largest pump nothing took longer than 107 ms on one so busy that ten others waited for each processor."""


class Watch:
    """Measure the longest time that the window's thread worked without a pause for other events, s."""

    def __init__(self, window: PumpWindow) -> None:
        self.longest_s = 0.0
        self._last_s = time.thread_time()
        self._timer = QTimer(window, interval=BEAT_MS)
        self._timer.timeout.connect(self._beat)
        self._timer.start()

    def _beat(self) -> None:
        now_s = time.thread_time()
        self.longest_s = max(self.longest_s, now_s - self._last_s)
        self._last_s = now_s

    def measure(self, act: Callable[[], object], wait_ms: int) -> float:
        """Do something in an event of its own, and give the longest gap until what follows from it is over."""
        QTest.qWait(2 * BEAT_MS)
        self.longest_s = 0.0
        QTimer.singleShot(0, act)
        QTest.qWait(wait_ms)
        return self.longest_s

    def stop(self) -> None:
        """Let the timer go."""
        self._timer.stop()


class Layouts(QObject):
    """Count how often anything is asked to be laid out anew."""

    def __init__(self) -> None:
        super().__init__()
        self.count = 0

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: ARG002, N802 - as Qt calls it
        """Count, and stop nothing."""
        self.count += event.type() is QEvent.Type.LayoutRequest
        return False


@pytest.fixture
def layouts() -> Iterator[Layouts]:
    application = QCoreApplication.instance()
    assert application is not None
    layouts = Layouts()
    application.installEventFilter(layouts)
    yield layouts
    application.removeEventFilter(layouts)


@pytest.fixture
def watch(window: PumpWindow, qtbot: QtBot) -> Iterator[Watch]:
    window.motion.pause()
    window.motion.set_apart(0.0)
    watch = Watch(window)
    yield watch
    watch.stop()
    window.motion.pause()
    window.motion.set_apart(0.0)
    window.show_pane("shim")
    put_drawn_pack(window, qtbot)


def test_the_watch_sees_what_stands_still(watch: Watch) -> None:
    def work() -> None:
        until_s = time.thread_time() + 2 * LONGEST_S
        while time.thread_time() < until_s:
            pass

    watch.measure(work, 50)
    # The work may have lasted longer than the wait, and a beat comes after it.
    QTest.qWait(3 * BEAT_MS)
    assert watch.longest_s >= 2 * LONGEST_S


def test_nothing_a_hand_does_holds_the_window(window: PumpWindow, watch: Watch) -> None:
    assert window.bench
    pack = tuple(float(shim.middle) for shim in window.bench.build.pack)
    deeds: dict[str, Callable[[], object]] = {
        **{f"pane {name}": lambda name=name: window.show_pane(name) for name in window.choices},  # type: ignore[misc]
        "keys": window.keys.show,
        "desk": window.desk.show,
        "pick": lambda: window._picked("impeller"),
        "page": lambda: window.lesson.go(7),
        "step": lambda: window.motion.step(+1),
        "slider": lambda: window.motion.set_apart(0.6),
        "together": lambda: window.motion.set_apart(0.0),
        "section": window.section.click,
        "whole": window.section.click,
        "pack": lambda: window.shims.change(pack),
        "play": window.motion.toggle,
        "stand": window.motion.pause,
        "plane": lambda: window.view.set_cut(Cut(Axis.X, 20.0)),
        "other plane": lambda: window.view.set_cut(Cut(Axis.X, -30.0)),
        "no plane": lambda: window.view.set_cut(None),
        "dark": lambda: window.desk.set_look("dark"),
        "light": lambda: window.desk.set_look("light"),
        "letters": lambda: window.desk.set_text("150"),
        "usual letters": lambda: window.desk.set_text(WITH_WINDOW),
        "inches": lambda: window.desk.set_unit(LengthUnit.INCH),
        "millimetres": lambda: window.desk.set_unit(LengthUnit.MM),
    }
    held = {name: watch.measure(act, 400) for name, act in deeds.items()}
    wait_for_style(window)
    assert {name: took_s for name, took_s in held.items() if took_s > LONGEST_S} == {}


def test_a_whole_order_that_is_all_wrong_is_marked_without_holding_the_window(
    window: PumpWindow, qtbot: QtBot, watch: Watch
) -> None:
    item = ask(window, QuestionKind.PUT_IN_ORDER, extent="whole")
    box = window.practising.pane.question
    (field,) = item.fields
    assert box.control is not None
    assert isinstance(field.form, InOrder)
    lines = field.form.judge.find_order()
    assert len(lines) > 60
    control = box.control
    filled_s = watch.measure(lambda: fill_in(control.forms[field.name], lines[::-1]), 100)
    held_s = watch.measure(box.control.send, 400)
    qtbot.waitUntil(lambda: box.control is not None and not box.is_marking, timeout=60_000)
    QTest.qWait(100)
    held_s = max(held_s, watch.longest_s)
    assert box.control.is_marked
    window.trying.stop()
    leave(window)
    assert filled_s <= LONGEST_S
    assert held_s <= LONGEST_S


def test_a_window_that_nobody_touches_is_not_laid_out_again_and_again(
    window: PumpWindow, watch: Watch, layouts: Layouts, qtbot: QtBot
) -> None:
    def is_quiet() -> bool:
        layouts.count = 0
        for _ in range(TURNS):
            QTest.qWait(1)
        return layouts.count == 0

    for name in window.choices:
        watch.measure(lambda name=name: window.show_pane(name), 50)  # type: ignore[misc]
        qtbot.waitUntil(is_quiet, timeout=60_000)
