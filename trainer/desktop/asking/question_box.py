"""A question on the screen: caution, what is asked, its fields, and how the answer went once it is in the records."""

from __future__ import annotations

from collections.abc import Callable
from time import monotonic
from uuid import UUID, uuid4

from PySide6.QtCore import QTimer, Signal

from models.spec.build import Build
from models.spec.errors import PumpwrightError, SurroundingsError
from trainer.desktop.asking.figure_view import FigureView
from trainer.desktop.asking.form import Asking
from trainer.desktop.asking.item_control import ItemControl
from trainer.desktop.pieces import Box, drop_widget, make_label, set_text
from trainer.lesson.item import Answer
from trainer.lesson.marking import ItemMark
from trainer.session.answering import Asked, answer_item
from trainer.session.as_left import Plain, StrangeValueError
from trainer.session.teaching import Learner
from trainer.words import Words
from trainer.words.telling import tell_pump


class QuestionBox(Box):
    """Ask one question at a time.

    made: its control is there, to be connected. shown_asked: what an answer, or the feedback to it, speaks of is to be
    seen. proof_asked: what a mark rests on. marked: an answer was marked, and is in the records where there is a name.
    """

    made = Signal(object)
    shown_asked = Signal(object)
    proof_asked = Signal(object)
    marked = Signal(object)

    def __init__(
        self,
        words: Words,
        make_learner: Callable[[], Learner | None],
        make_id: Callable[[], UUID] = uuid4,
        read_s: Callable[[], float] = monotonic,
    ) -> None:
        super().__init__("box", words.say("window.question"))
        self._words, self._make_learner = words, make_learner
        self._make_id, self._read_s = make_id, read_s
        self._build: Build | None = None
        self._since_s = 0.0
        self._unkept: tuple[Answer, UUID] | None = None
        self._known: list[Plain] = []
        self.asked: Asked | None = None
        self.control: ItemControl | None = None
        self.figure: FigureView | None = None
        self.caution = Box("cautionBox", words.say("window.caution"))
        self.column.insertWidget(1, self.caution)
        self.note = make_label("small")
        self.column.addWidget(self.note)

    # ------------------------------------------------------------------ asking
    def ask(self, asked: Asked, build: Build, *, is_on_bench: bool) -> None:
        """Ask a question of a build; what is not on the bench is not played there."""
        self.drop()
        self.asked, self._build, self._since_s = asked, build, self._read_s()
        item, asking = asked.item, Asking(self._words, build)
        told = [asking.tell(said) for said in item.stem]
        if not is_on_bench:
            pump = tell_pump(self._words, item.build)
            told.insert(0, self._words.say("answering.other-pump", pump=pump))
        self.caution.tell(asking.tell(item.caution) if item.caution else "")
        self.tell("\n\n".join(told))
        if item.figure is not None:
            self.figure = FigureView(asking, item.figure)
            self.column.insertWidget(self.column.indexOf(self.note), self.figure)
        self.control = ItemControl(asking, item, can_show=is_on_bench)
        self.control.ready.connect(self._answer)
        self.control.shown_asked.connect(self.shown_asked)
        self.control.proof_asked.connect(self.proof_asked)
        self.column.insertWidget(self.column.indexOf(self.note), self.control)
        self._known = [self.control.describe()]
        self.made.emit(self.control)
        QTimer.singleShot(0, self.control, self.control.settle)

    def drop(self) -> None:
        """Ask nothing any more."""
        if self.control is not None:
            drop_widget(self.column, self.control)
        if self.figure is not None:
            drop_widget(self.column, self.figure)
        self.control, self.asked, self._unkept, self.figure = None, None, None, None
        self.caution.tell("")
        set_text(self.note, "")
        self.tell("")

    def say(self, text: str) -> None:
        """Say why nothing is asked."""
        self.drop()
        self.tell(text)

    @property
    def is_marked(self) -> bool:
        """Has the answer as it stands been marked, or is nothing answered yet?"""
        return len(self._known) > 1

    # ------------------------------------------------------------------ what is not marked yet
    def read_draft(self) -> Plain:
        """Read what is answered, unless nothing is yet or it is marked and in the records; None then."""
        if self.control is None or self.asked is None:
            return None
        answered = self.control.describe()
        return None if answered in self._known else {"seed": self.asked.seed, "answers": answered}

    def take_draft(self, answers: Plain) -> bool:
        """Answer as it was left; False where it is another question by now."""
        if self.control is None:
            return False
        try:
            self.control.fill(answers)
        except StrangeValueError:
            return False
        return True

    def ask_anew(self) -> None:
        """Ask anew as lengths are written now; what is answered stays, what is marked is left alone."""
        if self.asked is None or self._build is None or self.control is None or self.is_marked:
            return
        answered, since_s = self.control.describe(), self._since_s
        self.ask(self.asked, self._build, is_on_bench=self.control.can_show)
        self._since_s = since_s
        self.take_draft(answered)

    # ------------------------------------------------------------------ answering
    def _answer(self, answer: Answer) -> None:
        """Mark an answer; it is recorded before it is called marked, or said not to be."""
        if self.asked is None or self.control is None:
            return
        # The same answer tried again keeps its id, so that it can never be recorded twice.
        is_retry = self._unkept is not None and self._unkept[0] == answer
        attempt = self._unkept[1] if is_retry and self._unkept else self._make_id()
        self._unkept = answer, attempt
        set_text(self.note, "")
        seconds = self._read_s() - self._since_s
        try:
            learner = self._make_learner()
            mark = answer_item(self.asked, answer, learner, attempt, seconds)
        except SurroundingsError as error:
            self.control.refuse(self._words.say("window.not-kept", reason=str(error)))
            return
        except PumpwrightError as error:
            self.control.refuse(str(error))
            return
        self._unkept, self._since_s = None, self._read_s()
        self._known = [self._known[0], self.control.describe()]
        self._tell_mark(mark, learner)

    def _tell_mark(self, mark: ItemMark, learner: Learner | None) -> None:
        assert self.control is not None
        self.control.show_mark(mark)
        key = "window.recorded" if learner else "window.not-recorded"
        set_text(self.note, self._words.say(key, person=learner.person if learner else ""))
        self.marked.emit(mark)

    def take_pick(self, piece: str) -> bool:
        """Hand a picked piece to the question, if it asks for one."""
        return self.control is not None and self.control.take_pick(piece)
