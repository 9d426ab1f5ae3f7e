"""Practice in the window: where a learner stands is read from the records, and the next question is drawn, in the background."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING
from uuid import uuid4

from PySide6.QtCore import QObject, QTimer

from models.spec.errors import PumpwrightError
from trainer.desktop.asking.posing import Looked, Posed, find_history, look_up, name_pump, pose
from trainer.desktop.asking.question_box import LONG_MS
from trainer.desktop.asking.unbroken import bind_units
from trainer.desktop.doing.keeping import When
from trainer.desktop.later import ASKING, do_later
from trainer.desktop.panes.practice_pane import PracticePane
from trainer.desktop.pieces import make_button
from trainer.lesson.practice import History
from trainer.session.answering import Asked
from trainer.session.as_left import Plain, take_table
from trainer.session.bench import Bench
from trainer.session.practising import Practice
from trainer.words.telling_form import tell_question, tell_worked
from trainer.words.telling_item import tell_said

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow
    from trainer.session.teaching import Learner

PANE = "practice"
KEY = "F4"


class Practising(QObject):
    """Join the pane of practice to the window."""

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window = window
        self._practice: Practice | None = None
        self._posed: Posed | None = None
        self._person = ""
        self._is_busy = self._resumes = False
        self._left: dict[str, Plain] = {}
        """By pump the question that was left half answered."""
        words = window.words
        self.pane = PracticePane(words, window.make_learner)
        window.add_pane(PANE, self.pane, self.leave)
        window.answering.add_box(PANE, self.pane.question)
        self.button = make_button(
            words.say("practising.open"), self.open, spoken=words.say("practising.open-spoken")
        )
        window.lesson.column.insertWidget(0, self.button)
        window.add_key(KEY, self.toggle)
        window.person.editingFinished.connect(self._follow_person)
        self.pane.left.connect(self.leave)
        self.pane.next_asked.connect(self.ask_next)
        self.pane.standing_asked.connect(self.look)
        self.pane.question.marked.connect(lambda _mark, _asked: self._take_in())
        window.order_came.connect(self._begin_anew)
        window.came.connect(self._begin_anew)
        window.keeping.keep(PANE, self.read_left, self.put_left, When.ORDER)

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
        """Go on with the question that is open and not marked yet, or show where the learner stands."""
        self._window.show_pane(PANE)
        if self._posed is not None and self._is_here(self._posed) and not self._is_marked:
            self._window.answering.stand(self._posed.asked.item.show)
        else:
            self.look()

    def look(self) -> None:
        """Show where the learner stands; a question that is half answered can be gone on with."""
        self._put_aside()
        self._practice = None
        self._make()

    @property
    def _is_marked(self) -> bool:
        return self.pane.question.is_marked

    def _is_here(self, posed: Posed) -> bool:
        """Is what is asked of on the bench?"""
        bench = self._window.bench
        item = posed.asked.item
        return bench is not None and name_pump(item.build, item.options) == name_pump(
            bench.build.name, bench.build.options
        )

    def _begin_anew(self) -> None:
        """Begin anew on what stands on the bench now; a question that is open is left alone until the next."""
        self._practice = None
        if self._window.pane == PANE and self.pane.question.control is None:
            self._make()

    def _follow_person(self) -> None:
        """Show where the learner stands who has just written a name; a question that is open is left alone."""
        is_new = self._window.person.text().strip() != self._person
        if is_new and self._window.pane == PANE and self.pane.question.control is None:
            self.look()

    # ------------------------------------------------------------------ what is half answered
    def read_left(self) -> Plain:
        """Read whether the pane is open, and the questions that are half answered."""
        return {"is-open": self._window.pane == PANE, "questions": {**self._left, **self._note()}}

    def put_left(self, value: Plain) -> None:
        """Go on where it was left. Raises StrangeValueError for what was never read so."""
        table = take_table(value)
        self._left = dict(take_table(table.get("questions")))
        if table.get("is-open") is True:
            self._resumes = True
            self._window.show_pane(PANE)
            self.look()

    def _note(self) -> Mapping[str, Plain]:
        """Note the question that is open, by its pump; nothing where nothing is answered, or all is marked."""
        draft = self.pane.question.read_draft()
        if draft is None or self._posed is None:
            return {}
        item = self._posed.asked.item
        return {
            name_pump(item.build, item.options): {**take_table(draft), **self._posed.pose.write()}
        }

    def _put_aside(self) -> None:
        self._left.update(self._note())
        self._posed = None
        self.pane.question.drop()
        self._window.lessons.faulting.stop()

    def _find_left(self) -> Mapping[str, Plain]:
        """Find the question of the pump on the bench that was left half answered; empty for none."""
        bench = self._window.bench
        key = name_pump(bench.build.name, bench.build.options) if bench else ""
        left = self._left.get(key)
        return left if isinstance(left, Mapping) else {}

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
            learner = self._find_learner()
        except PumpwrightError as error:
            self.pane.say(str(error))
            return
        self.pane.say(words.say("practising.looking"))
        self._is_busy = True
        twin, now, seed = bench.twin, window.clock().astimezone(), uuid4().hex[:12]

        def take(history: History) -> None:
            work = partial(look_up, twin, history, now, seed)
            do_later(work, self._take_looked, self._refuse, worker=ASKING)

        do_later(partial(find_history, learner), take, self._refuse, in_records=True)

    def _find_learner(self) -> Learner | None:
        """Find who practises now; None without a name."""
        learner = self._window.make_learner()
        self._person = learner.person if learner else ""
        return learner

    def _take_looked(self, looked: Looked) -> None:
        self._is_busy = False
        ordered = self._window.ordered
        if not isinstance(ordered, Bench) or looked.practice.bench is not ordered.twin:
            self._begin_anew()
            return
        self._practice = looked.practice
        has_left = bool(self._find_left())
        if self._resumes and has_left:
            self.ask_next()
        else:
            self.pane.show_standing(looked.standing, looked.mastery, person=self._person)
            self.pane.offer(goes_on=has_left)
        self._resumes = False

    def _refuse(self, error: PumpwrightError) -> None:
        self._is_busy = False
        self.pane.say(str(error), can_go_on=True)

    def _take_in(self) -> None:
        """Take in what was answered, so that the next question follows from it."""
        learner = self._window.make_learner()
        if self._practice is None or learner is None or learner.person != self._person:
            return
        do_later(partial(find_history, learner), self._take_history, self._refuse, in_records=True)

    def _take_history(self, history: History) -> None:
        if self._practice is not None:
            self._practice.history = history

    # ------------------------------------------------------------------ asking
    def ask_next(self) -> None:
        """Draw the next question, or that which was left half answered."""
        practice, window = self._practice, self._window
        if self._is_busy:
            return
        if practice is None:
            self.look()
            return
        try:
            before, learner = self._person, self._find_learner()
        except PumpwrightError as error:
            self.pane.say(str(error), can_go_on=True)
            return
        self._is_busy = True
        QTimer.singleShot(LONG_MS, self, self._tell_late)
        now, left = window.clock().astimezone(), self._find_left()

        def draw(history: History) -> None:
            practice.history = history
            work = partial(pose, practice, now, left)
            do_later(work, partial(self._ask, left), self._refuse, worker=ASKING)

        if self._person == before:
            draw(practice.history)
        else:  # somebody else practises now
            do_later(partial(find_history, learner), draw, self._refuse, in_records=True)

    def _tell_late(self) -> None:
        if self._is_busy:
            self.pane.say(self._window.words.say("answering.coming"))

    def _ask(self, left: Mapping[str, Plain], posed: Posed | None) -> None:
        self._is_busy = False
        window, words, bench = self._window, self._window.words, self._window.bench
        if posed is None or bench is None or self._practice is None:
            self.pane.say(words.say("practice.none-due"), can_go_on=True)
            return
        item = posed.asked.item
        self._posed = posed
        self._left.pop(name_pump(item.build, item.options), None)
        why = words.say(f"practice.why-{posed.pose.next.why}")
        head = words.say("practising.head", kind=words.say(f"practice.kind-{item.kind}"), why=why)
        self.pane.begin_question(head, self._tell_example(posed), self._tell_hints(posed))
        asked = Asked(item, posed.pose.seed, help=posed.pose.next.help)
        self.pane.question.ask(asked, posed.build, bench.build)
        if left:
            self.pane.question.take_draft(left)
        window.answering.stand(item.show if self._is_here(posed) else None)

    def write_anew(self) -> None:
        """Write what is asked anew, as lengths are written now."""
        posed = self._posed
        if posed is not None and self.pane.question.control is not None:
            self.pane.tell_help(self._tell_example(posed), self._tell_hints(posed))
            self.pane.question.ask_anew()

    def _tell_example(self, posed: Posed) -> str:
        """Tell another question worked out; "" where none stands beside this one."""
        words, shown = self._window.words, posed.asked.example
        if shown is None:
            return ""
        # One below the other.
        lines = tell_question(words, posed.build, shown).replace("\n", "  \n")
        return bind_units(f"{lines}\n\n{tell_worked(words, posed.build, shown)}")

    def _tell_hints(self, posed: Posed) -> str:
        words, hints = self._window.words, posed.asked.hints
        return "\n\n".join(
            bind_units(tell_said(words, posed.build, hint.said)) for _, hint in hints
        )
