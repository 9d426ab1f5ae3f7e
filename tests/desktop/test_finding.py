"""The parts list and the way to a part, in the real window: search, choose, see it lit, see it reached."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from trainer.desktop.doing.reaching import Reaching
from trainer.desktop.doing.withholding import Way
from trainer.desktop.pace import Pace
from trainer.desktop.window import PumpWindow
from trainer.session.reaching import answer_reach, ask_reach
from trainer.stage.camera import ViewName

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT = Qt.MouseButton.LeftButton
LONGEST_MS = 120_000


def count_seen(window: PumpWindow, pieces: set[str]) -> int:
    """Count the pixels of the picture in which pieces are seen."""
    stage = window.view.surface.full
    assert stage is not None
    window.view.set_state(stage)
    numbers = stage.frame_of_numbers(*window.view.size_px)
    return int(np.isin(numbers, [stage.find_numbers()[name] for name in pieces]).sum())


def find_hand_off(window: PumpWindow) -> frozenset[str]:
    assert window.dragging.hand is not None
    return window.dragging.hand.off


@pytest.fixture(autouse=True)
def _together(window: PumpWindow) -> Iterator[None]:
    def reset() -> None:
        window.motion.pause()
        window.motion.set_apart(0.0)
        window.withholding.show_all()
        window.section.setChecked(False)
        window.change_section()
        window.look_from(ViewName.ISO)
        window.speak_of((), ghosted=frozenset())
        window.parts.search.clear()
        window.parts.show_list()
        window.show_pane("part")

    reset()
    yield
    window.finding.reaching.go_back()
    window.dragging.put_all_back()
    reset()
    window.show_pane("shim")


def test_what_is_typed_is_found_and_enter_shows_its_card(window: PumpWindow, qtbot: QtBot) -> None:
    window.show_pane("shim")
    window.activateWindow()  # or no key of the whole window is heard
    qtbot.waitUntil(window.isActiveWindow, timeout=20_000)
    QTest.keyClick(window, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    assert window.pane == "part"
    assert window.parts.search.hasFocus()
    QTest.keyClicks(window.parts.search, "retain seal")
    assert [row.part for row in window.parts.tree.parts.rows] == ["seal-retainer"]
    QTest.keyClick(window.parts.search, Qt.Key.Key_Return)
    assert window.part.title.text() == "Seal retainer"
    assert window.view.marks.lit == {"seal-retainer"}
    assert [tag.text for tag in window.view.tags.values()] == ["seal retainer"]
    QTest.keyClick(window.parts.search, Qt.Key.Key_Escape)
    assert window.parts.search.text() == ""
    assert len(window.parts.tree.parts.rows) == len(window.naming.sets)


def test_near_matches_are_offered_where_nothing_fits(window: PumpWindow) -> None:
    window.parts.search.setText("empeller")
    assert "impeller" in [row.name for row in window.parts.tree.parts.rows]
    assert window.parts.tree.part == "impeller"
    assert "empeller" in window.parts.note.text()
    window.parts.search.setText("xylophone")
    assert window.parts.tree.parts.rows == []
    assert "ring" in window.parts.note.text(), "and what to type instead is said"


def test_arrows_go_from_part_to_part_and_light_them(window: PumpWindow, qtbot: QtBot) -> None:
    window.finding.take("shaft")
    tree = window.parts.tree
    QTest.keyClick(window.parts.search, Qt.Key.Key_Down)
    tree.go_to("cover-nut")
    QTest.keyClick(tree, Qt.Key.Key_Down)
    assert tree.part == "suction-cover"
    qtbot.waitUntil(lambda: window.view.marks.lit == {"suction-cover"}, timeout=5_000)
    QTest.keyClick(tree, Qt.Key.Key_Up)
    qtbot.waitUntil(lambda: len(window.view.marks.lit) == 8, timeout=5_000)
    assert window.part.piece == "shaft", "only gone to, not taken"
    QTest.keyClick(tree, Qt.Key.Key_Return)
    assert window.part.piece == "cover-nut-1"


def test_a_covered_part_is_shown_through_what_covers_it(window: PumpWindow) -> None:
    assert count_seen(window, {"impeller"}) < 20
    window.finding.take("impeller")
    assert count_seen(window, {"impeller"}) > 200
    assert "volute" in window.view.marks.ghosted
    window.finding.take("volute")
    assert window.view.marks.ghosted == frozenset(), "nothing stands before it"


def test_a_part_out_of_the_picture_is_brought_into_it(window: PumpWindow) -> None:
    window.view.camera = window.view.camera.panned(5000.0, 0.0)
    window.finding.take("bearing-housing")
    assert window.view.rect().contains(window.view.find_middle("bearing-housing").toPoint())


def test_what_is_picked_in_the_picture_is_found_in_the_list(window: PumpWindow) -> None:
    window.parts.search.setText("seal")
    QTest.mouseClick(window.view, LEFT, pos=window.view.find_seen()["bracket"])
    tree = window.parts.tree
    assert tree.part == "bracket"
    assert window.parts.search.text() == "", "it did not fit what was typed"
    assert window.part.isVisible()
    window.parts.show_list()
    QTest.qWait(1)
    assert tree.viewport().rect().contains(tree.visualRect(tree.currentIndex()))


def test_the_list_says_what_is_withheld_and_readers_hear_it(window: PumpWindow) -> None:
    window.withholding.change(Way.AWAY, {"volute"})
    window.withholding.change(Way.GLASS, {"cover-nut-1"})
    rows = {row.part: row for row in window.parts.tree.parts.rows}
    assert rows["volute"].withheld == "out of sight"
    assert rows["cover-nut"].withheld == "some as glass"
    model = window.parts.tree.parts
    told = model.data(model.find("cover-nut"), Qt.ItemDataRole.AccessibleTextRole)
    assert told == f"{rows['cover-nut'].number}, cover nut, 8 pieces, some as glass"
    head = model.find("volute").parent()
    assert str(model.data(head, Qt.ItemDataRole.AccessibleTextRole)).startswith("Wet end, ")
    window.withholding.show_all()
    assert all(row.withheld == "" for row in model.rows)


def test_what_the_pointer_is_on_is_lit_in_the_list(window: PumpWindow) -> None:
    window.view.hovered.emit("bracket")
    assert window.parts.tree.parts.lighted == "bracket"
    window.view.hovered.emit("")
    assert window.parts.tree.parts.lighted == ""


def test_list_and_card_take_turns_where_there_is_no_room_for_both(window: PumpWindow) -> None:
    window.finding.take("volute")
    parts = window.parts
    if parts.is_high:
        assert parts.listing.isVisible()
        assert parts.card.isVisible()
        return
    assert (parts.listing.isVisible(), parts.card.isVisible()) == (False, True)
    QTest.mouseClick(parts.turn, LEFT)
    assert (parts.listing.isVisible(), parts.card.isVisible()) == (True, False)
    assert parts.tree.part == "volute"


def ask(window: PumpWindow, qtbot: QtBot, part: str) -> Reaching:
    window.finding.take(part)
    window.finding.reaching.ask_button.click()
    reaching = window.finding.reaching
    qtbot.waitUntil(lambda: bool(reaching.steps), timeout=LONGEST_MS)
    return reaching


def test_what_must_come_off_is_told_played_and_put_back(window: PumpWindow, qtbot: QtBot) -> None:
    reaching = ask(window, qtbot, "suction-cover")
    assert window.pane == "reach"
    assert window.ordered is not None
    way = answer_reach(ask_reach(window.ordered, ("suction-cover",), ()))["suction"]
    assert way is not None
    assert tuple(name for step in reaching.steps for name in step.pieces) == way.pieces
    pane = reaching.pane
    lines = [pane.steps.item(row).text() for row in range(pane.steps.count())]
    assert lines == ["8 cover nuts", "Suction cover"]
    assert pane.told.text() == "1 step, then it is free."
    first = str(pane.steps.item(0).data(Qt.ItemDataRole.AccessibleTextRole))
    assert "Lock the driver out" in first
    assert "maker's manual" in pane.caution.text()

    window.motion.pace._choice.choose(Pace.FAST)
    told: list[str] = []
    window.finding.reaching._lead.timeout.connect(lambda: told.append(window.motion.name.text()))
    QTest.mouseClick(pane.play, LEFT)
    assert window.motion.name.text() == "8 cover nuts"
    assert window.motion.number.text() == "1 of 1"
    assert window.view.marks.lit == set(reaching.steps[0].pieces)
    assert "Lock the driver out" in window.motion.before.text()
    reaching._lead.setInterval(1)  # the time to read it is not waited for here
    qtbot.waitUntil(lambda: "free" in window.motion.name.text(), timeout=LONGEST_MS)
    window.motion.pace._choice.choose(Pace.USUAL)
    assert find_hand_off(window) == set(way.pieces) - {"suction-cover"}
    assert window.view.marks.lit == {"suction-cover"}
    assert not reaching.is_playing
    assert told[:1] == ["8 cover nuts"]
    pulls = window.dragging.find_pulls("suction-cover")
    assert pulls[0].comes_off, "it is free indeed"
    QTest.mouseClick(pane.back, LEFT)
    qtbot.waitUntil(lambda: not reaching.gliding.is_under_way, timeout=LONGEST_MS)
    assert find_hand_off(window) == frozenset()
    assert window.pane == "part"
    assert all(np.abs(there).max() < 1e-9 for there in window.view.offsets.values())


def test_it_begins_where_the_pump_stands_and_goes_back_there(
    window: PumpWindow, qtbot: QtBot
) -> None:
    assert window.ordered is not None
    steps = window.ordered.order.steps
    window.motion.set_apart(1 / len(steps))
    reaching = ask(window, qtbot, "suction-cover")
    assert [step.pieces for step in reaching.steps] == [("suction-cover",)]
    assert reaching.pane.starts[True].isVisible()
    QTest.mouseClick(reaching.pane.starts[True], LEFT)
    qtbot.waitUntil(lambda: len(reaching.steps) == 2, timeout=LONGEST_MS)
    reaching.go_to(1)
    qtbot.waitUntil(lambda: not reaching.gliding.is_under_way, timeout=LONGEST_MS)
    assert window.motion.apart == 0.0
    assert len(find_hand_off(window)) == 8
    QTest.mouseClick(reaching.pane.back, LEFT)
    qtbot.waitUntil(lambda: not reaching.gliding.is_under_way, timeout=LONGEST_MS)
    assert window.motion.apart == pytest.approx(1 / len(steps), abs=1e-3)
    assert find_hand_off(window) == frozenset()


def test_the_way_of_a_part_that_stays_is_told_to_be_none(window: PumpWindow, qtbot: QtBot) -> None:
    window.finding.take("volute")
    window.finding.reaching.ask()
    pane = window.finding.reaching.pane
    qtbot.waitUntil(lambda: bool(pane.note.text.text()), timeout=LONGEST_MS)
    assert not pane.play.isEnabled()
    assert "straight moves" in pane.note.text.text()
