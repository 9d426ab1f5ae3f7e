"""What somebody meets who never saw the window: where to go on, what moves next, and where the keys have gone."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tests.desktop.test_asking import wait_for_practice
from trainer.desktop.window import PumpWindow
from trainer.lesson import list_lessons
from trainer.stage.camera import ViewName

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
LEFT = Qt.MouseButton.LeftButton
LONG_MS = 20_000


@pytest.fixture
def walk(window: PumpWindow) -> Iterator[PumpWindow]:
    """The window at the first page of the walk it began with."""
    kept = window.lesson.lesson
    assert kept is not None
    window.show_pane("lesson")
    window.lesson.go(0)
    yield window
    window.person.clear()
    window.practising.pane.question.drop()
    window.lesson.start(kept, window.bench)
    window.lessons._list()
    window.show_pane("lesson")


def test_walks_stand_in_one_order_in_the_window_and_at_the_terminal(walk: PumpWindow) -> None:
    assert walk.lesson.lessons.names == [str(path) for path in list_lessons().values()]


def test_the_last_page_leads_on_to_the_next_walk_and_the_last_walk_to_practice(
    walk: PumpWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    pane, lessons = walk.lesson, walk.lessons._sort()
    assert pane.lesson is lessons[0]
    assert pane.next.text() == "Go on"
    pane.go(len(lessons[0].steps) - 1)
    assert pane.next.text() == f"Next walk: {lessons[1].title}"
    asked: list[str] = []
    monkeypatch.setattr(pane, "ask_bench", lambda: asked.append(lessons[1].build))
    QTest.mouseClick(pane.next, LEFT)
    assert pane.lesson is lessons[1]
    assert asked == [lessons[1].build], "its pump comes on the bench"
    assert pane.lessons.name == lessons[1].file
    monkeypatch.undo()
    pane.start(lessons[0], walk.bench)

    walk.lessons._lessons = {lessons[0].file: lessons[0]}
    walk.lessons._list()
    pane.go(len(lessons[0].steps) - 1)
    assert pane.next.text() == "Practise by yourself"
    QTest.mouseClick(pane.next, LEFT)
    wait_for_practice(walk)
    assert walk.pane == "practice"
    walk.lessons._lessons = {one.file: one for one in lessons}


def test_a_page_can_be_seen_again_after_one_has_looked_elsewhere(
    walk: PumpWindow, qtbot: QtBot
) -> None:
    pane = walk.lesson
    assert pane.lesson is not None
    page = next(n for n, step in enumerate(pane.lesson.steps) if step.show.cutaway)
    pane.go(page)
    lit = walk.view.marks.lit
    assert lit
    walk._picked("breather")
    walk.section.setChecked(False)
    walk.look_from(ViewName.TOP)
    walk.show_pane("lesson")
    assert walk.view.marks.lit != lit
    assert "F3" in pane.again.accessibleName()
    QTest.mouseClick(pane.again, LEFT)
    assert walk.view.marks.lit == lit
    assert walk.section.isChecked()
    walk._picked("breather")
    walk.activateWindow()  # or no key of the whole window is heard
    qtbot.waitUntil(walk.isActiveWindow, timeout=LONG_MS)
    QTest.keyClick(walk, Qt.Key.Key_F3)
    assert walk.pane == "lesson"
    assert walk.view.marks.lit == lit


def test_keys_stay_in_the_pane_where_their_button_goes_dead_or_out_of_sight(
    walk: PumpWindow, qtbot: QtBot
) -> None:
    walk.person.setText("Ned Newcome")
    walk.activateWindow()
    qtbot.waitUntil(walk.isActiveWindow, timeout=LONG_MS)
    for button in (walk.lesson.next, walk.lesson.back):
        walk.lesson.go(1)
        for lose in (button.hide, lambda button=button: button.setEnabled(False)):
            button.setFocus()
            assert QApplication.focusWidget() is button
            lose()
            now = QApplication.focusWidget()
            assert now is not None
            assert walk.lesson.isAncestorOf(now), now.accessibleName()
            button.show()
            button.setEnabled(True)
    walk.lesson.scroller.hide()  # as where one page goes before the next has come
    walk.lesson.next.setFocus()
    walk.lesson.foot.hide()
    assert QApplication.focusWidget() is walk.lesson
    walk.lesson.foot.show()
    walk.lesson.scroller.show()
    QTest.keyClicks(walk.lesson, "1")
    assert walk.person.text() == "Ned Newcome"
    QTest.keyClick(walk.lesson, Qt.Key.Key_Tab)
    now = QApplication.focusWidget()
    assert now is not None
    assert walk.lesson.isAncestorOf(now), now.accessibleName()
    walk.motion.play.setFocus()
    walk.motion.play.setEnabled(False)
    now = QApplication.focusWidget()
    assert now is None or not walk.lesson.isAncestorOf(now), "that button stood elsewhere"
    walk.motion.play.setEnabled(True)


def test_practice_knows_a_name_as_soon_as_it_is_written(walk: PumpWindow, qtbot: QtBot) -> None:
    walk.practising.open()
    wait_for_practice(walk)
    pane = walk.practising.pane
    assert pane.told.text().startswith("Write your name at the top")
    walk.person.setText("Ned Newcome")
    QTest.keyClick(walk.person, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "Ned Newcome" in pane.told.text(), timeout=LONG_MS)
    wait_for_practice(walk)


def test_what_is_told_of_a_try_goes_with_the_part_that_was_tried(walk: PumpWindow) -> None:
    walk._picked("impeller")
    QTest.mouseClick(walk.part.try_now, LEFT)
    assert walk.motion.name.text() == "Impeller: not yet"
    assert walk.proving.why.isVisible()
    walk.finding.take("volute")
    assert walk.part.title.text() == "Volute"
    assert "not yet" not in walk.motion.name.text()
    assert not walk.proving.why.isVisible()


def test_hands_in_the_picture_are_told_before_the_keys(walk: PumpWindow) -> None:
    walk.keys.show()
    labels = [one.text() for one in walk.keys.pane._lists.findChildren(type(walk.part.title))]
    hands, keys = (walk.words.say(f"desk.keys-{name}") for name in ("picture", "anywhere"))
    assert labels.index(hands) < labels.index(keys)
    walk.close_pane()
