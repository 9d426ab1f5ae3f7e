"""A whole question: its fields one below the other, the button that has them marked, and what is said of the answer."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from models.spec.errors import RefusalError
from trainer.desktop.asking.choice_form import ChoiceForm
from trainer.desktop.asking.form import Asking, FormControl
from trainer.desktop.asking.number_form import NumberForm
from trainer.desktop.asking.order_form import OrderForm
from trainer.desktop.asking.pair_form import PairForm
from trainer.desktop.asking.point_form import PointForm
from trainer.desktop.flow import Flow
from trainer.desktop.pieces import (
    GAP_PX,
    Box,
    make_button,
    make_label,
    set_style,
    set_text,
    show_both,
    show_widget,
)
from trainer.lesson.item import (
    Field,
    Form,
    GapShown,
    InOrder,
    Item,
    MoveShown,
    Number,
    OneOf,
    Pairs,
    PiecesShown,
    Pointed,
    Shown,
    SomeOf,
)
from trainer.lesson.marking import FieldMark, ItemMark
from trainer.session.as_left import Plain, StrangeValueError, take_table

CONTROLS: Mapping[type[Form], Callable[[Asking, Field], FormControl]] = {
    OneOf: ChoiceForm,
    SomeOf: ChoiceForm,
    Pairs: PairForm,
    Number: NumberForm,
    Pointed: PointForm,
    InOrder: OrderForm,
}
FIELD_GAP_PX = GAP_PX + GAP_PX // 2
"""Between fields is more room than in them, so that each is seen as one."""
Kind = TypeVar("Kind", bound=FormControl)


class ItemControl(QWidget):
    """Answer a question.

    ready: an answer is to be marked. settled: what is said of it has its place. shown_asked: what feedback, or an answer, speaks of is to be seen.
    proof_asked: what a mark rests on, a move or a gap.
    """

    ready = Signal(object)
    settled = Signal()
    shown_asked = Signal(object)
    proof_asked = Signal(object)

    def __init__(self, asking: Asking, item: Item) -> None:
        super().__init__()
        self.asking, self.item, self.can_show = asking, item, True
        words = self._words = asking.words
        self._shown: Shown | None = None
        self._is_telling = False
        self._times_marked = 0
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(FIELD_GAP_PX)
        self.forms = {
            field.name: CONTROLS[type(field.form)](asking, field) for field in item.fields
        }
        for form in self.forms.values():
            form.entered.connect(self.send)
            form.spoken_of.connect(self._speak_of)
            form.changed.connect(self._change)
            self.column.addWidget(form)
        self.mark = make_button(words.say("window.mark"), self.send, name="main")
        self.column.addWidget(self.mark)
        self.feedback = Box("rightBox")
        self.feedback.setAccessibleName(words.say("window.feedback"))
        self.column.addWidget(self.feedback)
        self.again = make_button(
            words.say("replay.again"),
            self.show_again,
            spoken=words.say("replay.again-spoken"),
            sign="play",
        )
        self.proof = make_button(
            words.say("proof.button"),
            lambda: self.proof_asked.emit(self._shown),
            spoken=words.say("proof.move-spoken"),
        )
        self.again.hide()
        self.proof.hide()
        row = Flow(GAP_PX // 2, GAP_PX // 2, fills=True)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.again)
        row.addWidget(self.proof)
        self.column.addLayout(row)
        self.basis = make_label("small", markdown=True)
        self.column.addWidget(self.basis)

    def find_form(self, kind: type[Kind]) -> Kind | None:
        """Find the first field that is answered in a form; None where there is none."""
        return next((form for form in self.forms.values() if isinstance(form, kind)), None)

    @property
    def is_marked(self) -> bool:
        """Has what stands there been marked?"""
        return any(form.is_marked for form in self.forms.values())

    # ------------------------------------------------------------------ answering
    def _change(self) -> None:
        """Lead on by having it marked: the answer is another now."""
        set_style(self.mark, "main")

    def send(self) -> None:
        """Hand the answer in, or say what is wrong with it; nothing at all is no answer."""
        try:
            answer = {name: form.read() for name, form in self.forms.items()}
        except RefusalError as error:
            self.refuse(str(error))
            return
        if not any(answer.values()):
            self.refuse(self._words.say("answering.blank"))
            return
        self.ready.emit(answer)

    def describe(self) -> Plain:
        """Describe what is answered so far, as it stands."""
        return {name: form.describe() for name, form in self.forms.items()}

    def fill(self, value: Plain) -> None:
        """Answer as was described before. Raises StrangeValueError for what is no answer to this question."""
        table = take_table(value)
        if table.keys() != self.forms.keys():
            raise StrangeValueError("other fields")
        for name, form in self.forms.items():
            form.fill(table[name])

    def take_pick(self, piece: str) -> bool:
        """Take a piece that was picked in the picture; False when this question does not ask for one."""
        taken = any(form.take_pick(piece) for form in self.forms.values())
        if taken:
            self.feedback.tell("")
            self._offer(None)
        return taken

    # ------------------------------------------------------------------ after marking
    def show_marking(self, *, is_on: bool) -> None:
        """Say on the button that the answer is being marked; it keeps the keyboard, and presses come to nothing."""
        self.mark.setText(self._words.say("answering.marking" if is_on else "window.mark"))

    def refuse(self, text: str) -> None:
        """Say why an answer was not marked at all."""
        self.feedback.tell(text, name="cautionBox", heading=self._words.say("window.not-marked"))

    def show_mark(self, mark: ItemMark) -> None:
        """Show how it went, why, what is right and what that rests on."""
        words, asking = self._words, self.asking
        self._times_marked += 1
        texts = [self._tell_result(mark)]
        texts += [told for one in mark.fields if (told := self._tell_right(one))]
        is_right = mark.is_right
        key = "window.is-right" if is_right else "window.is-wrong"
        self.feedback.tell(
            "\n\n".join(texts),
            name="rightBox" if is_right else "cautionBox",
            heading=words.say(key),
        )
        basis = asking.tell(self.item.basis.said)
        source = self.item.basis.source
        told = words.say("answering.basis-source", basis=basis, source=source)
        set_text(self.basis, told if source else words.say("answering.basis", basis=basis))
        self._is_telling = True
        for one in mark.fields:
            self.forms[one.name].show_mark(one)
        self._is_telling = False
        # Of what was wrong the first that can be seen is played, else of what was right.
        worst_first = sorted(mark.fields, key=lambda field: field.is_right)
        shown = (self.forms[one.name].find_shown() for one in worst_first)
        self._offer(next((one for one in shown if one is not None), None))
        set_style(self.mark, "")  # what leads on is another button now
        QTimer.singleShot(0, self, self._fit)  # once the lines know their new width

    def _tell_result(self, mark: ItemMark) -> str:
        words = self._words
        if mark.has_failed:
            return words.say("answering.failed")
        if mark.is_right:
            return words.say("answering.all-right")
        return words.say("window.score", score=words.number(100 * mark.score, 0))

    def _tell_right(self, mark: FieldMark) -> str:
        """Tell what is right, where no line of the field shows it; a right order only to who has tried twice."""
        form = self.forms[mark.name]
        if mark.is_right or isinstance(form, ChoiceForm):
            return ""
        told = [self.asking.tell(one) for one in mark.right]
        if isinstance(form, OrderForm) and self._times_marked == 1:
            return self._words.say("answering.order-again")
        if isinstance(form, OrderForm):
            # No list of Markdown: its numbers stand in a margin of fixed width, too narrow for large letters.
            lines = "  \n".join(f"{number}\\. {one}" for number, one in enumerate(told, 1))
            return f"{self._words.say('answering.one-order')}\n\n{lines}"
        if isinstance(form, PairForm):
            return ""
        return self._words.say("answering.right-is", right=self._words.join(told))

    def settle(self) -> None:
        """Ask for the height that the texts take, now that they know their letters and their width."""
        for form in self.forms.values():
            form.column.invalidate()
            form.updateGeometry()
        self.column.invalidate()
        self.updateGeometry()

    def show_mark_in(self, scroller: QScrollArea) -> None:
        """Scroll to what is said of the answer, with the line that it is said of."""
        lists = (
            form.list for form in self.forms.values() if isinstance(form, OrderForm | ChoiceForm)
        )
        one = next((each for each in lists if each.currentRow() >= 0), None)
        if one is None:
            show_widget(scroller, self.feedback)
        else:
            top_px = one.visualItemRect(one.currentItem()).top()
            show_both(scroller, one.viewport(), top_px, self.feedback)

    def _fit(self) -> None:
        for form in self.forms.values():
            if isinstance(form, OrderForm | ChoiceForm):
                form.list.fit_height()
        self.settled.emit()

    # ------------------------------------------------------------------ what is seen of it
    def _speak_of(self, shown: Shown | None) -> None:
        if self._is_telling:
            return
        self._offer(shown)
        self._show(shown)

    def _show(self, shown: Shown | None) -> None:
        if self.can_show:
            self.shown_asked.emit(shown or PiecesShown(()))

    def play_mark(self) -> None:
        """Play what there is to be seen of how it went."""
        self._show(self._shown)

    def set_showing(self, *, can_show: bool) -> None:
        """Show in the picture what is spoken of from now on, or leave the picture alone: another pump stands there."""
        self.can_show = can_show
        self._offer(self._shown)

    def _offer(self, shown: Shown | None) -> None:
        """Offer to play it again and to prove it, where it is a move or a gap."""
        self._shown = shown if self.is_marked else None
        has_more = self.can_show and isinstance(self._shown, MoveShown | GapShown)
        self.again.setVisible(has_more)
        self.proof.setVisible(has_more)

    def show_again(self) -> None:
        """Play what the chosen line speaks of once more."""
        if self._shown is not None:
            self.shown_asked.emit(self._shown)
