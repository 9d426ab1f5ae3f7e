"""The real window, driven as a person would: slider, play, pick, section, and what is said of it all."""

from __future__ import annotations

import sys

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QComboBox,
    QLabel,
    QLineEdit,
    QListWidget,
    QSlider,
    QWidget,
)
from pytestqt.qtbot import QtBot

from tests.desktop.driving import wait_for_question
from trainer.desktop.theme import choose_sizes
from trainer.desktop.window import PumpWindow
from trainer.stage.camera import ViewName
from trainer.stage.scene import Finish
from trainer.words import load_words
from trainer.words.telling import tell_direction

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT = Qt.MouseButton.LeftButton


def find_offset_mm(window: PumpWindow, piece: str) -> float:
    return float(np.abs(window.view.offsets[piece]).max())


def count_steps(window: PumpWindow) -> int:
    assert window.bench
    return len(window.bench.order.steps)


def wait_till_still(window: PumpWindow, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: not window.motion.is_gliding, timeout=20_000)


@pytest.fixture(autouse=True)
def _together(window: PumpWindow) -> None:
    window.motion.pause()
    window.motion.set_apart(0.0)
    window.section.setChecked(False)
    window.change_section()
    window.look_from(ViewName.ISO)
    window.show_pane("shim")


def test_slider_takes_parts_off_in_order_and_names_them(window: PumpWindow, qtbot: QtBot) -> None:
    assert find_offset_mm(window, "suction-cover") == 0.0
    window.motion.slider.setFocus()
    QTest.keyClick(window.motion.slider, Qt.Key.Key_PageUp)
    assert window.motion.number.text() == f"1 of {count_steps(window)}"
    assert "cover nuts" in window.motion.name.text()
    assert find_offset_mm(window, "cover-nut-1") > 0.0
    assert find_offset_mm(window, "suction-cover") == 0.0
    assert window.view.marks.lit == {f"cover-nut-{n}" for n in range(1, 9)}
    assert [tag.text for tag in window.view.tags.values()] == ["8 cover nuts"]
    QTest.mouseClick(window.motion.forward, LEFT)
    wait_till_still(window, qtbot)
    assert window.motion.name.text() == "Suction cover"
    assert "sling" in window.motion.before.text()
    assert find_offset_mm(window, "suction-cover") > 0.0
    assert find_offset_mm(window, "wear-ring") == find_offset_mm(window, "suction-cover")
    QTest.mouseClick(window.motion.back, LEFT)
    wait_till_still(window, qtbot)
    assert find_offset_mm(window, "suction-cover") == 0.0


def test_two_quick_clicks_are_two_steps(window: PumpWindow, qtbot: QtBot) -> None:
    QTest.mouseClick(window.motion.forward, LEFT)
    QTest.mouseClick(window.motion.forward, LEFT)
    wait_till_still(window, qtbot)
    assert window.motion.number.text() == f"2 of {count_steps(window)}"


