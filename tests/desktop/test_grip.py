"""What is seen at a part that can be pulled: its arrows, what is said at their bars, and what the slider tells of the hand."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from tests.desktop.test_dragging import choose, measure_gap_mm, put_before
from trainer.core.order.directions import Direction
from trainer.desktop.window import PumpWindow
from trainer.stage.camera import ViewName

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]


@pytest.fixture(autouse=True)
def _together(window: PumpWindow) -> Iterator[None]:
    def tidy() -> None:
        window.motion.pause()
        window.dragging.put_all_back()
        window.motion.set_apart(0.0)
        window.look_from(ViewName.ISO)

    tidy()
    yield
    tidy()


def test_the_slider_says_what_is_off_by_hand(window: PumpWindow, qtbot: QtBot) -> None:
    bar = window.motion
    assert bar._ends[0].text() == "together"
    choose(window, "cover-nut-1")
    window.dragging.pull_chosen(alike=True)
    qtbot.waitUntil(lambda: not window.dragging.gliding.is_under_way, timeout=20_000)
    assert bar._ends[0].text() == "8 off by hand"
    assert bar.slider.accessibleDescription() == "8 off by hand"
    assert bar.slider._done == {0}, "the step of the nuts is done, wherever the handle stands"
    assert bar.way.text().startswith("8 cover nuts come off towards the suction end.")
    window._tell_motion(0.0)
    assert bar.name.text() == "Together but for 8 pieces"
    window.dragging.put_all_back()
    assert bar._ends[0].text() == "together"
    assert bar.slider._done == frozenset()


def test_at_the_bar_stands_what_stops_the_part_and_after_how_far(window: PumpWindow) -> None:
    put_before(window, "impeller-key")
    choose(window, "shim-3")
    grip, view = window.dragging.grip, window.view
    travel_mm = measure_gap_mm(window, "shim-3", Direction.SUCTION, "impeller-key")
    bar = grip._find_bar(view)
    assert bar is not None
    assert bar[0] == f"✗ impeller key in the way after {travel_mm:.1f} mm"
    assert view.rect().contains(bar[1].toRect())
    assert grip.find_taken(view) == [bar[1]], "no name is written there"
    window.motion.set_apart(0.0)
    choose(window, "suction-cover")
    bar = grip._find_bar(view)
    assert bar is not None
    assert bar[0] == "✗ held by 8 cover nuts"
    choose(window, "cover-nut-1")
    assert grip._find_bar(view) is None, "it comes off"


@pytest.mark.parametrize("view", [ViewName.SUCTION, ViewName.SIDE, ViewName.EXPLODED])
def test_no_arrow_lies_on_another(window: PumpWindow, qtbot: QtBot, view: ViewName) -> None:
    window.look_from(view)
    choose(window, "impeller")
    qtbot.waitUntil(lambda: window.dragging.find_handle() is not None, timeout=5_000)
    grip, handle = window.dragging.grip, window.dragging.find_handle()
    assert handle is not None
    grip.is_near = True
    arrows = list(grip._find_arrows(handle, window.view).values())
    letter = window.view.fontMetrics().height()
    assert len(arrows) >= 4
    for number, (start, tip) in enumerate(arrows):
        for other_start, other_tip in arrows[:number]:
            away = max((start - other_start).manhattanLength(), (tip - other_tip).manhattanLength())
            assert away > letter
    grip.is_near = False
