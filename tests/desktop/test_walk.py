"""The pages of the first walk in the real window: what a page says is off is off, and no more than comes before it."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from trainer.desktop.window import PumpWindow

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]

STILL_ON = {
    "Take off the suction cover": "impeller-screw",
    "Part the wet end from the bracket": "impeller",
    "Measure while everything is still tight": "impeller-screw",
    "Undo the impeller screw": "impeller",
    "Draw off the impeller and keep its shims": "seal-face",
    "Take the seal out with clean hands": "back-plate",
    "Strip the back plate and the bracket": "bearing-outboard",
}


def test_each_page_shows_the_pump_as_far_apart_as_it_says(window: PumpWindow, qtbot: QtBot) -> None:
    window.show_pane("lesson")
    lesson, hand = window.lesson.lesson, window.dragging.hand
    assert lesson is not None
    assert hand is not None
    assert window.bench is not None
    seen = []
    for number, step in enumerate(lesson.steps):
        if step.title in STILL_ON:
            window.lesson.go(number)
            qtbot.waitUntil(lambda: not window.motion.is_gliding, timeout=20_000)
            seen.append(step.title)
            assert all(map(hand.is_off, window.bench.find_pieces(step.show.off))), step.title
            assert not hand.is_off(STILL_ON[step.title]), step.title
            assert window.motion.name.text() != "All together"
    assert seen == list(STILL_ON)
    window.lesson.go(0)
    qtbot.waitUntil(lambda: not window.motion.is_gliding, timeout=20_000)
    assert window.motion.name.text() == "All together"
    window.show_pane("shim")


def test_escape_leaves_what_was_opened_over_the_work(window: PumpWindow, qtbot: QtBot) -> None:
    window.activateWindow()  # or no key of the whole window is heard
    qtbot.waitUntil(window.isActiveWindow, timeout=20_000)
    for name in ("keys", "desk"):
        window.show_pane("shim")
        window.show_pane(name)
        QTest.keyClick(window, Qt.Key.Key_Escape)
        assert window.pane == "shim"
    QTest.keyClick(window, Qt.Key.Key_Escape)
    assert window.pane == "shim", "a pane with a button of its own is left by a button"
