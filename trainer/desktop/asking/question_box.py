"""A question on the screen: caution, what is asked, its fields, and how the answer went once it is in the records."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, wait
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from time import monotonic
from uuid import UUID, uuid4

import shiboken6
from PySide6.QtCore import QTimer, Signal

from models.spec.build import Build
from models.spec.errors import PumpwrightError, SurroundingsError
from trainer.desktop.asking.drawing import Drawing, Drawn
from trainer.desktop.asking.figure_view import FigureView
from trainer.desktop.asking.form import Asking
from trainer.desktop.asking.item_control import ItemControl
from trainer.desktop.later import ASKING, do_later
from trainer.desktop.pieces import Box, drop_widget, make_button, make_label, set_text
from trainer.desktop.texts import tell_build
from trainer.lesson.item import Answer
from trainer.lesson.marking import ItemMark
from trainer.session.answering import Asked, HandIn, mark_answer, record
from trainer.session.as_left import Plain, StrangeValueError, take_number, take_table, take_text
from trainer.session.choosing import find_usual, is_same
from trainer.session.teaching import Learner
from trainer.words import Words

LONG_MS = 200
"""A question that comes sooner is not announced."""


@dataclass(frozen=True, slots=True)
class Handed:
    """What was handed in: the answer as its control describes it, and what it keeps however often it is tried."""

    described: Plain
    hand_in: HandIn

    def write(self) -> Plain:
        """Write what makes another try the same attempt."""
        when = self.hand_in.when
        told = {"id": str(self.hand_in.attempt), "seconds": self.hand_in.seconds}
        return {**told, "when": when.isoformat() if when else ""}

    @classmethod
    def read(cls, value: Plain, described: Plain) -> Handed:
        """Read it. Raises StrangeValueError for what was never written so."""
        table = take_table(value)
        when = take_text(table.get("when"))
        try:
            id_ = UUID(take_text(table.get("id")))
            told = datetime.fromisoformat(when) if when else None
        except ValueError as error:
            raise StrangeValueError("no attempt") from error
        return cls(described, HandIn(id_, take_number(table.get("seconds")), told))


class QuestionBox(Box):
    """Ask one question at a time.

    made: its control is there, to be connected. shown_asked: what an answer, or the feedback to it, speaks of is to be
    seen. proof_asked: what a mark rests on. bench_asked: a pump is to be put on the bench, by name and options. marked: an answer was marked, and is in the records where there is a name: the mark, and what was asked.
    """

    made = Signal(object)
    shown_asked = Signal(object)
    proof_asked = Signal(object)
    bench_asked = Signal(str, object)
    marked = Signal(object, object)

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
        self._handed: Handed | None = None
        """What was handed in last, as long as it is not marked."""
        self._marking: Future[None] | None = None
        self._drawing: Drawing | None = None
        self._long = QTimer(self, singleShot=True, interval=LONG_MS)
        self._long.timeout.connect(self._tell_late)
        self._waiting: ItemControl | None = None
        """What waits for its mark."""
        self._known: list[Plain] = []
        self.asked: Asked | None = None
        self.control: ItemControl | None = None
        self.figure: FigureView | None = None
        self.caution = Box("cautionBox", words.say("window.caution"))
        self.column.insertWidget(1, self.caution)
        self.away = make_label(markdown=True)
        self.put_on = make_button(
            words.say("lesson.put-on"), self._ask_bench, spoken=words.say("answering.put-on-spoken")
        )
        self.put_on.hide()
        self.column.addWidget(self.away)
        self.column.addWidget(self.put_on)
        self.note = make_label("small")
        self.column.addWidget(self.note)

    # ------------------------------------------------------------------ asking
    def await_one(self, drawing: Drawing, take: Callable[[Drawn], object]) -> None:
        """Wait for a question that is drawn in the background, then hand it to `take`; say so if it takes long."""
        self.drop()
        self._drawing = drawing
        self._long.start()

        def refuse(error: PumpwrightError) -> None:
            if not drawing.is_dropped:
                self.say(self._words.say("answering.cannot-ask", reason=str(error)))

        def come(drawn: Drawn) -> None:
            if not drawing.is_dropped:
                take(drawn)

        do_later(drawing.draw, come, refuse, worker=ASKING)

    def _tell_late(self) -> None:
        if self._drawing is not None:
            self._drawing.is_late = True
            self.tell(self._words.say("answering.coming"))

    @property
    def is_drawing(self) -> bool:
        """Is a question on its way?"""
        return self._drawing is not None

    def ask(self, asked: Asked, build: Build, on_bench: Build | None) -> None:
        """Ask a question of a build; what is asked of another than that on the bench is not played there."""
        self.drop()
        self.asked, self._build, self._since_s = asked, build, self._read_s()
        item, asking = asked.item, Asking(self._words, build)
        told = [asking.tell(said) for said in item.stem]
        self.caution.tell(asking.tell(item.caution) if item.caution else "")
        self.tell("\n\n".join(told))
        if item.figure is not None:
            self.figure = FigureView(asking, item.figure)
            self.column.insertWidget(self.column.indexOf(self.note), self.figure)
        self.control = ItemControl(asking, item)
        self.control.ready.connect(self._answer)
        self.control.shown_asked.connect(self.shown_asked)
        self.control.proof_asked.connect(self.proof_asked)
        self.column.insertWidget(self.column.indexOf(self.note), self.control)
        self._known = [self.control.describe()]
        self.take_bench(on_bench)
        self.made.emit(self.control)
        QTimer.singleShot(0, self.control, self.control.settle)

    @property
    def is_here(self) -> bool:
        """Is what is asked about on the bench, so that it can be shown there?"""
        return self.control is not None and self.control.can_show

    def is_about(self, build: Build | None) -> bool:
        """Is something asked of this pump: the same size with the same options?"""
        return build is not None and self._build is not None and self.control is not None and is_same(build, self._build)  # fmt: skip

    def take_bench(self, build: Build | None) -> None:
        """Say which pump is meant unless it stands on the bench, and offer to put it there."""
        if self.control is None or self._build is None:
            return
        is_here = self.is_about(build)
        self.control.set_showing(can_show=is_here)
        told = ""
        if not is_here:
            pump, all_ = tell_build(self._words, self._build, find_usual(self._build.family))
            is_short = not all_ or all_ in pump
            key = "answering.other-pump" if is_short else "answering.other-pump-with"
            told = self._words.say(key, pump=pump, options=all_)
        set_text(self.away, told)
        self.put_on.setVisible(not is_here)

    def _ask_bench(self) -> None:
        if self._build is not None:
            self.bench_asked.emit(self._build.name, dict(self._build.options))

    def drop(self) -> None:
        """Ask nothing any more."""
        self._long.stop()
        if self._drawing is not None:
            self._drawing.drop()
            self._drawing = None
        if self.control is not None:
            drop_widget(self.column, self.control)
        if self.figure is not None:
            drop_widget(self.column, self.figure)
        self.control, self.asked, self._handed, self.figure = None, None, None, None
        self._waiting = None
        self.caution.tell("")
        for label in (self.note, self.away):
            set_text(label, "")
        self.put_on.hide()
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
        if answered in self._known:
            return None
        draft: dict[str, Plain] = {"seed": self.asked.seed, "answers": answered}
        if self._handed is not None and self._handed.described == answered:
            draft["handed-in"] = self._handed.write()
        return draft

    def take_draft(self, draft: Plain) -> bool:
        """Answer as it was left; False where it is another question by now."""
        if self.control is None:
            return False
        try:
            table = take_table(draft)
            self.control.fill(table.get("answers"))
            if "handed-in" in table:
                self._handed = Handed.read(table["handed-in"], self.control.describe())
        except StrangeValueError:
            return False
        return True

    def ask_anew(self) -> None:
        """Ask anew as lengths are written now; what is answered stays, what is marked is left alone."""
        if self.asked is None or self._build is None or self.control is None or self.is_marked:
            return
        if self.is_marking:
            return  # the mark is on its way, and is written as it was asked
        draft, since_s = self.read_draft(), self._since_s
        self.ask(self.asked, self._build, self._build if self.is_here else None)
        self._since_s = since_s
        if draft is not None:
            self.take_draft(draft)

    # ------------------------------------------------------------------ answering
    @property
    def is_marking(self) -> bool:
        """Is an answer being marked?"""
        return self.control is not None and self.control is self._waiting

    def end(self) -> None:
        """Wait for no question any more, and let what is being marked be recorded."""
        if self._drawing is not None:
            self._drawing.drop()
        if self._marking is not None:
            wait([self._marking])

    def _answer(self, answer: Answer) -> None:
        """Have an answer marked; it is recorded before it is called marked, or said not to be."""
        if self.asked is None or self.control is None or self.is_marking:
            return
        set_text(self.note, "")
        try:
            learner = self._make_learner()
        except PumpwrightError as error:
            self._refuse(self.control, error)
            return
        described = self.control.describe()
        if self._handed is None or self._handed.described != described:
            # The same answer tried again keeps its id, so that it can never be recorded twice.
            seconds, when = self._read_s() - self._since_s, learner.clock() if learner else None
            self._handed = Handed(described, HandIn(self._make_id(), seconds, when))
        control, asked, handed = self.control, self.asked, self._handed
        self._waiting = control
        control.show_marking(is_on=True)
        person = learner.person if learner else ""
        self._marking = do_later(
            partial(mark_answer, asked, answer, learner, handed.hand_in),
            lambda marked: self._take_mark(control, asked, described, person, marked.mark),
            lambda error: self._refuse(control, error),
            worker=ASKING,
            then=lambda marked: record(marked, learner),
        )

    def _refuse(self, control: ItemControl, error: PumpwrightError) -> None:
        """Say why nothing was marked; what is answered stays."""
        if not shiboken6.isValid(self) or control is not self.control:
            return
        self._waiting = None
        control.show_marking(is_on=False)
        if isinstance(error, SurroundingsError):
            control.refuse(self._words.say("window.not-kept", reason=str(error)))
        else:
            self._handed = None  # under this id it will never be taken
            control.refuse(str(error))

    def _take_mark(
        self, control: ItemControl, asked: Asked, described: Plain, person: str, mark: ItemMark
    ) -> None:
        if not shiboken6.isValid(self):
            return  # the window is gone; in the records it is
        if control is self.control:
            self._handed, self._since_s = None, self._read_s()
            if control.describe() != described:
                control.fill(described)  # what is marked is what was handed in
            self._known = [self._known[0], control.describe()]
            control.show_mark(mark)
            # What is to be seen of it takes a while to find: what is said of it stands there before.
            QTimer.singleShot(0, control, partial(self._play_mark, control))
            key = "window.recorded" if person else "window.not-recorded"
            set_text(self.note, self._words.say(key, person=person))
        self.marked.emit(mark, asked)

    def _play_mark(self, control: ItemControl) -> None:
        if control is self.control:
            self._waiting = None
            control.show_marking(is_on=False)
            control.play_mark()

    def take_pick(self, piece: str) -> bool:
        """Hand a picked piece to the question, if it asks for one."""
        return self.control is not None and self.control.take_pick(piece)
