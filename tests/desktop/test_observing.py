"""An observed practical in the real window: marked by hand and by keys, signed by both, filed once, printed, certified."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from threading import Event
from uuid import UUID

import pypdfium2
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from models.spec.errors import SurroundingsError
from tests.desktop.driving import Clock
from tests.desktop.test_letters import SMALL, find_cut, find_lost, set_letters, wait_for_layout
from trainer.desktop.panes.desk_pane import WITH_WINDOW
from trainer.desktop.panes.practical_pane import PracticalPane
from trainer.desktop.picture.replay import BACK_S, HOLD_S, OUT_S
from trainer.desktop.window import PumpWindow
from trainer.lesson.practical import Level
from trainer.records import Records, SignOff
from trainer.session.step_move import StepMove

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT = Qt.MouseButton.LeftButton
LONG_MS = 60_000
WHAT = "take-impeller-off"


@pytest.fixture
def pane(window: PumpWindow, qtbot: QtBot) -> Iterator[PracticalPane]:
    window.observing.toggle()
    wait(window, qtbot)
    yield window.observing.pane
    window.observing._begin_another()
    wait(window, qtbot)
    window.noticing.clear()
    window.show_pane("lesson")


def wait(window: PumpWindow, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: not window.observing.is_busy, timeout=LONG_MS)


def begin(window: PumpWindow, qtbot: QtBot, person: str, observer: str, what: str = WHAT) -> None:
    page = window.observing.pane.begin
    page.person.put(person)
    page.observer.put(observer)
    page.what.choose(what)
    QTest.mouseClick(window.observing.pane.start, LEFT)
    wait(window, qtbot)


def mark_all(pane: PracticalPane, *levels: Level) -> None:
    """Mark every line with its key, those after the given ones as done alone."""
    keys = {level: Qt.Key(Qt.Key.Key_1 + n) for n, level in enumerate(Level)}
    watch, count = pane.watch, pane.watch.list.count()
    watch.list.setCurrentRow(0)
    for level in (*levels, *[Level.ALONE] * (count - len(levels))):
        QTest.keyClick(watch.levels[level], keys[level])
        QTest.keyClick(watch.list, Qt.Key.Key_Down)


def sign(window: PumpWindow, qtbot: QtBot, person: str, observer: str) -> None:
    page = window.observing.pane.close_page
    for edit, name in zip(page.signs, (person, observer), strict=True):
        edit.clear()
        QTest.keyClicks(edit, name)
    QTest.mouseClick(window.observing.pane.sign, LEFT)
    wait(window, qtbot)


def list_signed(window: PumpWindow, person: str) -> tuple[SignOff, ...]:
    assert window.records is not None
    return window.records.list_sign_offs(person)


def read_pdf(path: Path) -> str:
    return " ".join(pypdfium2.PdfDocument(path.read_bytes())[0].get_textpage().get_text_range().split())  # fmt: skip


def test_it_is_marked_line_by_line_signed_and_filed(
    window: PumpWindow, qtbot: QtBot, pane: PracticalPane, tmp_path: Path
) -> None:
    pane.begin.observer.put("")
    assert not pane.start.isEnabled()
    assert pane.begin.missing.isVisible(), "why it cannot begin is said"
    begin(window, qtbot, "Mira Thorne", "Mira  thorne")
    assert pane.begin.missing.isHidden()
    assert "somebody else watches" in pane.begin.note.text.text()
    begin(window, qtbot, "Mira Thorne", "Rook Marlowe")
    assert pane.is_watching
    assert "CRITICAL: to be done alone" in pane.watch.card.heading.text()
    QTest.mouseClick(pane.watch.levels[Level.NOT_DONE], LEFT)
    assert "make it safe" in pane.watch.stop.text.text()
    QTest.mouseClick(pane.watch.levels[Level.NOT_DONE], LEFT)
    assert pane.watch.stop.isHidden(), "the mark was taken back"
    QTest.mouseClick(pane.to_end, LEFT)
    assert pane.close_page.outcome.heading.text() == "NOT SEEN YET"
    assert pane.close_page.signing.isHidden()
    QTest.mouseClick(pane.to_lines, LEFT)
    QTest.mouseClick(pane.after, LEFT)
    QTest.keyClicks(pane.watch.remark, "3 blows")  # in a field a digit is a digit
    mark_all(pane, Level.ALONE, Level.PROMPTED)
    QTest.mouseClick(pane.to_end, LEFT)
    assert pane.close_page.outcome.heading.text() == "✓ PASSED"
    sign(window, qtbot, "Mira", "Rook Marlowe")
    assert "signs with this very name" in pane.close_page.note.text.text()
    assert list_signed(window, "Mira Thorne") == ()
    sign(window, qtbot, "mira thorne", "Rook Marlowe")
    (signed,) = list_signed(window, "Mira Thorne")
    assert signed.passed
    assert [(one.mark, one.remark) for one in signed.lines][:2] == [(1.0, ""), (0.5, "3 blows")]
    assert signed.begun == signed.when == window.clock()
    assert window.observing._read_left() is None
    window.observing.papers.ask = lambda proposed: str(tmp_path / proposed)
    QTest.mouseClick(pane.close_page.save, LEFT)
    wait(window, qtbot)
    (paper,) = tmp_path.glob("practical-Mira-Thorne-*.pdf")
    assert "3 blows" in read_pdf(paper)
    box = pane.close_page.certificate
    box.months.choose("24")
    QTest.mouseClick(box.issue, LEFT)
    wait(window, qtbot)
    assert box.filed is not None
    assert box.filed.certificate.sign_offs == (signed.id,)
    QTest.mouseClick(box.save, LEFT)
    wait(window, qtbot)
    (paper,) = tmp_path.glob("certificate-*.pdf")
    assert box.filed.code in read_pdf(paper)


def test_a_critical_line_not_done_fails_it_and_no_certificate_is_offered(
    window: PumpWindow, qtbot: QtBot, pane: PracticalPane
) -> None:
    begin(window, qtbot, "Tamsin Orr", "Rook Marlowe")
    mark_all(pane, Level.NOT_DONE)
    QTest.mouseClick(pane.to_end, LEFT)
    assert pane.close_page.outcome.heading.text() == "✗ NOT PASSED"
    assert "A critical line was not done alone" in pane.close_page.outcome.text.text()
    sign(window, qtbot, "Tamsin Orr", "Rook Marlowe")
    assert [one.passed for one in list_signed(window, "Tamsin Orr")] == [False]
    assert pane.close_page.certificate.isHidden()
    QTest.mouseClick(pane.another, LEFT)
    wait(window, qtbot)
    pane.begin.person.put("Tamsin Orr")
    wait(window, qtbot)
    assert pane.begin.person.edit.isHidden(), "somebody who is kept is chosen, not typed"
    assert pane.begin.held.count() == 1
    pane.begin.held.itemActivated.emit(pane.begin.held.item(0))
    wait(window, qtbot)
    assert pane.close_page.outcome.heading.text() == "✗ NOT PASSED"


def test_the_window_goes_on_while_records_are_slow_and_what_fails_is_tried_again_as_it_was(
    window: PumpWindow, qtbot: QtBot, pane: PracticalPane, monkeypatch: pytest.MonkeyPatch
) -> None:
    begin(window, qtbot, "Ode Lund", "Rook Marlowe")
    mark_all(pane)
    QTest.mouseClick(pane.to_end, LEFT)
    tried: list[UUID] = []
    answers = Event()

    def refuse(_: Records, signed: SignOff) -> None:
        tried.append(signed.id)
        assert answers.wait(LONG_MS / 1000)
        raise SurroundingsError("The server cannot be reached.")

    with monkeypatch.context() as patch:
        patch.setattr(Records, "add_sign_off", refuse)
        page = pane.close_page
        for edit, name in zip(page.signs, ("Ode Lund", "Rook Marlowe"), strict=True):
            QTest.keyClicks(edit, name)
        QTest.mouseClick(pane.sign, LEFT)
        qtbot.waitUntil(lambda: bool(tried))
        window.motion.set_apart(0.5)  # the window still does what it is told
        window.motion.set_apart(0.0)
        assert "Being filed" in page.note.text.text()
        assert not pane.sign.isEnabled()
        assert window.observing._read_left() is not None, "it is kept until it is on file"
        answers.set()
        wait(window, qtbot)
    assert "Nothing is lost" in page.note.text.text()
    QTest.mouseClick(pane.sign, LEFT)
    wait(window, qtbot)
    assert [one.id for one in list_signed(window, "Ode Lund")] == tried


def test_one_that_was_left_comes_back_and_is_given_up_only_when_asked_twice(
    window: PumpWindow, qtbot: QtBot, pane: PracticalPane
) -> None:
    begin(window, qtbot, "Ode Lund", "Rook Marlowe")
    QTest.keyClick(pane.watch.list, Qt.Key.Key_2)
    left = window.observing._read_left()
    window.observing._begin_another()
    wait(window, qtbot)
    window.observing._put_left(left)
    window.observing.open()
    wait(window, qtbot)
    assert window.observing._read_left() == left
    assert pane.watch.list.currentRow() == 1, "it goes on at the first line not seen"
    pane.watch.give_up.click()
    assert window.observing._read_left() == left
    pane.watch.give_up.click()
    wait(window, qtbot)
    assert pane.held is None
    assert window.observing._read_left() is None


def test_a_practical_that_cannot_be_read_any_more_is_told_and_not_thrown_away(
    window: PumpWindow, qtbot: QtBot, pane: PracticalPane
) -> None:
    window.observing._put_left({"build": "end-suction/9"})
    window.observing.open()
    wait(window, qtbot)
    assert "cannot be shown any more" in pane.begin.note.text.text()
    assert window.observing._read_left() == {"build": "end-suction/9"}


def test_the_parts_of_a_line_are_lit_on_the_pump_that_stands_there(
    window: PumpWindow, qtbot: QtBot, pane: PracticalPane
) -> None:
    begin(window, qtbot, "Ode Lund", "Rook Marlowe")
    pane.watch.go_to("impeller-off")
    assert window.view.marks.lit == {"impeller"}
    assert pane.watch.elsewhere.isHidden()


def test_who_is_called_otherwise_now_is_still_certified(
    window: PumpWindow, qtbot: QtBot, pane: PracticalPane
) -> None:
    begin(window, qtbot, "Pia Rudd", "Rook Marlowe")
    mark_all(pane)
    QTest.mouseClick(pane.to_end, LEFT)
    sign(window, qtbot, "Pia Rudd", "Rook Marlowe")
    assert window.records is not None
    window.records.rename_person("Pia Rudd", "Pia Rood")
    QTest.mouseClick(pane.another, LEFT)
    wait(window, qtbot)
    pane.begin.person.put("Pia Rood")
    wait(window, qtbot)
    pane.begin.held.itemActivated.emit(pane.begin.held.item(0))
    wait(window, qtbot)
    QTest.mouseClick(pane.close_page.certificate.issue, LEFT)
    wait(window, qtbot)
    filed = pane.close_page.certificate.filed
    assert filed is not None
    assert filed.certificate.person == "Pia Rood"


def test_nothing_is_cut_or_lost_with_the_largest_letters_in_the_smallest_window(
    window: PumpWindow, qtbot: QtBot, pane: PracticalPane
) -> None:
    size = window.size()
    set_letters(window, SMALL, 250)
    try:
        begin(window, qtbot, "Ode Lund", "Rook Marlowe")
        for show in (pane.show_lines, pane.show_outcome, lambda: mark_all(pane, Level.NOT_DONE), pane.show_outcome):  # fmt: skip
            show()
            wait_for_layout(window)
            assert find_cut(window) == []
            assert find_lost(window) == []
    finally:
        window.desk.set_text(WITH_WINDOW)
        window.resize(size)


def wait_for_play(window: PumpWindow, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: not window.observing.playing.is_looking, timeout=LONG_MS)


def find_played(window: PumpWindow) -> tuple[str, ...]:
    move = window.trying.replay.move
    return move.pieces if isinstance(move, StepMove) else ()


def test_a_line_that_moves_parts_is_played_and_marked_meanwhile(
    window: PumpWindow, qtbot: QtBot, pane: PracticalPane, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock, replay = Clock(), window.trying.replay
    monkeypatch.setattr(replay, "_clock", clock)
    begin(window, qtbot, "Ode Lund", "Rook Marlowe")
    pane.watch.go_to("impeller-off")
    wait_for_play(window, qtbot)
    move = replay.move
    assert isinstance(move, StepMove)
    assert move.pieces == ("impeller",)
    assert window.view.marks.hidden == move.gone
    assert window.motion.name.text() == "Impeller"
    assert window.motion.way.text() == "Off towards the suction end, as the line asks."
    clock.now_s += OUT_S
    replay.go_on()
    gone_mm = window.view.offsets["impeller"][0]
    assert gone_mm == pytest.approx(move.shifts["impeller"][0])
    assert gone_mm < 0.0, "the suction end lies on the left"
    QTest.keyClick(pane.watch.levels[Level.ALONE], Qt.Key.Key_2)
    assert pane.held is not None
    assert pane.held.observed.levels["impeller-off"] is Level.PROMPTED
    assert find_played(window) == move.pieces, "marking stops nothing, and waits for nothing"
    clock.now_s += HOLD_S + BACK_S + 0.01
    replay.go_on()
    assert find_played(window) == ()
    assert not window.view.marks.hidden
    assert not any(offset.any() for offset in window.view.offsets.values())
    QTest.keyClick(pane.watch.list, Qt.Key.Key_Return)
    wait_for_play(window, qtbot)
    assert find_played(window) == move.pieces, "it is seen again when asked for"
    pane.watch.go_to("measure-shims")
    wait_for_play(window, qtbot)
    assert find_played(window) == (), "what moves nothing plays nothing"
    assert window.view.marks.lit >= {"shim-1"}
    pane.watch.step_on(-1)
    pane.watch.go_to("lock-out")  # gone past before it was played
    wait_for_play(window, qtbot)
    assert find_played(window) == ()


def test_a_line_that_measures_shows_the_gap_while_it_is_gone_to(
    window: PumpWindow, qtbot: QtBot, pane: PracticalPane
) -> None:
    begin(window, qtbot, "Ode Lund", "Rook Marlowe", "set-impeller")
    pane.watch.go_to("measure-trial")
    qtbot.waitUntil(lambda: window.measuring.name == "back-vane", timeout=LONG_MS)
    assert pane.watch.isVisible()
    QTest.keyClick(pane.watch.levels[Level.ALONE], Qt.Key.Key_2)
    assert window.measuring.name == "back-vane", "marking takes nothing away"
    pane.watch.go_to("torque-screw")
    assert window.measuring.name == ""
    pane.watch.go_to("measure-left")
    qtbot.waitUntil(lambda: window.measuring.is_on, timeout=LONG_MS)
    window.observing._begin_another()
    assert window.measuring.name == ""


def test_the_marks_stay_in_sight_with_the_largest_letters(
    window: PumpWindow, qtbot: QtBot, pane: PracticalPane
) -> None:
    size = window.size()
    begin(window, qtbot, "Ode Lund", "Rook Marlowe")
    words = [button.text() for button in pane.watch.levels.values()]
    try:
        set_letters(window, SMALL, 250)
        wait_for_layout(window)
        for button in pane.watch.levels.values():
            assert button.visibleRegion().boundingRect().size() == button.size()
            assert not pane.scroller.isAncestorOf(button)
        assert [button.text() for button in pane.watch.levels.values()] == ["✓", "½", "✗"]
        spoken = [button.accessibleName() for button in pane.watch.levels.values()]
        assert spoken[0].startswith("alone"), "a screen reader still says the words"
    finally:
        window.desk.set_text(WITH_WINDOW)
        window.resize(size)
    pane.show_lines()
    qtbot.waitUntil(lambda: [one.text() for one in pane.watch.levels.values()] == words)
