"""What several tests of the window need to drive it."""

from __future__ import annotations

from typing import TypeVar

from trainer.desktop.panes.questions import AnswerControl
from trainer.desktop.window import PumpWindow

Control = TypeVar("Control", bound=AnswerControl)


class Clock:
    """Time that passes only when told."""

    def __init__(self) -> None:
        self.now_s = 100.0

    def __call__(self) -> float:
        return self.now_s


def go_to_question(window: PumpWindow, kind: type[Control], person: str = "") -> Control:
    """Go to the first page of the walk that asks a question of a kind, as a person of this name."""
    window.show_pane("lesson")
    window.person.setText(person)
    lesson = window.lesson.lesson
    assert lesson is not None
    for number, step in enumerate(lesson.steps):
        if step.ask is not None:
            window.lesson.go(number)
            if isinstance(window.lesson.control, kind):
                return window.lesson.control
    raise AssertionError(f"the lesson asks no question for {kind.__name__}")
