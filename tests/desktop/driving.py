"""What several tests of the window need to drive it."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar

from pytestqt.qtbot import QtBot

from trainer.desktop.asking.form import FormControl
from trainer.desktop.asking.item_control import ItemControl
from trainer.desktop.bench_work import BenchChoice
from trainer.desktop.window import PumpWindow

LONGEST_MS = 240_000
Form = TypeVar("Form", bound=FormControl)


class Clock:
    """Time that passes only when told."""

    def __init__(self) -> None:
        self.now_s = 100.0

    def __call__(self) -> float:
        return self.now_s


def go_to_question(window: PumpWindow, kind: type[Form], person: str = "") -> Form:
    """Go to the first page of the walk whose question is answered in a form, as a person of this name."""
    window.show_pane("lesson")
    window.person.setText(person)
    lesson = window.lesson.lesson
    assert lesson is not None
    for number, step in enumerate(lesson.steps):
        if step.ask is not None:
            window.lesson.go(number)
            found = find_control(window).find_form(kind)
            if found is not None:
                return found
    raise AssertionError(f"the lesson asks no question for {kind.__name__}")


def find_control(window: PumpWindow) -> ItemControl:
    """Find what the question of the open page is answered with."""
    assert window.lesson.control is not None
    return window.lesson.control


def put_drawn_pack(window: PumpWindow, qtbot: QtBot) -> None:
    """Put the drawing's own pack in again and wait for its order: its shims may be off, chosen ones count as exact."""
    wanted = window.changing.wanted
    assert isinstance(wanted, BenchChoice)
    if wanted.pack_mm is not None:
        window.changing.change(replace(wanted, pack_mm=None))
    qtbot.waitUntil(lambda: is_settled(window), timeout=LONGEST_MS)


def is_settled(window: PumpWindow) -> bool:
    """Does what is wanted stand on the bench, with its order?"""
    is_there = window.changing.stands == window.changing.wanted
    return is_there and window.ordered is window.standing
