"""The three questions in the real window: answered by hand, marked with reasons, recorded before they are called marked."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from models.spec.errors import SurroundingsError
from tests.desktop.driving import Control, go_to_question
from trainer.desktop.panes.order_list import LineState
from trainer.desktop.panes.questions import (
    OrderControl,
    PointControl,
    ThicknessControl,
)
from trainer.desktop.window import PumpWindow
from trainer.records import Attempt

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT = Qt.MouseButton.LeftButton
RIGHT_ORDER = [
    "cover-nut",
    "suction-cover",
    "impeller-screw",
    "tab-washer",
    "retaining-washer",
    "impeller",
]
WRONG_ORDER = [RIGHT_ORDER[-1], *RIGHT_ORDER[:-1]]


def ask(window: PumpWindow, qtbot: QtBot, kind: type[Control]) -> Control:
    control = go_to_question(window, kind, "Robin")
    qtbot.waitUntil(lambda: not window.motion.is_gliding, timeout=20_000)
    return control


def list_attempts(window: PumpWindow) -> tuple[Attempt, ...]:
    assert window.records is not None
    return window.records.list_attempts(limit=None)


def put_in_order(control: OrderControl, wanted: list[str]) -> None:
    """Use the two buttons, as a person without a mouse would."""
    for row, part in enumerate(wanted):
        at = control.list.read_names().index(part)
        control.list.setCurrentRow(at)
        for _ in range(at - row):
            QTest.mouseClick(control.earlier, LEFT)
    assert control.list.read_names() == wanted


def test_pointing_at_the_wrong_and_then_the_right_part(window: PumpWindow, qtbot: QtBot) -> None:
    control = ask(window, qtbot, PointControl)
    assert not control.mark.isEnabled()
    seen = window.view.find_seen()
    QTest.mouseClick(window.view, LEFT, pos=seen["impeller"])
    assert window.pane == "lesson", "a click is the answer, and opens no card"
    assert window.view.marks.lit == {"impeller"}
    assert window.view.tags == {}, "its name would give the answer away"
    QTest.mouseClick(control.mark, LEFT)
    assert "impeller" in control.feedback.text.text()
    assert "front wear ring" in control.feedback.text.text()
    assert window.view.marks.lit == {"wear-ring"}
    assert list_attempts(window)[0].score == 0.0
    QTest.mouseClick(window.view, LEFT, pos=seen["wear-ring"])
    QTest.mouseClick(control.mark, LEFT)
    assert control.feedback.heading.text() == "✓ RIGHT"
    assert "Robin" in window.lesson.note.text()
    assert list_attempts(window)[0].score == 1.0


@pytest.mark.parametrize("typed", ["0.95", "0,95", " 0.95 mm"])
def test_thickness_takes_point_and_comma(window: PumpWindow, qtbot: QtBot, typed: str) -> None:
    control = ask(window, qtbot, ThicknessControl)
    control.field.setText(typed)
    QTest.keyClick(control.field, Qt.Key.Key_Return)
    assert control.feedback.heading.text() == "✓ RIGHT"
    assert "0.95 mm" in control.feedback.text.text()


@pytest.mark.parametrize("typed", ["", "thick", "0.9.5", "nan"])
def test_thickness_that_is_no_number_is_said_so_and_not_marked(
    window: PumpWindow, qtbot: QtBot, typed: str
) -> None:
    control = ask(window, qtbot, ThicknessControl)
    before = len(list_attempts(window))
    control.field.setText(typed)
    QTest.keyClick(control.field, Qt.Key.Key_Return)
    assert control.feedback.heading.text() == "NOT MARKED"
    assert "0.95" in control.feedback.text.text(), "the text shows how a number looks"
    assert len(list_attempts(window)) == before


def test_thickness_off_is_told_which_way(window: PumpWindow, qtbot: QtBot) -> None:
    control = ask(window, qtbot, ThicknessControl)
    control.field.setText("0.3")
    QTest.keyClick(control.field, Qt.Key.Key_Return)
    assert "Too thin" in control.feedback.text.text()
    control.field.setText("1.2")
    QTest.keyClick(control.field, Qt.Key.Key_Return)
    assert "Too thick" in control.feedback.text.text()


def test_order_is_marked_with_reasons_and_can_be_mended(window: PumpWindow, qtbot: QtBot) -> None:
    control = ask(window, qtbot, OrderControl)
    put_in_order(control, WRONG_ORDER)
    QTest.mouseClick(control.mark, LEFT)
    verdict = control.list.find_verdict(0)
    assert verdict is not None
    assert verdict.state is LineState.REFUSED
    assert "impeller screw" in verdict.why
    assert window.view.marks.lit == {"impeller"}
    assert "impeller-screw" in window.view.marks.in_the_way
    assert any(tag.barred and "impeller screw" in tag.text for tag in window.view.tags.values())
    put_in_order(control, RIGHT_ORDER)
    QTest.mouseClick(control.mark, LEFT)
    verdicts = [control.list.find_verdict(row) for row in range(len(RIGHT_ORDER))]
    assert [found.state for found in verdicts if found] == [LineState.FREE] * len(RIGHT_ORDER)
    assert control.feedback.heading.text() == "✓ RIGHT"
    latest = list_attempts(window)[0]
    assert (latest.person, latest.kind, latest.score) == ("Robin", "put-in-order", 1.0)
    assert latest.answer == RIGHT_ORDER


def test_lines_move_with_alt_and_arrows(window: PumpWindow, qtbot: QtBot) -> None:
    control = ask(window, qtbot, OrderControl)
    names = control.list.read_names()
    control.list.setCurrentRow(0)
    QTest.keyClick(control.list, Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier)
    assert control.list.read_names() == [names[1], names[0], *names[2:]]
    assert control.list.currentRow() == 1
    QTest.keyClick(control.list, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    assert control.list.read_names() == names


def test_without_a_name_an_answer_is_marked_and_said_not_to_be_kept(
    window: PumpWindow, qtbot: QtBot
) -> None:
    control = ask(window, qtbot, ThicknessControl)
    window.person.setText("  ")
    before = len(list_attempts(window))
    control.field.setText("0.95")
    QTest.mouseClick(control.mark, LEFT)
    assert control.feedback.heading.text() == "✓ RIGHT"
    assert window.lesson.note.text().startswith("Not kept")
    assert len(list_attempts(window)) == before


def test_an_answer_that_cannot_be_recorded_is_not_marked_and_not_lost(
    window: PumpWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    control = ask(window, qtbot, ThicknessControl)
    assert window.records is not None
    tried: list[Attempt] = []

    def refuse(attempt: Attempt) -> None:
        tried.append(attempt)
        raise SurroundingsError("the disk is full")

    before = len(list_attempts(window))
    with monkeypatch.context() as patch:
        patch.setattr(window.records, "add_attempt", refuse)
        control.field.setText("0.95")
        QTest.mouseClick(control.mark, LEFT)
        assert control.feedback.heading.text() == "NOT MARKED"
        assert "the disk is full" in control.feedback.text.text()
        assert control.field.text() == "0.95"
        assert window.lesson.note.text() == ""
    QTest.mouseClick(control.mark, LEFT)
    assert control.feedback.heading.text() == "✓ RIGHT"
    attempts = list_attempts(window)
    assert len(attempts) == before + 1
    assert attempts[0].id == tried[0].id, "a retry is the same attempt"
