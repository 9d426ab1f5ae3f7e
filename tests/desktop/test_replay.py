"""A wrong move is played to the contact and stops there, in the real window, and all is as before afterwards."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tests.desktop.driving import Clock, find_control, go_to_question, wait_for_mark
from trainer.desktop.asking.order_form import OrderForm
from trainer.desktop.picture import replay
from trainer.desktop.picture.replay import BACK_S, HOLD_S, NUDGE_PX, OUT_S, find_nudge, find_share
from trainer.desktop.window import PumpWindow
from trainer.stage.camera import ViewName

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def clock(window: PumpWindow, monkeypatch: pytest.MonkeyPatch) -> Iterator[Clock]:
    window.motion.pause()
    window.motion.set_apart(0.0)
    window.section.setChecked(False)
    window.change_section()
    window.look_from(ViewName.ISO)
    made = Clock()
    monkeypatch.setattr(window.trying.replay, "_clock", made)
    yield made
    window.trying.replay.stop()
    window.motion.set_apart(0.0)


def put_off(window: PumpWindow, part: str) -> None:
    """Put the slider where the step that takes `part` off is about to begin."""
    assert window.ordered is not None
    parts = [step.part for step in window.ordered.order.steps]
    window.motion.set_apart(parts.index(part) / len(parts))


def play_until(window: PumpWindow, clock: Clock, past_s: float) -> None:
    clock.now_s = 100.0 + past_s
    window.trying.replay.go_on()


def name_tried(window: PumpWindow) -> str:
    return window.trying.replay.tried.piece if window.trying.replay.tried else ""


def find_moved(window: PumpWindow, before: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
    home = np.zeros(3)  # where a piece stands of which nothing is said
    moved = {name: there - before.get(name, home) for name, there in window.view.offsets.items()}
    return {name: by for name, by in moved.items() if np.abs(by).max() > 1e-9}


def test_a_blocked_piece_goes_evenly_stops_hard_stays_and_springs_back() -> None:
    assert find_share(0.0) == 0.0
    assert find_share(OUT_S / 2) == pytest.approx(0.5)
    assert find_share(OUT_S) == find_share(OUT_S + HOLD_S * 0.9) == 1.0
    back = [find_share(OUT_S + HOLD_S + BACK_S * part) for part in (0.1, 0.5, 0.9)]
    assert back == sorted((share for share in back if share is not None), reverse=True)
    assert find_share(OUT_S + HOLD_S + BACK_S + 1e-6) is None
    assert 0.5 < OUT_S < 1.5, "about a second"


def test_a_nudge_goes_twice_against_it_and_rests() -> None:
    shares = [find_nudge(OUT_S * part / 40) or 0.0 for part in range(41)]
    assert max(shares) == pytest.approx(1.0)
    assert sum(a < 0.02 for a in shares) == 3, "before, between and after"
    assert find_nudge(OUT_S + 0.1) == 0.0
    assert find_nudge(OUT_S + HOLD_S + BACK_S + 1e-6) is None


@pytest.mark.window
@pytest.mark.xdist_group("window")
def test_a_card_tries_its_part_and_the_part_stops_at_the_contact(
    window: PumpWindow, clock: Clock
) -> None:
    put_off(window, "impeller-key")
    window._picked("shim-3")
    before = dict(window.view.offsets)
    QTest.mouseClick(window.part.try_now, LEFT)
    tried = window.trying.replay.tried
    assert tried is not None
    assert tried.hindrance == {"impeller-key"}
    assert window.view.marks.in_the_way == {"impeller-key"}
    assert window.motion.name.text() == "Shim 3: not yet"
    assert window.motion.way.text().startswith("Impeller key is in the way")
    tags = [(tag.text, tag.barred) for tag in window.view.tags.values()]
    assert ("✗ impeller key", True) in tags
    play_until(window, clock, OUT_S / 2)
    assert np.allclose(find_moved(window, before)["shim-3"], tried.shift_mm / 2)
    for past_s in (OUT_S, OUT_S + HOLD_S / 2):
        play_until(window, clock, past_s)
        moved = find_moved(window, before)
        assert set(moved) == set(tried.moving)
        assert np.allclose(moved["shim-3"], tried.shift_mm)
        assert moved["shim-3"][0] == pytest.approx(-tried.travel_mm)
    play_until(window, clock, OUT_S + HOLD_S + BACK_S + 0.01)
    assert window.trying.replay.tried is None
    assert find_moved(window, before) == {}
    assert window.view.marks.ghosted == window.view.marks.hidden == frozenset()


@pytest.mark.window
@pytest.mark.xdist_group("window")
def test_a_piece_in_contact_is_nudged_by_a_stated_little(window: PumpWindow, clock: Clock) -> None:
    window._picked("seal-spring")
    before = dict(window.view.offsets)
    QTest.mouseClick(window.part.try_now, LEFT)
    assert "already bears on it" in window.motion.way.text()
    play_until(window, clock, OUT_S / (2 * replay.NUDGES))
    moved = find_moved(window, before)["seal-spring"]
    assert moved[0] == pytest.approx(-NUDGE_PX * window.view.camera.mm_per_px)
    play_until(window, clock, OUT_S + HOLD_S / 2)
    assert find_moved(window, before) == {}


@pytest.mark.window
@pytest.mark.xdist_group("window")
def test_a_held_part_stays_and_its_fasteners_are_shown(window: PumpWindow, clock: Clock) -> None:
    window._picked("suction-cover")
    before = dict(window.view.offsets)
    QTest.mouseClick(window.part.try_now, LEFT)
    assert window.view.marks.in_the_way == {f"cover-nut-{n}" for n in range(1, 9)}
    assert any(tag.text == "✗ 8 cover nuts" for tag in window.view.tags.values())
    play_until(window, clock, OUT_S)
    assert find_moved(window, before) == {}


@pytest.mark.window
@pytest.mark.xdist_group("window")
def test_what_stands_in_front_turns_to_glass_meanwhile(window: PumpWindow, clock: Clock) -> None:
    window._picked("impeller")
    QTest.mouseClick(window.part.try_now, LEFT)
    assert {"suction-cover", "volute"} & window.view.marks.ghosted
    play_until(window, clock, 99.0)
    assert window.view.marks.ghosted == frozenset()


@pytest.mark.window
@pytest.mark.xdist_group("window")
def test_a_part_that_is_off_is_put_back_from_its_card(
    window: PumpWindow, clock: Clock, qtbot: QtBot
) -> None:
    del clock
    hand = window.dragging.hand
    assert hand is not None
    window.motion.set_apart(1.0)
    window._picked("suction-cover")
    assert window.part.try_now.text().strip() == "Put it back"
    QTest.mouseClick(window.part.try_now, LEFT)
    assert window.trying.replay.tried is None
    qtbot.waitUntil(lambda: not window.motion.is_gliding, timeout=20_000)
    assert not hand.is_off("suction-cover")
    assert hand.is_off("cover-nut-1"), "and no more than what could not have come off before it"
    assert window.motion.name.text() == "Suction cover", "what went back is told, not what is next"
    assert window.part.try_now.text().strip() == "Try to take it off now"


@pytest.mark.window
@pytest.mark.xdist_group("window")
def test_what_was_glass_or_out_of_sight_is_so_again_after_a_try(
    window: PumpWindow, clock: Clock
) -> None:
    window.speak_of((), ghosted=frozenset({"volute"}))  # as a page of the walk shows it
    window.part.show_piece("suction-cover")
    before = window.withholding.state
    window.withholding.take(
        before.turn_to_glass({"suction-cover"}).put_away({f"cover-nut-{n}" for n in range(1, 9)})
    )
    shown = window.view.shown_marks
    QTest.mouseClick(window.part.try_now, LEFT)
    assert "suction-cover" not in window.view.shown_marks.ghosted
    assert "cover-nut-1" not in window.view.shown_marks.hidden
    play_until(window, clock, 99.0)
    after = window.view.shown_marks
    assert (after.ghosted, after.hidden) == (shown.ghosted, shown.hidden)
    assert "volute" in after.ghosted
    window.withholding.take(before)


@pytest.mark.window
@pytest.mark.xdist_group("window")
@pytest.mark.parametrize("stop", ["slider", "pick", "page"])
def test_whatever_else_is_done_ends_the_replay(window: PumpWindow, clock: Clock, stop: str) -> None:
    window._picked("bearing-cap")
    put_off(window, "coupling-key")
    QTest.mouseClick(window.part.try_now, LEFT)
    play_until(window, clock, OUT_S)
    if stop == "slider":
        window.motion.set_apart(0.0)
    elif stop == "pick":
        window._picked("volute")
    else:
        window.lesson.go(0)
    assert window.trying.replay.tried is None
    assert window.view.marks.hidden == frozenset()


@pytest.mark.window
@pytest.mark.xdist_group("window")
def test_a_refused_answer_is_played_and_can_be_seen_again(
    window: PumpWindow, clock: Clock, qtbot: QtBot
) -> None:
    form, control = go_to_question(window, OrderForm), find_control(window)
    qtbot.waitUntil(lambda: not window.motion.is_gliding, timeout=20_000)
    assert control.again.isHidden(), "nothing has been refused yet"
    names = form.list.read_names()
    wrong = ["impeller", *(name for name in names if name != "impeller")]
    form.list.fill(wrong, wrong)
    QTest.mouseClick(control.mark, LEFT)
    wait_for_mark(window)
    tried = window.trying.replay.tried
    assert tried is not None
    assert tried.piece == "impeller"
    assert "impeller-screw" in window.view.marks.in_the_way
    assert window.motion.name.text() == "Impeller: not yet"
    play_until(window, clock, 99.0)
    assert name_tried(window) == ""
    assert "impeller-screw" in window.view.marks.in_the_way, "what stopped it stays marked"
    QTest.mouseClick(control.again, LEFT)
    assert name_tried(window) == "impeller"
