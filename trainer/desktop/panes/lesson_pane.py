"""The guided walk: one page of a lesson at a time, with its question where it has one."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from uuid import UUID, uuid4

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout

from trainer.desktop.asking.drawing import Drawing, Drawn, DrawnBenches
from trainer.desktop.asking.item_control import ItemControl
from trainer.desktop.asking.page_show import add_asked
from trainer.desktop.asking.page_text import tell_page, tell_page_rests
from trainer.desktop.asking.question_box import QuestionBox
from trainer.desktop.pieces import (
    Box,
    Choice,
    Pane,
    TextLabel,
    make_button,
    make_label,
    set_text,
)
from trainer.lesson import Lesson, Show
from trainer.lesson.marking import ItemMark
from trainer.session.answering import Asked, make_seed
from trainer.session.as_left import Plain, take_number, take_table, take_text
from trainer.session.asking.drawing import find_kind
from trainer.session.bench import Bench
from trainer.session.choosing import is_shown
from trainer.session.teaching import Learner
from trainer.words import Words
from trainer.words.telling import tell_pump

FEW_LETTERS = 12


class LessonPane(Pane):
    """Walk through a lesson.

    bench_asked: the page is about another pump than the one on the bench, by name and options. settled: the question
    of the page that was put back, which is drawn in the background, has come, and what it asks for is shown. ended:
    it is to go on behind the last page, to what `say_after` has named.
    """

    show_asked = Signal(object)
    bench_asked = Signal(str, object)
    settled = Signal()
    ended = Signal()

    def __init__(
        self,
        words: Words,
        make_learner: Callable[[], Learner | None],
        read_name: Callable[[], str] = str,
        make_id: Callable[[], UUID] = uuid4,
    ) -> None:
        super().__init__(words.say("window.lesson-pane"))
        self._words, self._read_name = words, read_name
        self._bench: Bench | None = None
        self._benches = DrawnBenches()
        self._drafts: dict[str, Plain] = {}
        self._sitting = uuid4().hex
        self._asked = ""
        self._waits = self._is_put = False
        """The question of the open page is asked once the order of the pump is known; the page was put back."""
        self.lesson: Lesson | None = None
        self.number = 0
        self.lessons = Choice(words.say("lesson.choose"), least_letters=FEW_LETTERS)
        self.lessons.hide()
        self.fault = Box("cautionBox", words.say("lesson.fault"))
        self.place = make_label("heading")
        self.again = make_button(
            words.say("lesson.again"),
            self.show_again,
            name="link",
            spoken=words.say("lesson.again-spoken"),
        )
        self.again.hide()
        self._after = ""
        self.title = make_label("paneTitle", words.say("window.lesson-waiting"))
        self.text = make_label(markdown=True)
        self.rests = make_label("small", markdown=True)
        self.put_on = make_button(words.say("lesson.put-on"), self.ask_bench, name="main")
        self.put_on.hide()
        self.caution = Box("cautionBox", words.say("window.caution"))
        self.question = QuestionBox(words, make_learner, make_id)
        self.question.made.connect(lambda control: control.settled.connect(self._show_soon))
        self.question.marked.connect(self._forget_draft)
        self.back = make_button(words.say("window.lesson-back"), lambda: self.go(self.number - 1))
        self.next = make_button(words.say("window.lesson-next"), self._go_on, name="main")
        for widget in (
            self.lessons,
            self.fault,
            self.title,
            self.caution,
            self.text,
            self.put_on,
            self.rests,
            self.question,
        ):
            self.column.addWidget(widget)
        row = QHBoxLayout()
        row.addWidget(self.place, 1)
        row.addWidget(self.again)
        self.column.insertLayout(2, row)
        self.column.addStretch(1)
        self.foot_row.addWidget(self.back)
        self.foot_row.addWidget(self.next, 1)
        self.back.setEnabled(False)
        self.next.setEnabled(False)

    def start(self, lesson: Lesson, bench: Bench | None) -> None:
        """Start a lesson on a bench at its first page; None for what is no pump of ours."""
        self._drop_question()
        self.lesson, self._bench = lesson, bench
        self.foot.show()
        self._open(0)

    def take_new(self, lesson: Lesson) -> None:
        """Go on with the lesson as its author has just written it, at the page where it is open."""
        if self.lesson is None:
            return
        before = self.lesson.steps[self.number]
        titles = [step.title for step in lesson.steps]
        number = titles.index(before.title) if before.title in titles else self.number
        if number == self.number and lesson.steps[number] == before:
            self.lesson = lesson  # another page was written: this one is left alone
            self._tell_place()
            return
        self._drop_question()
        self.lesson = lesson
        self._open(min(number, len(titles) - 1))

    def list_lessons(self, names: Sequence[str], titles: Sequence[str], chosen: str) -> None:
        """List the lessons there are to choose from, once there are several."""
        self.lessons.fill(names, titles)
        self.lessons.choose(chosen)
        self.lessons.setVisible(len(names) > 1)

    def say_none(self) -> None:
        """Say that no lesson is about the pump on the bench."""
        set_text(self.title, self._words.say("lesson.none"))

    def say_faults(self, text: str) -> None:
        """Say beside the page what is wrong with a lesson's file, for its author; "" where all is well."""
        self.fault.tell(text)

    def set_bench(self, bench: Bench | None) -> None:
        """Go on with another bench: with another pack at the same page, with another pump not until its own is back.

        None for what is no pump of ours.
        """
        was_away, self._bench = self._is_away, bench
        if self._is_away and bench is not None and self.question.is_about(bench.build):
            self.put_on.show()  # its question, drawn afresh, is about this one
            if self.question.asked is not None and self.question.asked.item.show is not None:
                self.show_asked.emit(self.question.asked.item.show)
        elif self._is_away:
            self._say_away()
        elif was_away:
            self._open(self.number)

    def set_order(self) -> None:
        """Ask what waited for the order of the pump."""
        if self._waits:
            self._ask()
            self.show_again()

    @property
    def control(self) -> ItemControl | None:
        """What the question of the page is answered with."""
        return self.question.control

    @property
    def note(self) -> TextLabel:
        """What is said of the records."""
        return self.question.note

    @property
    def _show(self) -> Show | None:
        """What the open page shows."""
        return self.lesson.steps[self.number].show if self.lesson else None

    @property
    def _is_away(self) -> bool:
        """Is another pump on the bench than the one that the page is about?"""
        return self.lesson is not None and not self._is_about_bench(self.number)

    def _say_away(self) -> None:
        """Stop where it is; nothing of a page may be asked about another pump."""
        if self.lesson is None or self._show is None:
            return
        words = self._words
        build = tell_pump(words, self._show.build)
        self._drop_question()
        set_text(self.place, self.lesson.title)
        set_text(self.title, words.say("window.lesson-away"))
        set_text(self.text, words.say("window.lesson-away-text", build=build))
        self.caution.tell("")
        set_text(self.rests, "")
        self.put_on.show()
        self.again.hide()
        self._name_next("")
        self.back.setEnabled(self._is_about_bench(self.number - 1))
        self.next.setEnabled(self._is_about_bench(self.number + 1))

    def _is_about_bench(self, number: int) -> bool:
        """Is there such a page, and is it about the pump on the bench?"""
        if self.lesson is None or self._bench is None or not 0 <= number < len(self.lesson.steps):
            return False
        return is_shown(self.lesson.steps[number].show, self._bench.build)

    def say_after(self, text: str) -> None:
        """Say what the button at the last page goes on to; "" for nothing."""
        self._after = text
        if self.lesson is not None and not self._is_away:
            self._offer_next(self.lesson)

    def _offer_next(self, lesson: Lesson) -> None:
        is_last = self.number + 1 == len(lesson.steps)
        self._name_next(self._after if is_last else "")
        self.next.setEnabled(not is_last or bool(self._after))

    def _name_next(self, text: str) -> None:
        self.next.setText(text or self._words.say("window.lesson-next"))
        self.next.setAccessibleName(self.next.text())

    def _go_on(self) -> None:
        if self.lesson is not None and self.number + 1 == len(self.lesson.steps):
            self.ended.emit()
        else:
            self.go(self.number + 1)

    def go(self, number: int) -> None:
        """Go to a page; where it is about another pump than the one on the bench, that is asked for."""
        self._open(number)
        self.ask_bench()

    def _open(self, number: int) -> None:
        if self.lesson is None or not 0 <= number < len(self.lesson.steps):
            return
        self._drop_question()
        self.number = number
        if self._is_away or self._bench is None:
            self._say_away()
            return
        self.put_on.hide()
        self.again.show()
        self._tell_page()
        self._ask()
        # A button that goes dead hands the keys to its neighbour, not to some tool above the picture.
        self._offer_next(self.lesson)
        if self.back.hasFocus() and number == 0:
            self.next.setFocus(Qt.FocusReason.OtherFocusReason)
        self.back.setEnabled(number > 0)
        self.show_top()
        self.show_again()

    def write_anew(self) -> None:
        """Write the numbers of the page anew, as lengths are written now."""
        if self.lesson is not None and not self._is_away:
            self._tell_page()

    def _tell_page(self) -> None:
        assert self.lesson is not None
        step = self.lesson.steps[self.number]
        self._tell_place()
        set_text(self.title, self._tell(step.title))
        set_text(self.text, self._tell(step.say))
        self.caution.tell(self._tell(step.caution))
        set_text(
            self.rests,
            tell_page_rests(self._words, self._bench, step.title, step.say, step.caution),
        )

    def _tell_place(self) -> None:
        if self.lesson is not None:
            # Where there is a list to choose from, it says which lesson it is.
            key = "window.lesson-place" if self.lessons.isHidden() else "lesson.place"
            told = self._words.say(
                key,
                lesson=self._tell(self.lesson.title),
                number=self.number + 1,
                last=len(self.lesson.steps),
            )
            set_text(self.place, told)

    def _tell(self, text: str) -> str:
        return tell_page(self._words, self._bench, text)

    def ask_bench(self) -> None:
        """Ask for the pump that the page is about, unless it stands on the bench."""
        if self._show is not None and self._is_away:
            self.bench_asked.emit(self._show.build, dict(self._show.options))

    def show_again(self) -> None:
        """Ask for the view of this page."""
        if self._show is not None and not self._is_away:
            asked = self.question.asked if self.question.is_here else None
            self.show_asked.emit(add_asked(self._show, asked.item) if asked else self._show)

    # ------------------------------------------------------------------ where it stands
    def read_place(self) -> Plain:
        """Read which page is open, and what is answered and not marked yet."""
        if self.lesson is None:
            return None
        self._note_draft()
        return {"lesson": self.lesson.course, "page": self.number, "answers": dict(self._drafts)}

    def put_place(self, value: Plain) -> None:
        """Go on at the page where it was left. Raises StrangeValueError for what is no place in a lesson."""
        if value is None or self.lesson is None:
            return
        table = take_table(value)
        if take_text(table.get("lesson")) != self.lesson.course:
            return  # another walk was open then
        self._drop_question()
        self._drafts = dict(take_table(table.get("answers")))
        self._open(round(take_number(table.get("page"))))
        self._is_put = True

    def ask_anew(self) -> None:
        """Ask the question anew as lengths are written now; what is answered stays, what is marked is left alone."""
        self.question.ask_anew()

    def _note_draft(self) -> None:
        """Note what stands in the open question, unless nothing is answered yet or it is marked and in the records."""
        if self.control is None:
            return
        self._drafts.pop(self._asked, None)
        draft = self.question.read_draft()
        if draft is not None:
            self._drafts[self._asked] = draft

    def _forget_draft(self, _mark: ItemMark, asked: Asked) -> None:
        """Forget what was left of an answer that came into the records when its page had been left."""
        if self.question.asked is not asked:
            self._drafts.pop(f"{asked.lesson}/{asked.question}", None)

    def _drop_question(self) -> None:
        self._note_draft()
        self._waits = self._is_put = False
        self.question.drop()

    # ------------------------------------------------------------------ the question of a page
    def _ask(self) -> None:
        self._drop_question()
        wanted = self.lesson.steps[self.number].ask if self.lesson else None
        bench = self._bench
        if wanted is None or bench is None or self.lesson is None:
            return
        if find_kind(wanted.kind).needs_solids and not bench.is_ordered:
            self._waits = True
            self.question.say(self._words.say("window.order-coming"))
            return
        self._asked = f"{self.lesson.course}/{wanted.id}"
        draft = self._drafts.get(self._asked)
        left = draft if isinstance(draft, Mapping) else {}
        seed = str(left.get("seed") or self._make_seed(self._read_name()))
        drawing = Drawing(bench.twin, self._benches, wanted, seed, self.lesson.course)

        def take(drawn: Drawn) -> None:
            self._take_drawn(drawn, left)
            if self._is_put and not drawing.is_late:
                self.settled.emit()

        self.question.await_one(drawing, take)

    def _take_drawn(self, drawn: Drawn, left: Mapping[str, Plain]) -> None:
        """Ask what was drawn, and answer it as it was left."""
        if self._bench is None:
            return
        self.question.ask(drawn.asked, drawn.build, self._bench.build)
        if left and not self.question.take_draft(left):
            del self._drafts[self._asked]  # it is another question by now
        if drawn.asked.item.show is not None and self.question.is_here:
            self.show_again()

    def _make_seed(self, name: str) -> str:
        """Make what a question is drawn from: for each learner another, and nobody's name in it, for it is kept."""
        return make_seed(self._asked, name, self._sitting) if name else self._asked

    def _show_soon(self) -> None:
        QTimer.singleShot(0, self, self._show_mark)  # once all is laid out anew

    def _show_mark(self) -> None:
        if self.control is not None:
            self.control.show_mark_in(self.scroller)

    def take_pick(self, piece: str) -> bool:
        """Hand a picked piece to the question, if it asks for one."""
        return self.question.take_pick(piece)
