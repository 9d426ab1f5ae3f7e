"""Practice in the window: where a learner stands is read from the records, and the next question is drawn in the background."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING
from uuid import uuid4

from PySide6.QtCore import QObject

from models.spec.errors import PumpwrightError
from trainer.desktop.later import do_later
from trainer.desktop.panes.practice_pane import PracticePane
from trainer.desktop.pieces import make_button
from trainer.lesson.practice import History, fold_outcomes
from trainer.session.answering import Asked
from trainer.session.asking import Benches
from trainer.session.bench import Bench
from trainer.session.practising import Asked as Drawn
from trainer.session.practising import Practice
from trainer.words.telling_form import tell_question, tell_right
from trainer.words.telling_item import tell_said

if TYPE_CHECKING:
    from collections.abc import Sequence

    from trainer.desktop.window import PumpWindow
    from trainer.records import Attempt
    from trainer.session.teaching import Learner

PANE = "practice"
KEY = "F4"


class Practising(QObject):
    """Join the pane of practice to the window."""

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window = window
        self._practice: Practice | None = None
        self._person = ""
        self._is_busy = False
        words = window.words
        self.pane = PracticePane(words, window.make_learner)
        window.add_pane(PANE, self.pane, self.leave)
        window.answering.add_box(PANE, self.pane.question)
        self.button = make_button(
            words.say("practising.open"), self.open, spoken=words.say("practising.open-spoken")
        )
        window.lesson.column.insertWidget(0, self.button)
        window.add_key(KEY, self.toggle)
        self.pane.left.connect(self.leave)
        self.pane.next_asked.connect(self.ask_next)
        self.pane.standing_asked.connect(self.open)
        self.pane.question.marked.connect(lambda _mark: self._take_in())
        window.order_came.connect(self._begin_anew)
        window.came.connect(self._begin_anew)

    @property
    def is_busy(self) -> bool:
        """Is something being drawn or read?"""
        return self._is_busy

    def toggle(self) -> None:
        """Show the pane, or leave it."""
        if self._window.pane == PANE:
            self.leave()
        else:
            self.open()

    def leave(self) -> None:
        """Go back to what was shown before."""
        self._window.close_pane()

    def open(self) -> None:
        """Show where the learner stands."""
        self._window.show_pane(PANE)
        self.pane.question.drop()
        self._practice = None
        self._make()

    def _begin_anew(self) -> None:
        """Begin anew on what stands on the bench now; a question that is open is left alone until the next."""
        self._practice = None
        if self._window.pane == PANE and self.pane.question.control is None:
            self._make()

    # ------------------------------------------------------------------ where the learner stands
    def _make(self) -> None:
        """Read what is known of the learner and make the practice of the pump on the bench."""
        window, words = self._window, self._window.words
        bench = window.ordered
        if not isinstance(bench, Bench):
            self.pane.say(
                words.say("practising.no-pump" if window.bench is None else "window.order-coming")
            )
            return
        try:
            learner = window.make_learner()
        except PumpwrightError as error:
            self.pane.say(str(error))
            return
        self.pane.say(words.say("practising.looking"))
        self._is_busy = True
        self._person = learner.person if learner else ""

        def take(attempts: Sequence[Attempt]) -> None:
            do_later(lambda: make_practice(bench, attempts), self._take_practice, self._refuse)

        do_later(partial(read_attempts, learner), take, self._refuse, in_records=True)

    def _take_practice(self, practice: Practice) -> None:
        self._is_busy = False
        if practice.bench is not self._window.ordered:
            self._begin_anew()
            return
        self._practice = practice
        now = self._window.clock().astimezone()
        self.pane.show_standing(
            practice.find_standing(now), practice.map_mastery(now), person=self._person
        )

    def _refuse(self, error: PumpwrightError) -> None:
        self._is_busy = False
        self.pane.say(str(error), can_go_on=True)

    def _take_in(self) -> None:
        """Take in what was answered, so that the next question follows from it."""
        learner = self._window.make_learner()
        if self._practice is None or learner is None or learner.person != self._person:
            return
        do_later(
            lambda: read_history(read_attempts(learner)),
            self._take_history,
            self._refuse,
            in_records=True,
        )

    def _take_history(self, history: History) -> None:
        if self._practice is not None:
            self._practice.history = history

    # ------------------------------------------------------------------ asking
    def ask_next(self) -> None:
        """Draw the next question."""
        practice = self._practice
        if self._is_busy:
            return
        if practice is None:
            self.open()
            return
        self._is_busy = True
        self.pane.next.setEnabled(False)
        now = self._window.clock().astimezone()
        do_later(lambda: practice.ask_next(now, ahead=True), self._ask, self._refuse)

    def _ask(self, drawn: Drawn | None) -> None:
        self._is_busy = False
        self.pane.next.setEnabled(True)
        window, words, bench = self._window, self._window.words, self._window.bench
        if drawn is None or bench is None or self._practice is None:
            self.pane.say(words.say("practice.none-due"), can_go_on=True)
            return
        item = drawn.item
        build = bench.build
        is_on_bench = (item.build, dict(item.options)) == (build.name, dict(build.options))
        if not is_on_bench:
            build = Benches().open(item.build, item.options).build
        why = words.say(f"practice.why-{drawn.next.why}")
        head = words.say("practising.head", kind=words.say(f"practice.kind-{item.kind}"), why=why)
        example = ""
        if drawn.example is not None:
            question = tell_question(words, build, drawn.example)
            lines = question.replace("\n", "  \n")  # choices stand one below the other
            example = f"{lines}\n\n{tell_right(words, build, drawn.example)}"
        hints = "\n\n".join(tell_said(words, build, hint.said) for _, hint in drawn.hints)
        self.pane.begin_question(head, example, hints)
        asked = Asked(item, drawn.seed, help=drawn.next.help)
        self.pane.question.ask(asked, build, is_on_bench=is_on_bench)
        if item.show is not None and is_on_bench:
            window.answering.stand(item.show)


def make_practice(bench: Bench, attempts: Sequence[Attempt]) -> Practice:
    """Make the practice of a pump; what can be asked of it takes a while to find out."""
    return Practice(bench, Benches(), read_history(attempts), uuid4().hex[:12])


def read_attempts(learner: Learner | None) -> Sequence[Attempt]:
    """Read a learner's answers; none without a name. In the background: a server may be slow to answer."""
    return learner.records.list_attempts(learner.person, None) if learner else ()


def read_history(attempts: Sequence[Attempt]) -> History:
    """Fold answers; the library that schedules takes a while to load."""
    from trainer.session.attempting import read_outcomes

    return fold_outcomes(read_outcomes(attempts))
