"""The cut in the real window: chosen, dragged, slid, typed and turned along three axes."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from models.spec.face import Axis
from trainer.desktop.window import PumpWindow
from trainer.stage.camera import ViewName
from trainer.stage.cut import HALF_SECTION, Cut

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT = Qt.MouseButton.LeftButton
NO_KEY = Qt.KeyboardModifier.NoModifier


@pytest.fixture(autouse=True)
def _whole(window: PumpWindow) -> Iterator[None]:
    window.motion.pause()
    window.motion.set_apart(0.0)
    window.view.set_cut(None)
    window.cutting._last_mm.clear()
    window.look_from(ViewName.ISO)
    window.show_pane("part")
    yield
    window.view.set_cut(None)
    window.look_from(ViewName.ISO)


def choose(window: PumpWindow, axis: Axis) -> Cut:
    button = window.section if axis is Axis.Y else window.cutting.buttons[axis]
    button.click()
    cut = window.view.cut
    assert cut is not None
    assert cut.axis is axis
    return cut


def find_at_mm(window: PumpWindow) -> float:
    assert window.view.cut is not None
    return window.view.cut.at_mm


def drag_grip(window: PumpWindow, by: QPoint) -> None:
    grip = window.cutting.handle.find_grip(window.view)
    assert grip is not None
    at = grip.at.toPoint()
    QTest.mousePress(window.view, LEFT, NO_KEY, at)
    QTest.mouseMove(window.view, at + by)
    QTest.mouseRelease(window.view, LEFT, NO_KEY, at + by)


@pytest.mark.parametrize("axis", list(Axis))
def test_the_grip_goes_where_it_is_dragged(window: PumpWindow, axis: Axis) -> None:
    begun = choose(window, axis)
    grip = window.cutting.handle.find_grip(window.view)
    assert grip is not None
    by = QPoint(round(30 * grip.way[0]), round(30 * grip.way[1]))
    drag_grip(window, by)
    moved = window.view.cut
    assert moved is not None
    along_px = by.x() * grip.way[0] + by.y() * grip.way[1]
    assert moved.at_mm - begun.at_mm == pytest.approx(along_px * grip.mm_per_px, abs=1e-6)
    # A point of the plane has gone along with the pointer in the picture, along the axis.
    number = begun.number
    points = [[0.0, 0.0, 0.0], [0.0, 0.0, 0.0]]
    points[0][number], points[1][number] = begun.at_mm, moved.at_mm
    first, second = window.view.project(np.array(points))
    went = second - first
    assert went.x() * grip.way[0] + went.y() * grip.way[1] == pytest.approx(along_px, abs=1e-6)
    assert axis is not Axis.Y or window.section.isChecked()


def test_seen_along_its_axis_a_plane_goes_deeper_as_the_grip_is_dragged_up(
    window: PumpWindow,
) -> None:
    window.look_from(ViewName.SIDE)
    choose(window, Axis.Y)
    drag_grip(window, QPoint(0, -20))
    cut = window.view.cut
    assert cut is not None
    assert cut.at_mm == pytest.approx(20 * window.view.camera.mm_per_px)
    assert cut.at_mm * cut.keeps > 0.0, "deeper: away from the eye, into what is kept"
    assert "deeper" in window.cutting.handle.text


def test_a_plane_goes_no_farther_than_the_pump(window: PumpWindow) -> None:
    choose(window, Axis.Z)
    bounds = window.cutting.handle.bounds_mm
    for far, end in ((1e4, bounds[1, 2]), (-1e4, bounds[0, 2])):
        window.cutting.move_to(far)
        assert window.view.cut is not None
        assert window.view.cut.at_mm == pytest.approx(end)


def test_slider_keys_and_typing_move_the_plane(window: PumpWindow) -> None:
    choose(window, Axis.Z)
    row = window.cutting.row
    assert row.isVisible()
    row.slider.setFocus()
    QTest.keyClick(row.slider, Qt.Key.Key_Right)
    assert find_at_mm(window) == pytest.approx(1.0, abs=0.06)
    QTest.keyClick(window.view, Qt.Key.Key_PageUp)
    assert find_at_mm(window) == pytest.approx(2.0, abs=0.06)
    row.field.setFocus()
    row.field.selectAll()
    QTest.keyClicks(row.field, "-12.5 mm")
    QTest.keyClick(row.field, Qt.Key.Key_Return)
    assert window.view.cut == Cut(Axis.Z, -12.5, -1)
    assert row.field.accessibleDescription() == "Cut 12.5 mm below the shaft"


@pytest.mark.parametrize(
    ("typed", "told"),
    [("twelve", "no length"), ("1,500", "Write it like 12.5 mm"), ("900", "nothing to cut")],
)
def test_what_cannot_be_cut_is_told_and_stays_typed(
    window: PumpWindow, typed: str, told: str
) -> None:
    begun = choose(window, Axis.X)
    field = window.cutting.row.field
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, typed)
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert told in window.cutting.row.fault.text()
    assert window.cutting.row.fault.isVisible()
    assert field.text() == typed
    assert window.view.cut == begun
    window.cutting.move_to(begun.at_mm + 5.0)
    assert not window.cutting.row.fault.isVisible()


def test_the_other_side_can_be_taken_away_and_the_eye_sees_the_cut_first(
    window: PumpWindow,
) -> None:
    cut = choose(window, Axis.X)
    towards = window.view.camera.towards
    assert cut.keeps * towards[0] < 0.0, "what stands before the eye is taken away"
    window.cutting.row.turn.click()
    assert window.view.cut == cut.turned
    window.look_from(ViewName.FAR_SIDE)
    choose(window, Axis.Y)
    assert window.view.cut == HALF_SECTION.turned


def test_one_cut_takes_the_place_of_another_and_a_second_press_shows_the_whole(
    window: PumpWindow,
) -> None:
    choose(window, Axis.Z)
    choose(window, Axis.X)
    assert not window.cutting.buttons[Axis.Z].isChecked()
    assert choose(window, Axis.Y) == HALF_SECTION
    assert not window.cutting.buttons[Axis.X].isChecked()
    window.section.click()
    assert window.view.cut is None
    assert not window.cutting.row.isVisible()
    assert window.cutting.handle.find_grip(window.view) is None


def test_a_cut_that_a_lesson_shows_has_a_grip_but_takes_no_row_of_its_own(
    window: PumpWindow,
) -> None:
    window.view.set_section(True)
    assert window.section.isChecked()
    assert not window.cutting.row.isVisible()
    drag_grip(window, QPoint(8, 8))
    assert window.cutting.row.isVisible()


def test_a_cut_that_would_be_seen_edge_on_is_turned_to(window: PumpWindow) -> None:
    window.look_from(ViewName.SIDE)
    cut = choose(window, Axis.X)
    assert window.view.glide.is_under_way
    assert cut.keeps == 1
    assert window.views[ViewName.ISO].isChecked()


def test_each_cut_shows_the_impeller_cut_through(window: PumpWindow) -> None:
    for axis in Axis:
        cut = choose(window, axis)
        assert "impeller" in window.view.find_seen(), axis
        stage = window.view.surface.full
        assert stage is not None
        patches = stage.find_cut_patches("impeller")
        assert patches
        across = np.concatenate(patches)[:, cut.number]
        assert across == pytest.approx(np.full(len(across), cut.plane_mm), abs=1e-3)


def test_after_measuring_the_row_of_the_cut_is_there_only_where_it_is_worked_with(
    window: PumpWindow,
) -> None:
    window.measuring.show("back-vane")
    assert window.cutting.row.isHidden()
    window.fit_view()
    assert window.view.cut is not None, "the section stays; nobody has taken hold of it"
    assert window.cutting.row.isHidden()
    window.view.set_cut(None)
    choose(window, Axis.X)
    assert not window.cutting.row.isHidden()
