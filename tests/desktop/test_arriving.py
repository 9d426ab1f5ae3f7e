"""What is to stand on the bench arrives in steps: between them a hand may do anything, and what is dropped leaves no trace."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from pytestqt.qtbot import QtBot

from models.spec.assembly import Assembly
from tests.desktop.test_lighten import make_assembly, make_ball
from trainer.desktop.doing.arriving import Arriving, no_steps
from trainer.desktop.picture.hands import PumpHands
from trainer.desktop.picture.surface import Steps
from trainer.stage import batches

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
BALLS = 6


def make_balls() -> Assembly:
    """Make a row of balls."""
    return make_assembly(*(make_ball(10.0, 25.0 * n, rows=10) for n in range(BALLS)))


@pytest.fixture
def view(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> Iterator[PumpHands]:
    monkeypatch.setattr(batches, "MOST_TRIANGLES", 1)  # each piece is a batch
    shown = PumpHands()
    qtbot.addWidget(shown)
    shown.resize(480, 280)
    shown.show()
    yield shown
    shown.give_back()


def begin_first(view: PumpHands) -> Steps:
    """Let the first picture be half drawn."""
    steps = view.prepare_assembly(make_balls())
    while view.surface.full is None:
        next(steps)
    next(steps)
    assert view.surface.is_drawing
    assert not view.surface.is_settled
    return steps


def test_all_that_comes_is_made_ready_before_any_of_it_is_put_there(
    view: PumpHands, qtbot: QtBot
) -> None:
    told: list[str] = []

    def work(name: str) -> Steps:
        for number in range(2):
            told.append(f"{name}{number}")
            yield

    arriving = Arriving(view)
    arriving.bring(lambda: work("a"), lambda: told.append("A"))
    arriving.bring(no_steps, lambda: told.append("B"))
    arriving.bring(lambda: work("c"), lambda: told.append("C"))
    qtbot.waitUntil(lambda: "C" in told)
    assert told == ["a0", "a1", "c0", "c1", "A", "B", "C"]


def test_what_is_dropped_is_put_nowhere_even_by_its_forerunner(
    view: PumpHands, qtbot: QtBot
) -> None:
    told: list[str] = []
    arriving = Arriving(view)

    def drop() -> None:
        arriving.drop()
        told.append("drop")

    arriving.bring(no_steps, drop)
    arriving.bring(no_steps, lambda: told.append("dropped"))
    qtbot.waitUntil(lambda: "drop" in told)
    arriving.bring(no_steps, lambda: told.append("next"))
    qtbot.waitUntil(lambda: len(told) > 1)
    assert told == ["drop", "next"]


def test_nobody_takes_hold_of_a_pump_that_does_not_stand_there_yet(view: PumpHands) -> None:
    for _ in begin_first(view):
        assert not view.has_pump
    assert not view.surface.is_drawing
    assert view.surface.full is not None
    view.show_assembly(make_balls())
    assert view.has_pump


def test_a_first_picture_given_up_half_way_is_no_picture(view: PumpHands, qtbot: QtBot) -> None:
    begin_first(view).close()
    assert view.surface.full is None
    view.resize(500, 300)
    view.redraw()
    qtbot.wait(20)
    assert not view.has_pump
    assert view.surface.full is None
    for _ in begin_first(view):
        pass
    assert view.surface.full is not None


def test_a_window_made_larger_while_the_first_picture_is_drawn_has_it_in_its_new_size(
    view: PumpHands, qtbot: QtBot
) -> None:
    steps = begin_first(view)
    view.resize(700, 400)
    qtbot.waitUntil(lambda: not view.surface.is_drawing)
    for _ in steps:
        pass
    view.show_assembly(make_balls())
    with qtbot.waitSignal(view.drawn):
        pass
    assert view.numbers is not None
    assert view.numbers.shape == (400, 700)
