"""Another pump is chosen in the window: what does not go together is told, what does comes onto the bench."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator

import pytest
from PySide6.QtTest import QTest

from models.builds import list_builds
from tests.desktop.conftest import LONGEST_S
from trainer.desktop.window import PumpWindow
from trainer.session.choosing import find_usual
from trainer.stage.camera import ViewName


def wait(done: Callable[[], bool]) -> None:
    deadline = time.monotonic() + LONGEST_S
    while not done():
        assert time.monotonic() < deadline
        QTest.qWait(20)


@pytest.fixture
def pane(window: PumpWindow) -> Iterator[PumpWindow]:
    """Open the pane; whatever a test puts on the bench, the usual pump is there again after it."""
    window.show_pane("build")
    yield window
    window.builds.usual.click()
    if window.builds.go.isEnabled():
        window.builds.go.click()
        wait(lambda: window.ordered is not None and window.lesson.next.isEnabled())
    window.show_pane("lesson")


def test_the_pane_lists_every_option_of_the_pump_with_the_value_it_has(pane: PumpWindow) -> None:
    assert pane.bench is not None
    build, builds = pane.bench.build, pane.builds
    assert builds.sizes.names == list(list_builds())
    assert builds.wanted == build.options
    for option in build.family.options:
        assert builds.options[option.name].names == list(option.values)
    assert not builds.go.isEnabled()  # it stands there already


def test_what_does_not_go_together_is_told_with_the_reason_and_cannot_be_asked_for(
    pane: PumpWindow,
) -> None:
    pane.builds.choose("shaft-seal", "packed")
    text = pane.builds.note.text.text()
    assert "open, with gland and reservoir" in text
    assert "packing drips" in text
    assert not pane.builds.go.isEnabled()
    assert "coil spring" in text  # every reason at once
    pane.builds.choose("bracket", "open")
    assert not pane.builds.go.isEnabled()
    pane.builds.choose("seal-spring", "none")
    assert pane.builds.note.isHidden()
    assert pane.builds.go.isEnabled()


def test_another_pump_comes_onto_the_bench_and_the_walk_waits_for_its_own(pane: PumpWindow) -> None:
    assert pane.bench is not None
    page = pane.lesson.number
    pane.builds.choose("lubrication", "grease")
    pane.builds.go.click()
    wait(lambda: pane.bench is not None and pane.bench.build.options["lubrication"] == "grease")
    assert "grease" in pane.build.text()
    assert not pane.builds.go.isEnabled()
    assert not pane.lesson.next.isEnabled()
    assert pane.lesson.control is None
    assert not pane.motion.slider.isEnabled() or pane.ordered is pane.bench
    wait(lambda: pane.ordered is not None)
    assert pane.ordered is pane.bench
    steps = {name for step in pane.ordered.order.steps for name in step.pieces}
    assert "grease-nipple-inboard" in steps
    assert "sight-glass" not in pane.view.offsets
    pane.builds.usual.click()
    assert pane.builds.wanted == find_usual(pane.bench.build.family)
    pane.builds.go.click()
    wait(lambda: pane.ordered is not None and pane.lesson.next.isEnabled())
    assert pane.lesson.number == page
    assert pane.bench.build.options == find_usual(pane.bench.build.family)


def put_on_bench(window: PumpWindow, name: str) -> None:
    sizes = window.builds.sizes
    sizes.choose(name)
    sizes.activated.emit(sizes.currentIndex())
    window.builds.go.click()
    wait(lambda: window.bench is not None and window.bench.build.name == name)


def test_an_exhibit_is_looked_at_as_its_view_says_and_a_pump_from_the_corner_again(
    pane: PumpWindow,
) -> None:
    put_on_bench(pane, "rolling-bearings/bore-50")
    assert pane.section.isChecked()
    assert pane.view.camera.towards.tolist() == [0.0, -1.0, 0.0]
    wait(lambda: pane.ordered is not None)
    put_on_bench(pane, "end-suction/100-250")
    assert not pane.section.isChecked()
    assert pane.views[ViewName.ISO].isChecked()
