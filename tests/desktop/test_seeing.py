"""Seeing and touching, in the real window: each gesture and key, what is withheld, what is pointed at, the card."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent, QNativeGestureEvent, QPointingDevice, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from trainer.core.measure.chain import measure_clearance
from trainer.desktop.doing.withholding import Way
from trainer.desktop.panes.part_card import PartCard
from trainer.desktop.picture.hands import PumpHands
from trainer.desktop.window import PumpWindow
from trainer.session.withheld import ALL_SHOWN
from trainer.stage.camera import Camera, ViewName, make_camera
from trainer.stage.scene import Finish
from trainer.words import load_words

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT, RIGHT = Qt.MouseButton.LeftButton, Qt.MouseButton.RightButton
NO_KEY, SHIFT = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier
NUTS = frozenset(f"cover-nut-{number}" for number in range(1, 9))


@pytest.fixture(autouse=True)
def _whole(window: PumpWindow) -> Iterator[None]:
    window.motion.pause()
    window.motion.set_apart(0.0)
    window.view.set_cut(None)
    window.look_from(ViewName.ISO)
    window.show_pane("part")
    yield
    window.withholding.show_all()
    window._place_pieces(0.0)
    window.view.set_cut(None)
    window.look_from(ViewName.ISO)


def wait_till_settled(window: PumpWindow, qtbot: QtBot) -> None:
    window.view.redraw()
    qtbot.waitUntil(
        lambda: window.view.is_settled and window.view.finish is Finish.REST, timeout=20_000
    )


def drag(view: PumpHands, button: Qt.MouseButton, by: QPoint, held: Qt.KeyboardModifier) -> None:
    # Where no arrow of a chosen part can be taken hold of instead.
    at = QPoint(12, 12)
    QTest.mousePress(view, button, held, at)
    QTest.mouseMove(view, at + by)
    QTest.mouseRelease(view, button, held, at + by)


def move_pointer(view: PumpHands, to: QPoint) -> None:
    at, none = QPointF(to), Qt.MouseButton.NoButton
    moved = QMouseEvent(QEvent.Type.MouseMove, at, view.mapToGlobal(at), none, none, NO_KEY)
    QApplication.sendEvent(view, moved)


def scroll(
    view: PumpHands,
    angle: QPoint,
    *,
    pixels: QPoint | None = None,
    phase: Qt.ScrollPhase = Qt.ScrollPhase.NoScrollPhase,
    held: Qt.KeyboardModifier = NO_KEY,
) -> QPointF:
    at = QPointF(300.0, 120.0)
    shift = pixels or QPoint()
    event = QWheelEvent(
        at, view.mapToGlobal(at), shift, angle, Qt.MouseButton.NoButton, held, phase, False
    )
    QApplication.sendEvent(view, event)
    return at


def pinch(view: PumpHands, value: float) -> None:
    at = QPointF(300.0, 120.0)
    device = QPointingDevice.primaryPointingDevice()
    event = QNativeGestureEvent(
        Qt.NativeGestureType.ZoomNativeGesture,
        device,
        2,
        at,
        at,
        view.mapToGlobal(at),
        value,
        QPointF(),
    )
    QApplication.sendEvent(view, event)


def is_turned(before: Camera, after: Camera) -> bool:
    return not np.allclose(before.towards, after.towards)


def is_moved(before: Camera, after: Camera) -> bool:
    return not np.allclose(before.focus_mm, after.focus_mm)


# ---------------------------------------------------------------------- turning, moving, coming closer
def test_left_drag_turns_and_other_drags_move(window: PumpWindow) -> None:
    view = window.view
    before = view.camera
    drag(view, LEFT, QPoint(50, 20), NO_KEY)
    assert is_turned(before, view.camera)
    assert view.camera.mm_per_px == before.mm_per_px
    for button, held in ((LEFT, SHIFT), (RIGHT, NO_KEY), (Qt.MouseButton.MiddleButton, NO_KEY)):
        before = view.camera
        drag(view, button, QPoint(50, 20), held)
        assert not is_turned(before, view.camera)
        # What lay under the pointer has gone along with it.
        kept = before.find_ray(100.0, 100.0, view.size_px)
        assert view.camera.project(kept[None], view.size_px)[0][:2] == pytest.approx((150, 120))


def test_after_a_turn_no_standing_view_is_told_as_the_present_one(window: PumpWindow) -> None:
    assert window.views[ViewName.ISO].isChecked()
    drag(window.view, LEFT, QPoint(50, 20), NO_KEY)
    assert not any(button.isChecked() for button in window.views.values())


def test_the_wheel_comes_closer_to_what_is_under_the_pointer(window: PumpWindow) -> None:
    view = window.view
    before = view.camera
    under = before.find_ray(300.0, 120.0, view.size_px)
    at = scroll(view, QPoint(0, 240))
    assert view.camera.mm_per_px < before.mm_per_px
    assert view.camera.project(under[None], view.size_px)[0][:2] == pytest.approx((at.x(), at.y()))


def test_two_fingers_move_with_ctrl_they_come_closer_and_a_pinch_too(window: PumpWindow) -> None:
    view = window.view
    before = view.camera
    fingers = {"pixels": QPoint(30, -10), "phase": Qt.ScrollPhase.ScrollUpdate}
    scroll(view, QPoint(120, -40), **fingers)  # type: ignore[arg-type]  # one dictionary for two calls
    assert is_moved(before, view.camera)
    assert view.camera.mm_per_px == before.mm_per_px
    before = view.camera
    scroll(view, QPoint(0, 120), held=Qt.KeyboardModifier.ControlModifier, **fingers)  # type: ignore[arg-type]  # the same
    assert view.camera.mm_per_px < before.mm_per_px
    before = view.camera
    pinch(view, 0.25)
    assert view.camera.mm_per_px == pytest.approx(before.mm_per_px / 1.25)


def test_keys_turn_move_come_closer_and_fit(window: PumpWindow) -> None:
    view = window.view
    view.setFocus()
    changes: dict[tuple[Qt.Key, Qt.KeyboardModifier], Callable[[Camera, Camera], bool]] = {
        (Qt.Key.Key_Left, NO_KEY): is_turned,
        (Qt.Key.Key_Up, NO_KEY): is_turned,
        (Qt.Key.Key_Right, SHIFT): is_moved,
        (Qt.Key.Key_Down, SHIFT): is_moved,
        (Qt.Key.Key_Plus, NO_KEY): lambda old, new: new.mm_per_px < old.mm_per_px,
        (Qt.Key.Key_Minus, NO_KEY): lambda old, new: new.mm_per_px > old.mm_per_px,
    }
    for (key, held), is_other in changes.items():
        before = view.camera
        QTest.keyClick(view, key, held)
        assert is_other(before, view.camera), key
    QTest.keyClick(view, Qt.Key.Key_F)
    fitted = view.camera
    view.fit()
    assert view.camera.mm_per_px == pytest.approx(fitted.mm_per_px)


def test_every_standing_view_is_gone_to_before_ones_eyes(window: PumpWindow, qtbot: QtBot) -> None:
    for name, button in window.views.items():
        QTest.mouseClick(button, LEFT)
        qtbot.waitUntil(lambda: not window.view.glide.is_under_way, timeout=5_000)
        assert window.view.camera.towards == pytest.approx(make_camera(name).towards), name
        assert window.view.camera.up == pytest.approx(make_camera(name).up), name
        assert button.isChecked()


def test_a_hand_ends_a_glide(window: PumpWindow, qtbot: QtBot) -> None:
    window.view.glide_from(ViewName.DRIVE)
    QTest.keyClick(window.view, Qt.Key.Key_Plus)
    taken = window.view.camera
    qtbot.waitUntil(lambda: not window.view.glide.is_under_way, timeout=5_000)
    assert window.view.camera is taken


def test_a_double_click_comes_closer_to_a_part_and_beside_it_steps_back(
    window: PumpWindow, qtbot: QtBot
) -> None:
    view = window.view
    wide = view.camera.mm_per_px
    at = view.find_seen()["cover-nut-1"]
    QTest.mouseDClick(view, LEFT, NO_KEY, at)
    qtbot.waitUntil(lambda: not view.glide.is_under_way, timeout=5_000)
    assert view.camera.mm_per_px < wide / 4
    assert view.rect().contains(view.find_middle("cover-nut-1").toPoint())
    view.camera = view.camera.panned(10_000.0, 0.0)
    QTest.mouseDClick(view, LEFT, NO_KEY, QPoint(12, 12))
    qtbot.waitUntil(lambda: not view.glide.is_under_way, timeout=5_000)
    assert view.camera.mm_per_px == pytest.approx(wide, rel=0.2)


def test_what_hands_can_do_is_told_in_words(window: PumpWindow) -> None:
    words = load_words()
    told = [(words.say(one.how), words.say(one.does)) for one in window.view.told]
    assert len(told) > 25
    assert len({how for how, _ in told}) == len(told), "each way is told once"
    assert ("Shift and arrow keys", "move it in the picture") in told


def test_a_finger_is_told_from_a_wheel(window: PumpWindow) -> None:
    before = window.view.camera
    scroll(window.view, QPoint(0, 120), pixels=QPoint(0, 15))  # a wheel with fine steps
    assert not is_turned(before, window.view.camera)
    assert window.view.camera.mm_per_px < before.mm_per_px


# ---------------------------------------------------------------------- pointing
def test_the_part_under_the_pointer_is_named_and_nothing_is_drawn_for_it(
    window: PumpWindow, qtbot: QtBot
) -> None:
    view = window.view
    spots = view.find_seen()
    wait_till_settled(window, qtbot)
    # Where an arrow of the chosen part can be taken hold of, the hand is meant and not the part.
    piece, spot = next(
        (name, at)
        for name, at in spots.items()
        if all(one.find_cursor(QPointF(at), view) is None for one in view.tracings)
        and view.pick(QPointF(at + QPoint(1, 1))) == name
    )
    told: list[str] = []
    view.hovered.connect(told.append)
    move_pointer(view, spot)
    move_pointer(view, spot + QPoint(1, 1))
    assert told == [piece], "told once, while the part stays the same"
    named = window.naming.tell_piece(piece)
    assert window.pointing.tag.text == named[:1].upper() + named[1:]
    assert view.is_settled, "nothing is drawn anew"
    QTest.mousePress(view, LEFT, NO_KEY, spot)
    assert told == [piece, ""], "a hand that holds something points at nothing"
    QTest.mouseRelease(view, LEFT, NO_KEY, spot)
    QApplication.sendEvent(view, QEvent(QEvent.Type.Leave))
    assert window.pointing.tag.text == ""
    view.hovered.disconnect(told.append)


# ---------------------------------------------------------------------- withholding
def test_keys_withhold_what_is_chosen_and_bring_it_back(window: PumpWindow) -> None:
    view = window.view
    for key, way in ((Qt.Key.Key_G, Way.GLASS), (Qt.Key.Key_O, Way.AWAY)):
        window._picked("volute")
        QTest.keyClick(view, key)
        assert window.withholding.find_way({"volute"}) is way
        assert ("volute" in view.shown_marks.ghosted) is (way is Way.GLASS)
        assert ("volute" in view.shown_marks.hidden) is (way is Way.AWAY)
        QTest.keyClick(view, key)
        assert window.withholding.state == ALL_SHOWN


def test_a_set_goes_as_one_and_a_single_piece_when_it_is_meant(window: PumpWindow) -> None:
    window._picked("cover-nut-3")
    QTest.keyClick(window.view, Qt.Key.Key_O)
    assert window.view.hidden == NUTS
    assert [entry.text() for entry in window.withholding.row.entries] == ["8 cover nuts ×"]
    window.withholding.show_all()
    window._picked("cover-nut-3")
    QTest.keyClick(window.view, Qt.Key.Key_O, SHIFT)
    assert window.view.hidden == {"cover-nut-3"}
    assert [entry.text() for entry in window.withholding.row.entries] == ["Cover nut 3 ×"]


def test_what_is_withheld_is_listed_and_comes_back_one_by_one(window: PumpWindow) -> None:
    withholding = window.withholding
    withholding.change(Way.AWAY, NUTS)
    withholding.change(Way.AWAY, {"suction-cover"})
    withholding.change(Way.GLASS, {"volute"})
    row = withholding.row
    assert row.isVisible()
    assert len(row.entries) == 3
    entry = next(one for one in row.entries if "cover nuts" in one.text())
    QTest.mouseClick(entry, LEFT)
    assert window.view.hidden == {"suction-cover"}
    assert window.view.ghosted == {"volute"}
    QTest.mouseClick(row.all, LEFT)
    assert withholding.state == ALL_SHOWN
    assert not row.isVisible()


def test_many_withheld_parts_stand_in_a_menu(window: PumpWindow) -> None:
    parts = list(window.naming.sets)[:12]
    for part in parts:
        window.withholding.change(Way.AWAY, window.naming.sets[part])
    last = window.withholding.row.entries[-1]
    menu = last.menu()
    assert menu is not None
    assert len(window.withholding.row.entries) - 1 + len(menu.actions()) == len(parts)
    menu.actions()[0].trigger()
    assert len(window.withholding.find_sets(window.view.hidden)) < sum(
        len(window.naming.sets[part]) for part in parts
    )


def test_alone_shows_nothing_else_and_what_was_withheld_before_stays_so_after_it(
    window: PumpWindow,
) -> None:
    window.withholding.change(Way.AWAY, {"volute"})
    window._picked("impeller")
    QTest.keyClick(window.view, Qt.Key.Key_A)
    assert set(window.view.find_seen()) == {"impeller"}
    window._picked("suction-cover")
    window.withholding.change(Way.ALONE, {"shaft"})
    assert set(window.view.find_seen()) == {"shaft"}
    assert window.view.tags == {}, "no name stands where nothing is seen"
    window._picked("shaft")
    QTest.keyClick(window.view, Qt.Key.Key_A)
    assert window.view.hidden == {"volute"}


def test_withholding_outlives_motion_cut_choice_and_step(window: PumpWindow) -> None:
    window.withholding.change(Way.AWAY, {"volute"})
    window.motion.set_apart(0.3)
    window._picked("impeller")
    window.section.click()
    window.motion.set_apart(0.0)
    assert "volute" in window.view.shown_marks.hidden
    assert window.withholding.find_way({"volute"}) is Way.AWAY
    window._picked("volute")
    assert "volute" not in window.view.shown_marks.hidden, "what is spoken of is seen"


def test_the_card_withholds_its_part_and_shows_how_it_stands(window: PumpWindow) -> None:
    card: PartCard = window.part
    window._picked("cover-nut-2")
    QTest.mouseClick(card.showing.ways["glass"], LEFT)
    assert window.view.ghosted == NUTS
    assert card.showing.ways["glass"].isChecked()
    QTest.mouseClick(card.showing.ways["away"], LEFT)
    assert window.view.hidden == NUTS
    assert not card.showing.ways["glass"].isChecked()
    window.withholding.show_all()
    card.showing.single.click()
    assert card.showing.is_single
    QTest.mouseClick(card.showing.ways["away"], LEFT)
    assert window.view.hidden == {"cover-nut-2"}
    window._picked("volute")
    assert not card.showing.single.isVisible()


def test_the_menu_of_a_part_offers_the_set_and_the_single_piece(window: PumpWindow) -> None:
    asked: list[str] = []
    window.view.menu_asked.disconnect(window.withholding._open_menu)
    window.view.menu_asked.connect(lambda piece, _at: asked.append(piece))
    spot = window.view.find_seen()["cover-nut-1"]
    QTest.mouseClick(window.view, RIGHT, NO_KEY, spot)
    drag(window.view, RIGHT, QPoint(40, 0), NO_KEY)
    assert asked == ["cover-nut-1"], "a drag is no click"
    window.view.menu_asked.connect(window.withholding._open_menu)
    menu = window.withholding.make_menu("cover-nut-1")
    texts = [act.text() for act in menu.actions()]
    assert {"As glass", "Out of sight", "Alone", "Only cover nut 1"} <= set(texts)
    next(act for act in menu.actions() if act.text() == "Out of sight").trigger()
    assert window.view.hidden == NUTS
    menu.deleteLater()


# ---------------------------------------------------------------------- the card
def test_the_card_tells_clearances_and_fits_as_they_are_measured(window: PumpWindow) -> None:
    assert window.bench
    build = window.bench.build
    window.view.picked.emit("impeller")
    measured = window.part.measured
    bounded = [one for one in build.clearances if "impeller" in (one.low[0], one.high[0])]
    assert bounded
    for clearance in bounded:
        assert clearance.name in measured.links
        value = measure_clearance(build, clearance).in_service_mm
        assert f"✓ {value:.2f} mm" in measured.text() or "✗" in measured.text()
    assert "H7" in measured.text()
    told = [one.text() for one in measured.findChildren(QLabel) if one.isVisible()]
    assert [line for line in measured.text().splitlines() if line not in told] == []
    asked: list[str] = []
    window.part.proof_asked.connect(asked.append)
    measured.links[bounded[0].name].click()
    window.part.proof_asked.disconnect(asked.append)
    assert asked == [bounded[0].name]
    window.proving.close()
