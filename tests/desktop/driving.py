"""What several tests of the window need to drive it."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from trainer.desktop.asking.choice_form import ChoiceForm
from trainer.desktop.asking.form import FormControl
from trainer.desktop.asking.item_control import ItemControl
from trainer.desktop.asking.number_form import NumberForm
from trainer.desktop.asking.order_form import OrderForm
from trainer.desktop.asking.pair_form import PairForm
from trainer.desktop.bench_work import BenchChoice
from trainer.desktop.window import PumpWindow
from trainer.session.as_left import Plain

LONGEST_MS = 240_000
Form = TypeVar("Form", bound=FormControl)


class Clock:
    """Time that passes only when told."""

    def __init__(self) -> None:
        self.now_s = 100.0

    def __call__(self) -> float:
        return self.now_s


def answer_something(control: ItemControl) -> Plain:
    """Answer a question with whatever comes first, in each of its forms; give the answer."""
    for form in control.forms.values():
        if isinstance(form, ChoiceForm):
            form.list.toggle(0)
        elif isinstance(form, NumberForm):
            form.edit.setText("0.41 mm")
        elif isinstance(form, OrderForm):
            form.list.shift(+1)
        elif isinstance(form, PairForm):
            next(iter(form.choices.values())).setCurrentIndex(1)
        else:
            form.take_pick("impeller")
    return control.describe()


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


def wait_for_question(window: PumpWindow) -> None:
    """Wait until the question of the open page is drawn."""
    wait_until(lambda: not window.lesson.question.is_drawing)


def have_marked(window: PumpWindow) -> str:
    """Have the question of the open page marked by hand, and read what stands over how it went."""
    control = find_control(window)
    QTest.mouseClick(control.mark, Qt.MouseButton.LeftButton)
    wait_for_mark(window)
    return control.feedback.heading.text()


def wait_for_mark(window: PumpWindow) -> None:
    """Wait until what is marked is marked."""
    wait_until(lambda: not any(box.is_marking for box in window.answering.boxes.values()))


def wait_until(is_so: Callable[[], bool]) -> None:
    """Wait until something is so, without a plugin at hand."""
    for _ in range(LONGEST_MS // 5):
        if is_so():
            return
        QTest.qWait(5)
    raise AssertionError("it never came")


def find_control(window: PumpWindow) -> ItemControl:
    """Find what the question of the open page is answered with."""
    wait_for_question(window)
    assert window.lesson.control is not None
    return window.lesson.control


def put_drawn_pack(window: PumpWindow, qtbot: QtBot) -> None:
    """Put the drawing's own pack in again and wait for its order: its shims may be off, chosen ones count as exact."""
    wanted = window.changing.wanted
    assert isinstance(wanted, BenchChoice)
    if wanted.pack_mm is not None:
        window.changing.change(replace(wanted, pack_mm=None))
    qtbot.waitUntil(lambda: is_settled(window), timeout=LONGEST_MS)


def wait_for_style(window: PumpWindow) -> None:
    """Wait until all of the window looks as it shall: it is styled part by part."""
    deadline = time.monotonic() + LONGEST_MS / 1e3
    QTest.qWait(0)
    while window.styling.is_under_way:
        assert time.monotonic() < deadline
        QTest.qWait(5)


def is_settled(window: PumpWindow) -> bool:
    """Does what is wanted stand on the bench, with its order, and nothing on its way there?

    What was left again before it came may stand there all the time, while panes still show what was tried.
    """
    changing = window.changing
    is_there = changing.stands == changing.wanted and not changing.is_busy
    return is_there and window.ordered is window.standing
