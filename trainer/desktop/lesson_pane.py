"""The guided walk: one step of a lesson at a time, with its question where it has one."""

from __future__ import annotations

import random
from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLineEdit

from models.spec.errors import PumpwrightError
from trainer.desktop.pieces import Pane, make_button, make_label, make_rule, set_text
from trainer.desktop.questions import AnswerControl, make_control
from trainer.lesson import Lesson
from trainer.session.bench import Bench
from trainer.session.teaching import Answer, Learner, answer_question
from trainer.words import Words


class LessonPane(Pane):
    """Walk through a lesson."""

    show_asked = Signal(object)
    pointed = Signal(object, object)

    def __init__(self, words: Words, make_learner: Callable[[str], Learner | None]) -> None:
        super().__init__(words.say("window.lesson-pane"))
        self._words = words
        self._make_learner = make_learner
        self._bench: Bench | None = None
        self._lesson: Lesson | None = None
        self.number = 0
        self.control: AnswerControl | None = None
        self.place = make_label("small")
        self.title = make_label("paneTitle", words.say("window.lesson-waiting"))
        self.text = make_label(markdown=True)
        self.caution = make_label("caution", markdown=True)
        self.prompt = make_label(markdown=True)
        self.person = QLineEdit()
        self.person.setAccessibleName(words.say("window.person"))
        self.person.setPlaceholderText(words.say("window.person"))
        self.note = make_label("small")
        self.back = make_button(words.say("window.lesson-back"), lambda: self.go(self.number - 1))
        self.next = make_button(
            words.say("window.lesson-next"), lambda: self.go(self.number + 1), main=True
        )
        row = QHBoxLayout()
        row.addWidget(self.back)
        row.addWidget(self.next, 1)
        for widget in (
            self.place,
            self.title,
            self.text,
            self.caution,
            make_rule(),
            self.prompt,
            self.person,
        ):
            self.column.addWidget(widget)
        self.column.addWidget(self.note)
        self.column.addLayout(row)
        self.column.addStretch(1)
        for label in (self.place, self.text, self.caution, self.prompt, self.note):
            set_text(label, "")
        self.person.hide()
        self.back.setEnabled(False)
        self.next.setEnabled(False)

    def start(self, lesson: Lesson, bench: Bench) -> None:
        """Start a lesson on a bench at its first step."""
        self._lesson, self._bench = lesson, bench
        self.go(0)

    def set_bench(self, bench: Bench) -> None:
        """Go on with another bench (the pack was changed)."""
        self._bench = bench

    def go(self, number: int) -> None:
        """Go to a step."""
        if self._lesson is None or self._bench is None or not 0 <= number < len(self._lesson.steps):
            return
        self.number = number
        words, step, last = self._words, self._lesson.steps[number], len(self._lesson.steps)
        set_text(self.place, words.say("window.lesson-place", number=number + 1, last=last))
        set_text(self.title, step.title)
        set_text(self.text, step.say)
        set_text(self.caution, step.caution)
        set_text(self.note, "")
        self._ask(step.ask)
        self.back.setEnabled(number > 0)
        self.next.setEnabled(number + 1 < last)
        self.verticalScrollBar().setValue(0)
        self.show_asked.emit(step.show)

    def _ask(self, question: object) -> None:
        if self.control is not None:
            self.column.removeWidget(self.control)
            self.control.hide()
            self.control.deleteLater()
            self.control = None
        asked = self._lesson.steps[self.number].ask if self._lesson and question else None
        set_text(self.prompt, asked.prompt if asked else "")
        self.person.setVisible(asked is not None)
        if asked is None or self._bench is None:
            return
        # seeded by the question, so that the same question is shuffled the same way again
        self.control = make_control(self._words, self._bench, asked, random.Random(asked.id))
        self.control.ready.connect(self._answered)
        self.control.pointed.connect(self.pointed)
        self.column.insertWidget(self.column.indexOf(self.person), self.control)

    def _answered(self, answer: Answer) -> None:
        """Mark an answer; it is recorded before it is called marked, or said not to be."""
        if self._lesson is None or self._bench is None or self.control is None:
            return
        question = self._lesson.steps[self.number].ask
        if question is None:
            return
        try:
            learner = self._make_learner(self.person.text())
            outcome = answer_question(self._bench, question, answer, learner)
        except PumpwrightError as error:
            self.control.tell(str(error), right=False)
            return
        self.control.show_outcome(outcome)
        key = "window.recorded" if learner else "window.not-recorded"
        set_text(self.note, self._words.say(key, person=learner.person if learner else ""))

    def take_pick(self, piece: str) -> bool:
        """Hand a clicked piece to the question, if it asks for one."""
        return self.control is not None and self.control.take_pick(piece)
