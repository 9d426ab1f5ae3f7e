"""Motion: its pace, its waiting at warnings, what is left out, and the eye that goes after what matters."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import numpy as np
import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tests.desktop.driving import Clock
from trainer.desktop.motion_bar import MotionBar
from trainer.desktop.pace import SECONDS_PER_STEP, Pace, find_reading_s
from trainer.desktop.picture.moving import FRAME_MS
from trainer.desktop.step_slider import TICKS_PER_STEP
from trainer.desktop.window import PumpWindow
from trainer.stage.camera import ViewName
from trainer.words import load_words

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT = Qt.MouseButton.LeftButton
FRAME_S = 0.05


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def bar(qtbot: QtBot, clock: Clock) -> Iterator[MotionBar]:
    made = MotionBar(load_words(), clock)
    qtbot.addWidget(made)
    made.set_steps(10)
    yield made
    made.pause()


def play_for(bar: MotionBar, clock: Clock, past_s: float) -> None:
    """Let time pass frame by frame, as the timer would."""
    end_s = clock.now_s + past_s
    while clock.now_s < end_s - 1e-9 and bar.is_playing:
        clock.now_s += FRAME_S
        bar._tick()


def test_a_step_takes_as_long_as_the_pace_says(bar: MotionBar, clock: Clock) -> None:
    for pace in Pace:
        bar.set_apart(0.0)
        bar.pace.set_pace(pace.value)
        bar.toggle()
        play_for(bar, clock, 3 * SECONDS_PER_STEP[pace])
        bar.pause()
        assert bar.slider.value() / TICKS_PER_STEP == pytest.approx(3.0, abs=0.15), pace
    assert SECONDS_PER_STEP[Pace.SLOW] > SECONDS_PER_STEP[Pace.USUAL] > SECONDS_PER_STEP[Pace.FAST]


def test_a_change_of_pace_is_told_and_keys_stop_at_either_end(bar: MotionBar, qtbot: QtBot) -> None:
    with qtbot.waitSignal(bar.pace.changed) as told:
        bar.pace.change(+1)
    assert told.args == ["fast"]
    bar.pace.change(+1)
    assert bar.pace.pace.value == "fast"
    for _ in range(4):
        bar.pace.change(-1)
    assert bar.pace.pace.value == "slow"
    bar.pace.set_pace("no such pace")
    assert bar.pace.pace.value == "slow"


def warn_at(bar: MotionBar, warned: int, text: str) -> None:
    """Tell a warning while the slider is in one step."""

    def tell(apart: float) -> None:
        at = apart * bar.steps
        bar.tell("", "", "", text if warned < at <= warned + 1 else "")

    bar.moved.connect(tell)


def test_a_warning_stands_as_long_as_it_takes_to_read(bar: MotionBar, clock: Clock) -> None:
    text = "Hang it in a sling before the last nut: it is heavier than one person lifts."
    reading_s = find_reading_s(text)
    assert 4.0 < reading_s < 10.0
    warn_at(bar, 2, text)
    bar.toggle()
    play_for(bar, clock, 2 * 1.5 + 2 * FRAME_S)
    assert bar.slider.value() == 2 * TICKS_PER_STEP + 1, "the part has only stirred"
    play_for(bar, clock, reading_s - 4 * FRAME_S)
    assert bar.slider.value() == 2 * TICKS_PER_STEP + 1
    assert bar.is_playing
    assert not bar.reading.isHidden(), "who sees nothing move is told why"
    assert bar._ends[0].isHidden(), "one word at a time stands there"
    play_for(bar, clock, 1.5)
    assert bar.reading.isHidden()
    assert not bar._ends[0].isHidden()
    assert bar.slider.value() > 2.5 * TICKS_PER_STEP, "and goes on by itself"


def test_it_stops_at_a_warning_when_told_to_and_goes_on_from_there(
    bar: MotionBar, clock: Clock
) -> None:
    warn_at(bar, 1, "Drain it.")
    bar.pace.set_waits(True)
    bar.toggle()
    play_for(bar, clock, 20.0)
    assert not bar.is_playing
    assert bar.slider.value() == TICKS_PER_STEP + 1
    bar.toggle()
    play_for(bar, clock, 1.5)
    assert bar.slider.value() > 1.9 * TICKS_PER_STEP


def test_it_does_not_wait_on_the_way_back(bar: MotionBar, clock: Clock) -> None:
    warn_at(bar, 5, "Drain it.")
    bar.set_apart(1.0)
    bar.toggle()
    play_for(bar, clock, 10 * 1.5 + 1.0)
    assert bar.apart == 0.0


def test_steps_with_nothing_left_to_move_are_passed_over(
    bar: MotionBar, clock: Clock, qtbot: QtBot
) -> None:
    bar.is_done = lambda number: number in (0, 1, 2)
    bar.toggle()
    play_for(bar, clock, 0.3)
    assert bar.slider.value() > 3 * TICKS_PER_STEP
    bar.pause()
    bar.set_apart(0.0)
    bar.step(+1)
    clock.now_s += 10.0
    bar._glide_on()
    assert bar.slider.value() == 4 * TICKS_PER_STEP
    bar.is_done = lambda _number: True
    bar.step(+1)
    clock.now_s += 10.0
    qtbot.waitUntil(lambda: not bar.is_gliding)
    assert bar.apart == 1.0


def test_a_warning_that_nobody_gave_takes_no_time() -> None:
    assert find_reading_s("") == 0.0
    assert find_reading_s("word " * 500) == pytest.approx(15.0)


# ---------------------------------------------------------------- the eye
@pytest.fixture
def playing(window: PumpWindow, clock: Clock, monkeypatch: pytest.MonkeyPatch) -> Iterator[Clock]:
    def tidy() -> None:
        window.motion.pause()
        window.accompanying.following.stop()
        for timer in (window.motion._timer, window.accompanying.following._timer):
            timer.setInterval(FRAME_MS)
        window.motion.set_apart(0.0)
        window.look_from(ViewName.ISO)
        window.show_pane("part")

    tidy()
    monkeypatch.setattr(window.motion, "_clock", clock)
    monkeypatch.setattr(window.accompanying.following, "_clock", clock)
    yield clock
    tidy()


def play_frames(window: PumpWindow, clock: Clock, until_step: float) -> Iterator[None]:
    """Play by told time up to a step; yields at every frame."""
    motion, following = window.motion, window.accompanying.following
    motion.toggle()
    motion._timer.stop()
    motion._timer.start(10_000_000)  # only told time counts
    while motion.apart * motion.steps < until_step and motion.is_playing:
        if not following.is_under_way:  # nothing moves while a warning is read
            clock.now_s = max(clock.now_s, motion._read_until_s or 0.0)
        clock.now_s += FRAME_S
        motion._tick()
        if following.is_under_way:
            following._timer.start(10_000_000)
            following.go_on()
        yield


def is_inside(window: PumpWindow, piece: str) -> bool:
    spot = window.view.find_middle(piece)
    width, height = window.view.size_px
    return 0 < spot.x() < width and 0 < spot.y() < height


def test_the_moving_part_stays_in_the_picture_and_the_eye_never_jumps(
    window: PumpWindow, playing: Clock
) -> None:
    assert window.ordered is not None
    cameras = [window.view.camera]
    steps = window.ordered.order.steps
    start = window.view.camera.mm_per_px
    for _ in play_frames(window, playing, 22.0):
        cameras.append(window.view.camera)
        number = min(int(window.motion.apart * len(steps)), len(steps) - 1)
        for piece in steps[number].pieces:
            assert is_inside(window, piece), (window.motion.apart * len(steps), piece)
    width = window.view.size_px[0]
    for before, after in itertools.pairwise(cameras):
        assert abs(np.log(after.mm_per_px / before.mm_per_px)) < 0.1
        middle = before.project(after.focus_mm[None], window.view.size_px)[0, :2]
        moved_px = np.linalg.norm(middle - np.array(window.view.size_px) / 2)
        assert moved_px < 0.06 * width
    assert window.view.camera.mm_per_px < 1.6 * start, (
        "what has long been off may leave the picture"
    )
    whole = window.view.camera.mm_per_px
    window.view.fit()
    assert window.view.camera.mm_per_px > 1.05 * whole, "to fit everything it would be smaller"


def test_a_hand_that_has_come_closer_is_let_be_until_it_asks_to_fit(
    window: PumpWindow, playing: Clock
) -> None:
    window.view.camera = window.view.camera.zoomed(1.7)
    framed = window.view.camera
    for _ in play_frames(window, playing, 3.0):
        assert window.view.camera is framed
    window.motion.pause()
    window.fit_view()
    assert window.view.camera is not framed
    assert not window.accompanying.following.is_framed_by_hand


def test_a_hand_that_only_turned_the_pump_is_gone_along_with(
    window: PumpWindow, playing: Clock
) -> None:
    window.view.camera = window.view.camera.orbited(25.0, 5.0)
    towards = window.view.camera.towards.copy()
    assert window.ordered is not None
    for _ in play_frames(window, playing, 9.0):
        pass
    assert np.allclose(window.view.camera.towards, towards)
    assert is_inside(window, "impeller")


def test_the_eye_follows_in_the_half_section_too(window: PumpWindow, playing: Clock) -> None:
    window.section.setChecked(True)
    window.change_section()
    window.look_from(ViewName.SIDE)
    assert window.ordered is not None
    steps = window.ordered.order.steps
    for _ in play_frames(window, playing, 9.0):
        number = int(window.motion.apart * len(steps))
        assert is_inside(window, steps[number].pieces[0])
    window.section.setChecked(False)
    window.change_section()


def test_a_large_window_keeps_a_hands_framing(window: PumpWindow, playing: Clock) -> None:
    del playing
    window.view.camera = window.view.camera.panned(40.0, 0.0)
    framed = window.view.camera
    size = window.size()
    window.resize(size.width(), size.height() + 30)
    QTest.qWait(5)
    assert window.view.camera.mm_per_px == framed.mm_per_px
    window.resize(size)
    QTest.qWait(5)
    assert window.view.project(framed.focus_mm[None])[0] == QPointF(
        window.view.size_px[0] / 2, window.view.size_px[1] / 2
    )
