"""The real window, driven as a person would: slider, play, pick, section, shims, and the three questions."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QListWidget, QSlider, QWidget
from pytestqt.qtbot import QtBot

from trainer.desktop.questions import AnswerControl, OrderControl, PointControl, ThicknessControl
from trainer.desktop.window import PumpWindow
from trainer.lesson import QuestionKind
from trainer.records import Attempt
from trainer.session.bench import Bench
from trainer.stage.scene import Finish, Stage

pytestmark = pytest.mark.window
LEFT = Qt.MouseButton.LeftButton


def go_to_question(window: PumpWindow, kind: QuestionKind) -> AnswerControl:
    window.show_pane("lesson")
    lesson = window.lesson._lesson
    assert lesson is not None
    number = next(i for i, step in enumerate(lesson.steps) if step.ask and step.ask.kind is kind)
    window.lesson.go(number)
    window.lesson.person.setText("Robin")
    assert window.lesson.control is not None
    return window.lesson.control


def find_bench(window: PumpWindow) -> Bench:
    assert window.bench is not None
    return window.bench


def find_stage(window: PumpWindow) -> Stage:
    assert window.view._full is not None
    return window.view._full


def list_attempts(window: PumpWindow) -> tuple[Attempt, ...]:
    assert window.records is not None
    return window.records.list_attempts()


def find_offset_mm(window: PumpWindow, piece: str) -> float:
    return float(np.abs(window.view._offsets[piece]).max())


def test_slider_takes_parts_off_in_order_and_names_them(window: PumpWindow) -> None:
    window.motion.set_apart(0.0)
    assert find_offset_mm(window, "suction-cover") == 0.0
    window.motion.slider.setFocus()
    QTest.keyClick(window.motion.slider, Qt.Key.Key_PageUp)
    assert window.motion.name.text().startswith("1 of ")
    assert "cover nuts" in window.motion.name.text()
    assert find_offset_mm(window, "cover-nut-1") > 0.0
    assert find_offset_mm(window, "suction-cover") == 0.0
    QTest.mouseClick(window.motion.forward, LEFT)
    assert "suction cover" in window.motion.name.text()
    assert find_offset_mm(window, "suction-cover") > 0.0
    assert find_offset_mm(window, "wear-ring") == find_offset_mm(window, "suction-cover")
    QTest.mouseClick(window.motion.back, LEFT)
    assert find_offset_mm(window, "suction-cover") == 0.0
    window.motion.set_apart(0.0)


def test_play_moves_by_itself_and_holds_where_it_is_stopped(
    window: PumpWindow, qtbot: QtBot
) -> None:
    window.motion.set_apart(0.0)
    QTest.mouseClick(window.motion.play, LEFT)
    qtbot.waitUntil(lambda: window.motion.apart > 0.01, timeout=20_000)
    QTest.mouseClick(window.motion.play, LEFT)
    held = window.motion.apart
    QTest.qWait(60)
    assert window.motion.apart == held
    window.motion.set_apart(0.0)


def test_clicking_a_part_shows_its_name_duty_and_material(window: PumpWindow) -> None:
    window.show_pane("shim")
    window.motion.set_apart(0.0)
    window.view.look_from("iso")
    spot = window.view.find_spot("volute")
    assert spot is not None
    QTest.mouseClick(window.view, LEFT, pos=spot)
    assert window.panes.currentWidget() is window.part
    assert window.part.title.text() == "volute"
    assert "impeller" in window.part.duty.text()
    assert "cast iron" in window.part.material.text()
    assert window.view.marks.lit == {"volute"}


def test_dragging_turns_the_pump_and_picks_nothing(window: PumpWindow) -> None:
    window.show_pane("shim")
    before = find_stage(window).camera.towards.copy()
    middle = window.view.rect().center()
    QTest.mousePress(window.view, LEFT, pos=middle)
    QTest.mouseMove(window.view, middle + QPoint(60, 10))
    QTest.mouseRelease(window.view, LEFT, pos=middle + QPoint(60, 10))
    assert not np.allclose(find_stage(window).camera.towards, before)
    assert window.panes.currentWidget() is window.shims
    window.view.look_from("iso")


def test_half_section_opens_the_pump(window: PumpWindow) -> None:
    window.view.look_from("side")
    assert window.view.find_spot("impeller") is None
    QTest.mouseClick(window.section, LEFT)
    assert window.view.find_spot("impeller") is not None
    QTest.mouseClick(window.section, LEFT)
    assert window.view.find_spot("impeller") is None


def test_still_picture_is_drawn_in_full(window: PumpWindow, qtbot: QtBot) -> None:
    window.view.look_from("iso")
    qtbot.waitUntil(lambda: window.view.finish is Finish.REST, timeout=20_000)


def test_pointing_at_the_wrong_and_then_the_right_part(window: PumpWindow) -> None:
    control = go_to_question(window, QuestionKind.POINT_OUT)
    assert isinstance(control, PointControl)
    assert not control.mark.isEnabled()
    window._picked("impeller")
    QTest.mouseClick(control.mark, LEFT)
    assert "impeller" in control.feedback.text()
    assert "front wear ring" in control.feedback.text()
    window._picked("wear-ring")
    QTest.mouseClick(control.mark, LEFT)
    assert control.feedback.text().startswith("Right")
    assert "Robin" in window.lesson.note.text()


def test_thickness_accepts_a_comma_and_refuses_words(window: PumpWindow) -> None:
    control = go_to_question(window, QuestionKind.SHIM_THICKNESS)
    assert isinstance(control, ThicknessControl)
    attempts = len(list_attempts(window))
    control.field.setText("thick")
    QTest.keyClick(control.field, Qt.Key.Key_Return)
    assert "not a length" in control.feedback.text()
    assert len(list_attempts(window)) == attempts
    control.field.setText("0,95")
    QTest.keyClick(control.field, Qt.Key.Key_Return)
    assert control.feedback.text() == "Right: 0.95 mm."
    control.field.setText("0.3")
    QTest.keyClick(control.field, Qt.Key.Key_Return)
    assert control.feedback.text().startswith("Too thin")


def test_order_is_marked_with_reasons_and_can_be_mended(window: PumpWindow) -> None:
    control = go_to_question(window, QuestionKind.PUT_IN_ORDER)
    assert isinstance(control, OrderControl)
    put_in_order(
        control,
        [
            "impeller",
            "cover-nut",
            "suction-cover",
            "impeller-screw",
            "tab-washer",
            "retaining-washer",
        ],
    )
    QTest.mouseClick(control.mark, LEFT)
    first = control.list.item(0).text()
    assert "impeller screw" in first
    assert "still held" in first
    assert window.view.marks.in_the_way
    put_in_order(
        control,
        [
            "cover-nut",
            "suction-cover",
            "impeller-screw",
            "tab-washer",
            "retaining-washer",
            "impeller",
        ],
    )
    QTest.mouseClick(control.mark, LEFT)
    assert control.feedback.text().startswith("Every step")
    latest = list_attempts(window)[0]
    assert (latest.person, latest.kind.value, latest.score) == ("Robin", "order", 1.0)


def read_lines(control: OrderControl) -> list[str]:
    answer = control.read()
    assert not isinstance(answer, str | float)
    return list(answer)


def put_in_order(control: OrderControl, wanted: list[str]) -> None:
    """Use the two buttons, as a person without a mouse would."""
    for row, part in enumerate(wanted):
        at = read_lines(control).index(part)
        control.list.setCurrentRow(at)
        for _ in range(at - row):
            QTest.mouseClick(control.earlier, LEFT)
    assert read_lines(control) == wanted


def test_another_pack_moves_the_impeller_and_its_gaps(window: PumpWindow, qtbot: QtBot) -> None:
    window.show_pane("shim")
    before = find_bench(window).assembly.by_name["impeller"].mesh.points[:, 0].min()
    assert "back-vane gap" in window.shims.gaps.text()
    window.shims.stock.setCurrentIndex(window.shims.stock.findData(0.1))
    QTest.mouseClick(window.shims.add, LEFT)
    assert "0.600 mm" in window.shims.gaps.text()
    qtbot.waitUntil(lambda: len(find_bench(window).build.pack) == 4, timeout=240_000)
    after = find_bench(window).assembly.by_name["impeller"].mesh.points[:, 0].min()
    assert after == pytest.approx(before - 0.1, abs=1e-3)
    qtbot.waitUntil(lambda: window._ordered is find_bench(window), timeout=240_000)
    assert "shim-4" in window.view._offsets


def test_every_control_has_a_spoken_name_and_can_be_reached(window: PumpWindow) -> None:
    go_to_question(window, QuestionKind.PUT_IN_ORDER)
    kinds = (QAbstractButton, QSlider, QLineEdit, QComboBox, QListWidget)
    controls = [w for w in window.findChildren(QWidget) if isinstance(w, kinds)]
    inner = ("qt_spinbox", "qt_scrollarea")
    ours = [w for w in controls if not w.objectName().startswith(inner)]
    assert len(ours) > 15
    assert [
        w for w in ours if not (w.accessibleName() or (isinstance(w, QAbstractButton) and w.text()))
    ] == []
    assert [w for w in ours if w.focusPolicy() is Qt.FocusPolicy.NoFocus] == []
    assert window.view.accessibleName()