def test_a_click_on_the_slider_goes_there(window: PumpWindow) -> None:
    slider = window.motion.slider
    QTest.mouseClick(slider, LEFT, pos=QPoint(slider.width() // 2, slider.height() // 2))
    assert window.motion.apart == pytest.approx(0.5, abs=0.02)


def test_play_moves_by_itself_and_holds_where_it_is_stopped(
    window: PumpWindow, qtbot: QtBot
) -> None:
    window.motion.set_apart(0.3)  # at the very start there is much to be read first
    assert window.motion.play.text().strip() == "Take apart"
    QTest.mouseClick(window.motion.play, LEFT)
    qtbot.waitUntil(lambda: window.motion.apart > 0.301, timeout=20_000)
    assert window.motion.play.text().strip() == "Hold"
    QTest.mouseClick(window.motion.play, LEFT)
    held = window.motion.apart
    QTest.qWait(60)
    assert window.motion.apart == held


def test_from_the_end_play_puts_the_pump_together(window: PumpWindow, qtbot: QtBot) -> None:
    window.motion.set_apart(1.0)
    assert window.motion.play.text().strip() == "Put together"
    QTest.mouseClick(window.motion.play, LEFT)
    qtbot.waitUntil(lambda: window.motion.apart < 0.995, timeout=20_000)
    window.motion.pause()
    assert window.bench
    back = tell_direction(load_words(), window.bench.order.steps[-1].direction.back)
    assert window.motion.way.text() == f"goes back on {back}"


def test_clicking_a_part_shows_its_card(window: PumpWindow) -> None:
    QTest.mouseClick(window.view, LEFT, pos=window.view.find_seen()["volute"])
    assert window.pane == "part"
    card = window.part
    assert card.title.text() == "Volute"
    assert "impeller" in card.duty.text()
    assert card.wear.text() != ""
    assert "cast iron" in card.material.text()
    assert "Sling" in card.caution.text.text()
    assert window.view.marks.lit == {"volute"}
    assert [tag.text for tag in window.view.tags.values()] == ["volute"]


def test_the_card_tells_materials_what_holds_a_part_and_what_comes_off_with_it(
    window: PumpWindow,
) -> None:
    window._picked("suction-cover")
    card = window.part
    assert "Cast iron, as a rule" in card.materials.text()
    assert "Bronze, for sea and brackish water" in card.materials.text()
    assert "Clamped to volute by 8 cover nuts" in card.held.text()
    assert "After 8 cover nuts." in card.off.text()
    assert "Cover O-ring and front wear ring." in card.along.text()
    window._picked("cover-nut-1")
    assert "Nothing has to come off before it." in card.off.text()


def test_the_longest_card_fits_the_width_of_its_pane_and_scrolls(window: PumpWindow) -> None:
    assert window.bench
    for names in window.bench.build.places.values():
        piece = names[0]
        window._picked(piece)
        QTest.qWait(1)
        assert window.part.scroller.horizontalScrollBar().maximum() == 0, piece
    window._picked("bracket")
    QTest.qWait(20)
    assert window.part.scroller.verticalScrollBar().maximum() > 0


def test_card_leads_to_the_step_in_which_the_part_comes_off(
    window: PumpWindow, qtbot: QtBot
) -> None:
    window._picked("suction-cover")
    assert "Step" in window.part.off.text()
    QTest.mouseClick(window.part.go, LEFT)
    wait_till_still(window, qtbot)
    assert window.motion.number.text() == f"2 of {count_steps(window)}"


def test_keys_go_from_part_to_part_and_pick(window: PumpWindow) -> None:
    seen = list(window.view.find_seen())
    window.view.setFocus()
    QTest.keyClick(window.view, Qt.Key.Key_N)
    offered = set(window.view.marks.lit)
    assert len(offered) == 1
    assert offered <= set(seen)
    assert window.view.tags == {}, "what is only offered is not named yet"
    QTest.keyClick(window.view, Qt.Key.Key_Return)
    assert window.pane == "part"
    assert window.part.piece in offered


def test_dragging_turns_the_pump_and_picks_nothing(window: PumpWindow) -> None:
    before = window.view.camera.towards.copy()
    middle = window.view.rect().center()
    QTest.mousePress(window.view, LEFT, pos=middle)
    QTest.mouseMove(window.view, middle + QPoint(60, 10))
    QTest.mouseRelease(window.view, LEFT, pos=middle + QPoint(60, 10))
    assert not np.allclose(window.view.camera.towards, before)
    assert window.pane == "shim"


def test_half_section_opens_the_pump(window: PumpWindow) -> None:
    window.look_from(ViewName.SIDE)
    assert "impeller" not in window.view.find_seen()
    QTest.mouseClick(window.section, LEFT)
    assert "impeller" in window.view.find_seen()
    QTest.mouseClick(window.section, LEFT)
    assert "impeller" not in window.view.find_seen()


def test_everything_stays_in_the_picture_when_it_comes_apart(window: PumpWindow) -> None:
    window.motion.set_apart(1.0)
    width, height = window.view.size_px
    for name in window.view.offsets:
        spot = window.view.find_middle(name)
        assert 0 < spot.x() < width, name
        assert 0 < spot.y() < height, name


def test_still_picture_is_drawn_in_full(window: PumpWindow, qtbot: QtBot) -> None:
    with qtbot.waitSignal(window.view.drawn, timeout=20_000):
        window.view.redraw()
    assert window.view.finish is Finish.REST


def test_a_drag_drops_the_picture_that_was_half_drawn(window: PumpWindow) -> None:
    window.view.surface.begin_still()
    assert window.view.surface.is_drawing
    window.view.redraw()
    assert not window.view.surface.is_drawing


def test_every_page_of_the_walk_can_be_shown(window: PumpWindow, qtbot: QtBot) -> None:
    window.show_pane("lesson")
    lesson = window.lesson.lesson
    assert lesson is not None
    window.lesson.go(0)
    for number, step in enumerate(lesson.steps):
        assert window.lesson.number == number
        assert window.lesson.title.text() == step.title
        assert window.lesson.caution.isVisible() == bool(step.caution)
        assert window.section.isChecked() == step.show.cutaway
        wait_for_question(window)
        assert window.lesson.question.isVisible() == (step.ask is not None)
        if number + 1 < len(lesson.steps):
            QTest.mouseClick(window.lesson.next, LEFT)
    assert window.lesson.next.text() != window.words.say("window.lesson-next")
    wait_till_still(window, qtbot)


def test_every_control_has_a_spoken_name_and_can_be_reached(window: PumpWindow) -> None:
    lesson = window.lesson.lesson
    assert lesson is not None
    kinds = (QAbstractButton, QSlider, QLineEdit, QComboBox, QListWidget)
    inner = ("qt_spinbox", "qt_scrollarea")
    pages = [n for n, step in enumerate(lesson.steps) if step.ask]
    assert pages
    for page in pages:
        window.lesson.go(page)
        wait_for_question(window)
        controls = [w for w in window.findChildren(QWidget) if isinstance(w, kinds)]
        # What is hidden may get its words, and its name with them, only when it is first shown.
        ours = [w for w in controls if not w.objectName().startswith(inner) and not w.isHidden()]
        assert len(ours) > 15
        assert [w for w in ours if not w.accessibleName()] == []
        assert [w for w in ours if w.focusPolicy() is Qt.FocusPolicy.NoFocus] == []
    assert window.view.accessibleName()
    assert window.view.accessibleDescription()
    window.motion.pause()


@pytest.mark.parametrize("pane", ["lesson", "part", "shim"])
def test_no_word_of_a_pane_is_clipped(window: PumpWindow, pane: str) -> None:
    window._picked("impeller")
    window.lesson.go(7)
    window.show_pane(pane)
    QTest.qWait(30)
    for label in window.panes.findChildren(QLabel):
        if label.isVisible() and label.text():
            needed = label.heightForWidth(label.width()) if label.wordWrap() else 0
            assert label.height() >= needed, label.text()[:60]


def test_type_grows_with_the_window() -> None:
    assert choose_sizes(1280, 720).px(17) == 17
    assert choose_sizes(1920, 1080).px(17) == 26
    assert choose_sizes(1280, 1080).px(17) == 17, "a narrow window has no room for large type"
    assert choose_sizes(7680, 4320) == choose_sizes(2560, 1440)


def test_playing_lets_none_of_pythons_own_objects_go(window: PumpWindow) -> None:
    before = sys.getrefcount(None)
    for apart in np.linspace(0.0, 0.4, 12):
        window.motion.set_apart(float(apart))
        QTest.qWait(1)
    assert sys.getrefcount(None) > before - 100
