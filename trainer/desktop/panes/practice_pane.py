"""Practice by oneself: what is due today, what is weak, how far each skill is, and the next question."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QProgressBar, QVBoxLayout, QWidget

from trainer.desktop.asking.question_box import QuestionBox
from trainer.desktop.pieces import (
    GAP_PX,
    Box,
    Pane,
    drop_widget,
    make_button,
    make_label,
    set_style,
    set_text,
)
from trainer.lesson.practice import Mastery, Standing, Subject
from trainer.session.teaching import Learner
from trainer.words import Words
from trainer.words.speech import begin
from trainer.words.telling_subject import tell_subject

MOST_LISTED = 5


class PracticePane(Pane):
    """Show where a learner stands, or ask.

    next_asked: another question is wanted. standing_asked: where the learner stands is to be seen. left: the pane is.
    """

    next_asked = Signal()
    standing_asked = Signal()
    left = Signal()
    most_foot_share = 0.35
    """What is read here is long."""

    def __init__(self, words: Words, make_learner: Callable[[], Learner | None]) -> None:
        super().__init__(words.say("practising.pane"))
        self._words = words
        self.title = make_label("paneTitle", words.say("practising.title"))
        self.told = make_label("small")
        self.standing = make_label(markdown=True)
        self.map = MasteryMap(words)
        self.why = make_label("heading")
        self.example = Box("box", words.say("practising.example"))
        self.hints = Box("box", words.say("practising.hint"))
        self.question = QuestionBox(words, make_learner)
        self.question.made.connect(lambda control: control.settled.connect(self._show_soon))
        self.back = make_button(words.say("practising.back"), self.left.emit)
        self.look = make_button(words.say("practising.standing"), self.standing_asked.emit)
        self.next = make_button(words.say("practising.next"), self.next_asked.emit, name="main")
        # While something is asked the button that leads on is the one which has it marked.
        self.question.marked.connect(lambda _mark, _asked: set_style(self.next, "main"))
        for widget in (
            self.title,
            self.told,
            self.standing,
            self.map,
            self.why,
            self.example,
            self.hints,
            self.question,
        ):
            self.column.addWidget(widget)
        self.column.addStretch(1)
        for button, stretch in ((self.back, 0), (self.look, 0), (self.next, 1)):
            self.foot_row.addWidget(button, stretch)
        self.foot.show()

    def say(self, text: str, *, can_go_on: bool = False) -> None:
        """Say what is being done, or why nothing can be asked."""
        set_text(self.told, text)
        self.next.setEnabled(can_go_on)

    def show_standing(self, standing: Standing, mastery: Sequence[Mastery], *, person: str) -> None:
        """Show where a learner stands; without a name nothing is kept, so nothing is known."""
        words = self._words
        self._drop()
        self.say(
            words.say("practising.for", person=person)
            if person
            else words.say("practising.nobody"),
            can_go_on=True,
        )
        parts = [
            self._tell("due", standing.due) or words.say("practice.none-due"),
            self._tell("later", standing.later),
            self._tell("weak", standing.weak),
            words.count("practice.count-new", len(standing.new)),
        ]
        if standing.next_due is not None and not standing.due:
            when = f"{standing.next_due.astimezone():%Y-%m-%d %H:%M}"
            parts.append(words.say("practice.nothing-due", when=when))
        set_text(self.standing, "\n\n".join(part for part in parts if part))
        self.map.show_mastery(mastery)
        self.look.hide()
        self.show_top()

    def _tell(self, what: str, subjects: Sequence[Subject]) -> str:
        """List what is due, weak and so on; "" where nothing is."""
        words = self._words
        if not subjects:
            return ""
        lines = [words.count(f"practice.count-{what}", len(subjects)), ""]
        lines += [
            f"- {tell_subject(words, one.kind, one.subject)}" for one in subjects[:MOST_LISTED]
        ]
        if len(subjects) > MOST_LISTED:
            lines.append(f"- {words.count('practice.more', len(subjects) - MOST_LISTED).strip()}")
        return "\n".join(lines)

    def begin_question(self, why: str, example: str, hints: str) -> None:
        """Make room for a question: why it comes now, one like it worked out, and hints, "" for none."""
        self._drop()
        set_style(self.next, "")
        set_text(self.standing, "")
        self.map.hide()
        set_text(self.told, "")
        set_text(self.why, why)
        self.tell_help(example, hints)
        self.look.show()
        self.offer(goes_on=False)
        self.show_top()

    def offer(self, *, goes_on: bool) -> None:
        """Offer the next question, or to go on with one that was left."""
        self.next.setText(self._words.say("practising.go-on" if goes_on else "practising.next"))
        self.next.setEnabled(True)

    def tell_help(self, example: str, hints: str) -> None:
        """Tell what stands beside the question, "" for nothing."""
        self.example.tell(example)
        self.hints.tell(hints)
        QTimer.singleShot(0, self, self._lay_anew)

    def _lay_anew(self) -> None:
        """Give boxes the height that their texts take, now that these know their letters and their width."""
        for box in (self.example, self.hints):
            box.column.invalidate()
            box.updateGeometry()

    def _drop(self) -> None:
        self.question.drop()
        set_style(self.next, "main")
        set_text(self.why, "")
        self.example.tell("")
        self.hints.tell("")

    def _show_soon(self) -> None:
        QTimer.singleShot(0, self, self._show_mark)  # once all is laid out anew

    def _show_mark(self) -> None:
        if self.question.control is not None:
            self.question.control.show_mark_in(self.scroller)


class MasteryMap(QWidget):
    """How far each skill is: a bar with its number in words, so that nobody has to judge a length."""

    def __init__(self, words: Words) -> None:
        super().__init__()
        self._words = words
        self._rows: list[QWidget] = []
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, GAP_PX, 0, 0)
        self.column.setSpacing(GAP_PX // 3)
        self.column.addWidget(make_label("heading", words.say("practising.map")))
        self.means = make_label("small", words.say("practice.map-means"))
        self.column.addWidget(self.means)
        self.bars: dict[str, QProgressBar] = {}
        self.hide()

    def show_mastery(self, mastery: Sequence[Mastery]) -> None:
        """Show it."""
        for row in self._rows:
            drop_widget(self.column, row)
        self._rows, self.bars = [], {}
        for one in mastery:
            text = self._tell(one)
            bar = QProgressBar()
            bar.setTextVisible(False)
            bar.setRange(0, 100)
            bar.setValue(round(100 * one.known))
            bar.setAccessibleName(text)
            self.bars[one.skill] = bar
            for row in (make_label(text=text), bar):
                self.column.insertWidget(self.column.indexOf(self.means), row)
                self._rows.append(row)
        self.show()

    def _tell(self, one: Mastery) -> str:
        words = self._words
        skill = begin(words.say(f"practice.skill-{one.skill}"))
        fields = {
            "seen": one.seen,
            "all": one.there_are,
            "known": words.number(100.0 * one.known, 0),
        }
        key = "practising.unseen" if one.recall is None else "practising.known"
        return words.say(key, skill=skill, **fields)
