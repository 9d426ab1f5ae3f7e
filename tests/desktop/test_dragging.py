"""Parts pulled by hand in the real window: to the contact, against a joint, off, put back; by mouse and by keys."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from trainer.core.order.directions import Direction
from trainer.desktop.doing.dragging import GIVE_PX
from trainer.desktop.window import PumpWindow
from trainer.stage.camera import ViewName

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT, SHIFT = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ShiftModifier
NUTS = frozenset(f"cover-nut-{number}" for number in range(1, 9))


class Pulled(NamedTuple):
    """Where the pointer went down, and where it is."""

    start: QPoint
    at: QPoint


@pytest.fixture(autouse=True)
def _together(window: PumpWindow) -> Iterator[None]:
    def tidy() -> None:
        window.motion.pause()
        if window.ordered is not None:  # put all back, with nothing to undo
            window.dragging.forget()
            window.dragging.take_bench(window.ordered)
        window.motion.set_apart(0.0)
        window.section.setChecked(False)
        window.change_section()
        window.look_from(ViewName.ISO)

    tidy()
    window.activateWindow()  # or no key of the whole window is heard
    yield
    tidy()


def choose(window: PumpWindow, piece: str) -> None:
    window._picked(piece)
    window.dragging.grip.chosen = 0


def put_before(window: PumpWindow, part: str) -> None:
    """Put the slider where the step that takes `part` off is about to begin."""
    assert window.ordered is not None
    parts = [step.part for step in window.ordered.order.steps]
    window.motion.set_apart(parts.index(part) / len(parts))


def find_arrow(window: PumpWindow, direction: Direction) -> tuple[QPointF, QPointF]:
    grip, handle = window.dragging.grip, window.dragging.find_handle()
    assert handle is not None
    ways = [pull.direction for pull in window.dragging.find_pulls(handle.piece)]
    grip.is_near = True
    arrow = grip.find_arrow(handle, ways.index(direction), window.view)
    assert arrow is not None
    return arrow


def pull(
    window: PumpWindow,
    direction: Direction,
    by_mm: float,
    keys: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier,
) -> Pulled:
    """Press on the arrow of a direction and move the pointer along it; the button stays down."""
    start, tip = find_arrow(window, direction)
    along = tip - start
    length = (along.x() ** 2 + along.y() ** 2) ** 0.5
    one = window.view.camera.project(np.stack([np.zeros(3), direction.vector]), (100, 100))
    px_per_mm = float(np.linalg.norm(one[1, :2] - one[0, :2]))
    spot = ((start + tip) / 2).toPoint()
    QTest.mousePress(window.view, LEFT, keys, spot)
    at = spot
    for share in (0.3, 0.7, 1.0):
        at = (QPointF(spot) + along / length * by_mm * px_per_mm * share).toPoint()
        QTest.mouseMove(window.view, at)
    return Pulled(spot, at)


def let_go(window: PumpWindow, pulled: Pulled, qtbot: QtBot) -> None:
    QTest.mouseRelease(window.view, LEFT, Qt.KeyboardModifier.NoModifier, pulled.at)
    qtbot.waitUntil(lambda: not window.dragging.gliding.is_under_way, timeout=20_000)


def find_at_mm(window: PumpWindow, piece: str) -> npt.NDArray[np.float64]:
    return np.asarray(window.view.offsets[piece])


def measure_gap_mm(window: PumpWindow, piece: str, direction: Direction, other: str) -> float:
    """Read off the table how far a piece goes until it meets another."""
    assert window.ordered is not None
    table = window.ordered.blocking
    a, b = table.names.index(piece), table.names.index(other)
    return float(table.travel_mm[table.directions.index(direction)][a, b])


def find_off(window: PumpWindow) -> frozenset[str]:
    assert window.dragging.hand is not None
    return window.dragging.hand.off


def test_a_part_follows_the_pointer_and_stops_at_what_it_meets(
    window: PumpWindow, qtbot: QtBot
) -> None:
    put_before(window, "impeller-key")
    choose(window, "shim-3")
    home, travel_mm = (
        find_at_mm(window, "shim-3").copy(),
        measure_gap_mm(window, "shim-3", Direction.SUCTION, "impeller-key"),
    )
    assert travel_mm > 1.0
    pulled = pull(window, Direction.SUCTION, 60.0)
    assert find_at_mm(window, "shim-3") - home == pytest.approx([-travel_mm, 0.0, 0.0])
    assert window.view.marks.in_the_way == {"impeller-key"}
    assert window.motion.name.text() == "Shim 3: not yet"
    assert "Impeller key is in the way" in window.motion.way.text()
    assert f"{travel_mm:.1f} mm" in window.motion.way.text()
    assert window.dragging.grip.told == f"{travel_mm:.1f} mm"
    let_go(window, pulled, qtbot)
    assert np.allclose(find_at_mm(window, "shim-3"), home)
    assert find_off(window) == frozenset()
    assert window.view.marks.in_the_way == {"impeller-key"}, "what stopped it stays marked"


def test_before_the_contact_the_part_is_where_the_pointer_has_brought_it(
    window: PumpWindow, qtbot: QtBot
) -> None:
    choose(window, "cover-nut-1")
    pulled = pull(window, Direction.SUCTION, 100.0)
    moved = find_at_mm(window, "cover-nut-1")
    assert moved[0] == pytest.approx(-100.0, abs=2.5), "to the pixel that it was let go on"
    assert np.allclose(moved[1:], 0.0)
    let_go(window, pulled, qtbot)


def test_a_held_part_gives_a_little_and_what_holds_it_is_lit(
    window: PumpWindow, qtbot: QtBot
) -> None:
    choose(window, "suction-cover")
    pulled = pull(window, Direction.SUCTION, 500.0)
    give_mm = GIVE_PX * window.view.camera.mm_per_px
    moved = find_at_mm(window, "suction-cover")
    assert 0.0 < -moved[0] <= give_mm
    assert np.allclose(find_at_mm(window, "wear-ring"), moved), "what rides on it gives with it"
    assert window.view.marks.in_the_way == NUTS
    assert "still held by 8 cover nuts" in window.motion.way.text()
    let_go(window, pulled, qtbot)
    assert np.allclose(find_at_mm(window, "suction-cover"), 0.0)
    assert find_off(window) == frozenset()


def test_pulled_the_wrong_way_it_is_told_what_stops_it_there_and_which_way_it_comes_off(
    window: PumpWindow, qtbot: QtBot
) -> None:
    choose(window, "cover-nut-1")
    pulled = pull(window, Direction.DRIVE, 80.0)
    assert find_off(window) == frozenset()
    assert window.view.marks.in_the_way == {"suction-cover"}
    travel_mm = measure_gap_mm(window, "cover-nut-1", Direction.DRIVE, "suction-cover")
    assert find_at_mm(window, "cover-nut-1")[0] == pytest.approx(travel_mm, abs=0.01)
    assert "It comes off towards the suction end." in window.motion.way.text()
    let_go(window, pulled, qtbot)


def test_let_go_beyond_its_own_length_it_is_off_and_lies_where_the_order_lays_it(
    window: PumpWindow, qtbot: QtBot
) -> None:
    choose(window, "cover-nut-1")
    pulled = pull(window, Direction.SUCTION, 150.0)
    assert "Lock out" in window.motion.before.text(), "before the first part leaves"
    let_go(window, pulled, qtbot)
    assert find_off(window) == {"cover-nut-1"}
    assert window.ordered is not None
    steps = len(window.ordered.order.steps)
    book = window.ordered.layout.offsets_at(1 / steps)["cover-nut-1"]
    assert np.allclose(find_at_mm(window, "cover-nut-1"), book)
    assert window.motion.name.text() == "Cover nut 1: off"
    assert "the slider goes on from here" in window.motion.way.text()
    assert window.dragging.controls.take_off.text() == "Put back"


def test_let_go_before_that_it_goes_back(window: PumpWindow, qtbot: QtBot) -> None:
    put_before(window, "suction-cover")
    choose(window, "suction-cover")
    length_mm = window.dragging.find_pulls("suction-cover")[0].off_mm
    pulled = pull(window, Direction.SUCTION, 0.4 * length_mm)
    assert find_at_mm(window, "suction-cover")[0] < 0.0
    let_go(window, pulled, qtbot)
    assert find_off(window) == frozenset()
    assert np.allclose(find_at_mm(window, "suction-cover"), 0.0)


def test_with_shift_all_of_its_kind_come_along(window: PumpWindow, qtbot: QtBot) -> None:
    choose(window, "cover-nut-2")
    let_go(window, pull(window, Direction.SUCTION, 150.0, SHIFT), qtbot)
    assert find_off(window) == NUTS


def test_the_part_itself_can_be_taken_hold_of_and_a_click_on_it_is_a_click(
    window: PumpWindow, qtbot: QtBot
) -> None:
    spot = window.view.find_seen()["cover-nut-1"]
    choose(window, "cover-nut-1")
    window.show_pane("shim")
    QTest.mouseClick(window.view, LEFT, Qt.KeyboardModifier.NoModifier, spot)
    assert window.pane == "part"
    assert find_off(window) == frozenset()
    start, tip = find_arrow(window, Direction.SUCTION)
    far = (QPointF(spot) + (tip - start) * 1.5).toPoint()
    before = window.view.camera.towards.copy()
    QTest.mousePress(window.view, LEFT, Qt.KeyboardModifier.NoModifier, spot)
    for at in ((spot + far) / 2, far):
        QTest.mouseMove(window.view, at)
    assert np.array_equal(window.view.camera.towards, before), "it pulls and does not turn"
    let_go(window, Pulled(spot, far), qtbot)
    assert find_off(window) == {"cover-nut-1"}


def test_a_click_on_an_arrow_pulls_that_way(window: PumpWindow, qtbot: QtBot) -> None:
    choose(window, "suction-cover")
    start, tip = find_arrow(window, Direction.SUCTION)
    QTest.mouseClick(window.view, LEFT, pos=(start + (tip - start) * 0.9).toPoint())
    assert window.trying.replay.tried is not None
    assert window.trying.replay.tried.hindrance == NUTS
    window.trying.stop()
    choose(window, "cover-nut-1")
    start, tip = find_arrow(window, Direction.SUCTION)
    QTest.mouseClick(window.view, LEFT, pos=(start + (tip - start) * 0.9).toPoint())
    qtbot.waitUntil(lambda: not window.dragging.gliding.is_under_way, timeout=20_000)
    assert find_off(window) == {"cover-nut-1"}


def test_undo_and_redo_put_it_back_and_take_it_off_again(window: PumpWindow, qtbot: QtBot) -> None:
    def wait() -> None:
        qtbot.waitUntil(lambda: not window.dragging.gliding.is_under_way, timeout=20_000)

    choose(window, "cover-nut-1")
    let_go(window, pull(window, Direction.SUCTION, 150.0), qtbot)
    control = Qt.KeyboardModifier.ControlModifier
    qtbot.waitUntil(window.isActiveWindow, timeout=20_000)
    QTest.keyClick(window.view, Qt.Key.Key_Z, control)
    wait()
    assert find_off(window) == frozenset()
    assert np.allclose(find_at_mm(window, "cover-nut-1"), 0.0)
    assert window.motion.name.text() == "Cover nut 1: back in place"
    QTest.keyClick(window.view, Qt.Key.Key_Z, control | SHIFT)
    wait()
    assert find_off(window) == {"cover-nut-1"}
    QTest.mouseClick(window.dragging.controls.all_back, LEFT)
    wait()
    assert find_off(window) == frozenset()
    assert not window.dragging.controls.all_back.isEnabled()


def test_keys_do_the_same(window: PumpWindow, qtbot: QtBot) -> None:
    def wait() -> None:
        qtbot.waitUntil(lambda: not window.dragging.gliding.is_under_way, timeout=20_000)

    view = window.view
    view.setFocus()
    choose(window, "cover-nut-1")
    QTest.keyClick(view, Qt.Key.Key_D)
    assert window.dragging.grip.chosen == 1
    assert window.motion.name.text() == "Cover nut 1: not yet"
    QTest.keyClick(view, Qt.Key.Key_D, SHIFT)
    assert window.motion.name.text() == "Cover nut 1: free"
    QTest.keyClick(view, Qt.Key.Key_T, SHIFT)
    wait()
    assert find_off(window) == NUTS
    choose(window, "suction-cover")
    QTest.keyClick(view, Qt.Key.Key_T)
    wait()
    assert "suction-cover" in find_off(window)
    assert np.linalg.norm(find_at_mm(window, "wear-ring")) > 50.0, "it rides on the cover"
    QTest.keyClick(view, Qt.Key.Key_T)
    wait()
    assert find_off(window) == NUTS
    choose(window, "cover-nut-5")
    QTest.keyClick(view, Qt.Key.Key_T)
    wait()
    assert find_off(window) == NUTS - {"cover-nut-5"}


def test_an_arrow_key_with_alt_pulls_that_way_in_the_picture(
    window: PumpWindow, qtbot: QtBot
) -> None:
    window.look_from(ViewName.SIDE)
    view = window.view
    view.setFocus()
    choose(window, "cover-nut-1")
    qtbot.waitUntil(window.isActiveWindow, timeout=20_000)
    QTest.keyClick(view, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    tried = window.trying.replay.tried
    assert tried is not None
    assert tried.direction == Direction.UP or tried.direction is None
    window.trying.stop()
    QTest.keyClick(view, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    qtbot.waitUntil(lambda: not window.dragging.gliding.is_under_way, timeout=20_000)
    assert find_off(window) == {"cover-nut-1"}


def test_the_button_says_what_can_be_done_with_the_chosen_part(window: PumpWindow) -> None:
    window.speak_of(())
    window.part.piece = ""
    window.dragging.controls.show()
    button = window.dragging.controls.take_off
    assert not button.isEnabled()
    QTest.mouseClick(window.view, LEFT, pos=window.view.find_seen()["volute"])
    assert button.isEnabled()
    assert button.text() == "Take off"


def test_a_key_without_a_chosen_part_says_what_to_do(window: PumpWindow) -> None:
    window.speak_of(())
    QTest.keyClick(window.view, Qt.Key.Key_T)
    assert window.motion.name.text() == "No part is chosen"


def test_the_slider_goes_on_from_what_the_hand_did(window: PumpWindow, qtbot: QtBot) -> None:
    choose(window, "cover-nut-1")
    QTest.keyClick(window.view, Qt.Key.Key_T, SHIFT)
    qtbot.waitUntil(lambda: not window.dragging.gliding.is_under_way, timeout=20_000)
    assert find_off(window) == NUTS
    QTest.mouseClick(window.motion.forward, LEFT)
    qtbot.waitUntil(lambda: not window.motion.is_gliding, timeout=20_000)
    assert window.motion.name.text() == "Suction cover", "the nuts' step has nothing left to do"
    assert find_off(window) == frozenset(), "the slider has passed them"
    QTest.mouseClick(window.motion.back, LEFT)
    QTest.mouseClick(window.motion.back, LEFT)
    qtbot.waitUntil(lambda: not window.motion.is_gliding, timeout=20_000)
    assert np.allclose(find_at_mm(window, "cover-nut-1"), 0.0)


def test_wrong_practice_is_told_with_its_reason(window: PumpWindow) -> None:
    assert window.ordered is not None
    hand = window.dragging.hand
    assert hand is not None
    steps = len(window.ordered.order.steps)
    for number in range(steps):
        window.motion.set_apart(number / steps)
        for piece in hand.assembly.by_name:
            pulls = hand.find_pulls(piece)
            cautions = getattr(pulls[0].found, "cautions", ()) if pulls else ()
            if cautions:
                choose(window, piece)
                window.dragging.begin(0)
                reason = window.words.say(f"practice.{cautions[0]}")
                assert reason.rstrip(".") in window.motion.way.text()
                return
    pytest.fail("no wrong practice in this pump: the test looks for nothing")


def test_a_page_of_the_walk_puts_everything_back(window: PumpWindow, qtbot: QtBot) -> None:
    choose(window, "cover-nut-1")
    QTest.keyClick(window.view, Qt.Key.Key_T)
    assert find_off(window) == {"cover-nut-1"}
    window.lesson.go(0)
    assert find_off(window) == frozenset()
    qtbot.waitUntil(lambda: not window.motion.is_gliding, timeout=20_000)
    window.show_pane("part")
