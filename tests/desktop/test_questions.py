"""The questions of the walk in the real window: answered by hand, marked with reasons, recorded before they are called marked."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from models.spec.errors import SurroundingsError
from tests.desktop.driving import Form, find_control, go_to_question, have_marked, wait_for_mark
from trainer.desktop.asking.lines import LineState
from trainer.desktop.asking.number_form import NumberForm
from trainer.desktop.asking.order_form import OrderForm
from trainer.desktop.asking.point_form import PointForm
from trainer.desktop.window import PumpWindow
from trainer.records import Attempt
from trainer.words import LengthUnit

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


def ask(window: PumpWindow, qtbot: QtBot, kind: type[Form]) -> Form:
    form = go_to_question(window, kind, "Robin")
    qtbot.waitUntil(lambda: not window.motion.is_gliding, timeout=20_000)
    return form


def read_feedback(window: PumpWindow) -> str:
    return find_control(window).feedback.text.text()


def list_attempts(window: PumpWindow) -> tuple[Attempt, ...]:
    assert window.records is not None
    return window.records.list_attempts(limit=None)


def put_in_order(form: OrderForm, wanted: list[str]) -> None:
    """Use the two buttons, as a person without a mouse would."""
    for row, part in enumerate(wanted):
        at = form.list.read_names().index(part)
        form.list.setCurrentRow(at)
        for _ in range(at - row):
            QTest.mouseClick(form.earlier, LEFT)
    assert form.list.read_names() == wanted


# ------------------------------------------------------------------ pointing
def test_pointing_at_the_wrong_and_then_the_right_part(window: PumpWindow, qtbot: QtBot) -> None:
    form = ask(window, qtbot, PointForm)
    assert have_marked(window) == "NOT MARKED"
    QTest.mouseClick(window.view, LEFT, pos=window.view.find_seen()["impeller"])
    window.view.hovered.emit("impeller")
    assert window.pane == "lesson", "a click is the answer, and opens no card"
    assert window.view.marks.lit == {"impeller"}
    assert window.view.tags == {}, "its name would give the answer away"
    assert window.answering.is_pointing
    assert window.pointing.tag.text == "", "and so would its name under the pointer"
    assert have_marked(window) == "✗ NOT YET"
    assert "impeller" in form.found.text()
    assert "front wear ring" in read_feedback(window)
    assert window.view.marks.lit == {"wear-ring"}
    assert list_attempts(window)[0].score == 0.0
    QTest.mouseClick(window.view, LEFT, pos=window.view.find_seen()["wear-ring"])
    assert have_marked(window) == "✓ RIGHT"
    assert "Robin" in window.lesson.note.text()
    assert list_attempts(window)[0].score == 1.0


def test_a_part_is_pointed_out_by_its_number_in_the_picture(
    window: PumpWindow, qtbot: QtBot
) -> None:
    form = ask(window, qtbot, PointForm)
    numbers = window.finding.labelling.numbering.numbers
    QTest.keyClicks(form.number, "999")
    assert have_marked(window) == "NOT MARKED"
    assert "999" in read_feedback(window)
    form.number.clear()
    QTest.keyClicks(form.number, str(numbers["wear-ring"]))
    assert window.view.marks.lit == {"wear-ring"}
    QTest.keyClick(form.number, Qt.Key.Key_Return)
    wait_for_mark(window)
    assert find_control(window).feedback.heading.text() == "✓ RIGHT"
    form.show_numbers.click()
    labelling = window.finding.labelling
    pressed = [button for button in labelling.buttons.values() if button.isChecked()]
    assert len(pressed) == 1
    pressed[0].click()


# ------------------------------------------------------------------ numbers
@pytest.mark.parametrize("typed", ["0.95", "0,95", " 0.95 mm", "950 µm", "37.4 thou"])
def test_thickness_takes_point_and_comma_and_units(
    window: PumpWindow, qtbot: QtBot, typed: str
) -> None:
    form = ask(window, qtbot, NumberForm)
    form.edit.setText(typed)
    QTest.keyClick(form.edit, Qt.Key.Key_Return)
    wait_for_mark(window)
    assert find_control(window).feedback.heading.text() == "✓ RIGHT"
    assert "0.95\N{NO-BREAK SPACE}mm" in form.found.text()


def test_a_bare_number_is_in_the_unit_on_the_screen(window: PumpWindow, qtbot: QtBot) -> None:
    ask(window, qtbot, NumberForm)
    window.desk.set_unit(LengthUnit.INCH)
    form = find_control(window).find_form(NumberForm)
    assert form is not None
    assert form.unit.text().startswith("in")
    form.edit.setText("0.95")
    assert have_marked(window) == "NOT MARKED", "nearly an inch of shims is asked back"
    form.edit.setText("0.0374")
    assert have_marked(window) == "✓ RIGHT"
    window.desk.set_unit(LengthUnit.MM)


@pytest.mark.parametrize("typed", ["thick", "0.9.5", "nan"])
def test_thickness_that_is_no_number_is_said_so_and_not_marked(
    window: PumpWindow, qtbot: QtBot, typed: str
) -> None:
    form = ask(window, qtbot, NumberForm)
    before = len(list_attempts(window))
    form.edit.setText(typed)
    assert have_marked(window) == "NOT MARKED"
    assert "0.95" in read_feedback(window), "the text shows how a number looks"
    assert len(list_attempts(window)) == before


def test_a_wrong_thickness_is_told_what_is_right_and_why(window: PumpWindow, qtbot: QtBot) -> None:
    form = ask(window, qtbot, NumberForm)
    form.edit.setText("0.3")
    assert have_marked(window) == "✗ NOT YET"
    assert "0.95\N{NO-BREAK SPACE}mm" in read_feedback(window)
    assert "0.25\N{NO-BREAK SPACE}mm" in form.found.text(), (
        "how it is worked out from the gap that was felt"
    )
    QTest.keyClicks(form.edit, "1")
    assert form.found.isHidden(), "what was said was said of another answer"


# ------------------------------------------------------------------ order
def test_order_is_marked_with_reasons_and_can_be_mended(window: PumpWindow, qtbot: QtBot) -> None:
    form = ask(window, qtbot, OrderForm)
    put_in_order(form, WRONG_ORDER)
    assert have_marked(window) == "✗ NOT YET"
    verdict = form.list.find_verdict(0)
    assert verdict is not None
    assert verdict.state is LineState.REFUSED
    assert "impeller screw" in verdict.why
    assert "impeller" in window.view.marks.lit
    assert "impeller-screw" in window.view.marks.in_the_way
    assert any(tag.barred and "impeller screw" in tag.text for tag in window.view.tags.values())
    put_in_order(form, RIGHT_ORDER)
    assert have_marked(window) == "✓ RIGHT"
    verdicts = [form.list.find_verdict(row) for row in range(len(RIGHT_ORDER))]
    assert [found.state for found in verdicts if found] == [LineState.FREE] * len(RIGHT_ORDER)
    latest = list_attempts(window)[0]
    assert (latest.person, latest.kind, latest.score) == ("Robin", "put-in-order", 1.0)
    assert latest.answer == {"order": RIGHT_ORDER}
    assert latest.item == "put-in-order/teardown"
    assert "Robin" not in latest.seed, "an erasure must not leave the name behind"


def test_lines_move_with_alt_and_arrows(window: PumpWindow, qtbot: QtBot) -> None:
    form = ask(window, qtbot, OrderForm)
    names = form.list.read_names()
    form.list.setCurrentRow(0)
    QTest.keyClick(form.list, Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier)
    assert form.list.read_names() == [names[1], names[0], *names[2:]]
    assert form.list.currentRow() == 1
    QTest.keyClick(form.list, Qt.Key.Key_Up, Qt.KeyboardModifier.AltModifier)
    assert form.list.read_names() == names


# ------------------------------------------------------------------ the records
def test_without_a_name_an_answer_is_marked_and_said_not_to_be_kept(
    window: PumpWindow, qtbot: QtBot
) -> None:
    form = ask(window, qtbot, NumberForm)
    window.person.setText("  ")
    before = len(list_attempts(window))
    form.edit.setText("0.95")
    assert have_marked(window) == "✓ RIGHT"
    assert window.lesson.note.text().startswith("Not kept")
    assert len(list_attempts(window)) == before


def test_an_answer_that_cannot_be_recorded_is_not_marked_and_not_lost(
    window: PumpWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    form = ask(window, qtbot, NumberForm)
    assert window.records is not None
    tried: list[Attempt] = []

    def refuse(attempt: Attempt) -> None:
        tried.append(attempt)
        raise SurroundingsError("the disk is full")

    before = len(list_attempts(window))
    with monkeypatch.context() as patch:
        patch.setattr(window.records, "add_attempt", refuse)
        form.edit.setText("0.95")
        assert have_marked(window) == "NOT MARKED"
        assert "the disk is full" in read_feedback(window)
        assert form.edit.text() == "0.95"
        assert window.lesson.note.text() == ""
    assert have_marked(window) == "✓ RIGHT"
    attempts = list_attempts(window)
    assert len(attempts) == before + 1
    assert attempts[0].id == tried[0].id, "a retry is the same attempt"
