"""Answer controls, one for each kind of question: put in order, point out, give a thickness."""

from __future__ import annotations

import random
from collections.abc import Callable

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from models.spec.errors import RefusalError
from trainer.core.order.marking import Marked, MarkedStep, Verdict
from trainer.core.order.state import Refused
from trainer.desktop.pieces import make_button, make_label, set_text
from trainer.lesson import (
    GapMarked,
    PointMarked,
    PointOut,
    PutInOrder,
    Question,
    QuestionKind,
    ShimThickness,
)
from trainer.session.bench import Bench
from trainer.session.teaching import Answer, Outcome, shuffle_parts
from trainer.session.typed import read_length_mm
from trainer.words import Words
from trainer.words.telling import tell_part, tell_piece, tell_step

PART_ROLE = Qt.ItemDataRole.UserRole


class AnswerControl(QWidget):
    """What a learner answers with; `ready` carries the answer, `pointed` the pieces to show as (lit, in the way)."""

    ready = Signal(object)
    pointed = Signal(object, object)

    def __init__(self, words: Words, bench: Bench) -> None:
        super().__init__()
        self.words, self.bench = words, bench
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.feedback = make_label("right")
        set_text(self.feedback, "")

    def _finish(self, button_key: str) -> None:
        self.mark = make_button(self.words.say(button_key), self.send, main=True)
        self.column.addWidget(self.mark)
        self.column.addWidget(self.feedback)

    def send(self) -> None:
        """Hand the answer in, or say what is wrong with it."""
        try:
            answer = self.read()
        except RefusalError as error:
            self.tell(str(error), right=False)
            return
        self.ready.emit(answer)

    def read(self) -> Answer:
        """Read the answer. Raises RefusalError with what to mend."""
        raise TypeError(f"{type(self).__name__} reads no answer")

    def show_outcome(self, outcome: Outcome) -> None:
        """Show how it went, and why."""
        raise TypeError(f"{type(self).__name__} shows no {type(outcome).__name__}")

    def take_pick(self, piece: str) -> bool:
        """Take a piece that was clicked in the picture; False when this question does not ask for one."""
        del piece
        return False

    def tell(self, text: str, *, right: bool) -> None:
        """Say something under the answer; what is wrong stands on the warning bar."""
        self.feedback.setObjectName("right" if right else "caution")
        self.feedback.setStyleSheet("")
        style = self.feedback.style()
        style.unpolish(self.feedback)
        style.polish(self.feedback)
        set_text(self.feedback, text)


class OrderControl(AnswerControl):
    """Put parts in order by dragging, or with two buttons; after marking each line carries its reason."""

    def __init__(
        self, words: Words, bench: Bench, question: PutInOrder, chance: random.Random
    ) -> None:
        super().__init__(words, bench)
        self.list = QListWidget()
        self.list.setAccessibleName(words.say("window.order-list"))
        self.list.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
        self.list.setWordWrap(True)
        for part in shuffle_parts(question, chance):
            item = QListWidgetItem(self._name(part))
            item.setData(PART_ROLE, part)
            self.list.addItem(item)
        self.list.setCurrentRow(0)
        self.list.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setResizeMode(QListWidget.ResizeMode.Adjust)
        self.list.currentItemChanged.connect(lambda now, _before: self._point(now))
        row = QHBoxLayout()
        self.earlier = make_button(words.say("window.order-earlier"), lambda: self.shift(-1))
        self.later = make_button(words.say("window.order-later"), lambda: self.shift(+1))
        row.addWidget(self.earlier)
        row.addWidget(self.later)
        self.column.addWidget(self.list)
        self.column.addLayout(row)
        self._steps: dict[str, MarkedStep] = {}
        self._finish("window.mark")

    def _name(self, name: str) -> str:
        build = self.bench.build
        if name in build.places:
            many = f"part.{name}.many"
            several = len(build.places[name]) > 1 and self.words.has(many)
            return self.words.say(many) if several else tell_part(self.words, name)
        return tell_piece(self.words, build, name)

    def shift(self, by: int) -> None:
        """Move the chosen line earlier or later."""
        row = self.list.currentRow()
        if 0 <= row + by < self.list.count():
            item = self.list.takeItem(row)
            self.list.insertItem(row + by, item)
            self.list.setCurrentRow(row + by)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the list as tall as its lines, so that only the pane scrolls."""
        super().resizeEvent(event)
        self._fit_list()

    def _fit_list(self) -> None:
        self.list.doItemsLayout()
        last = self.list.visualItemRect(self.list.item(self.list.count() - 1))
        first = self.list.visualItemRect(self.list.item(0))
        self.list.setFixedHeight(last.bottom() - first.top() + 2 * self.list.frameWidth() + 6)

    def read(self) -> Answer:
        """Read the lines from top to bottom."""
        return [str(self.list.item(i).data(PART_ROLE)) for i in range(self.list.count())]

    def show_outcome(self, outcome: Outcome) -> None:
        """Write each line's verdict and reason under it."""
        if not isinstance(outcome, Marked):
            raise TypeError("an order is marked as an order")
        words, build = self.words, self.bench.build
        for i in range(self.list.count()):
            item = self.list.item(i)
            part = str(item.data(PART_ROLE))
            pieces = self.bench.find_pieces(part)
            steps = [step for step in outcome.steps if step.piece in pieces]
            bad = next((step for step in steps if step.verdict is not Verdict.FREE), None)
            if bad is None:
                item.setText(words.say("window.order-line-right", part=self._name(part)))
                self._steps.pop(part, None)
            else:
                why = tell_step(words, build, bad)
                item.setText(words.say("window.order-line-wrong", part=self._name(part), why=why))
                self._steps[part] = bad
        wrong = sum(step.verdict is Verdict.REFUSED for step in outcome.steps)
        text = words.count("mark.wrong", wrong) if wrong else words.say("mark.right")
        self.tell(text, right=not wrong)
        QTimer.singleShot(0, self._fit_list)  # once the lines know their new height
        parts = [str(self.list.item(i).data(PART_ROLE)) for i in range(self.list.count())]
        refused = [row for row, part in enumerate(parts) if part in self._steps]
        self.list.setCurrentRow(refused[0] if refused else 0)
        self._point(self.list.currentItem())

    def _point(self, item: QListWidgetItem | None) -> None:
        """Show in the picture what a line speaks of, and what is in its way."""
        if item is None:
            return
        part = str(item.data(PART_ROLE))
        pieces = frozenset(self.bench.find_pieces(part))
        step = self._steps.get(part)
        way = step.found.way if step and isinstance(step.found, Refused) else None
        self.pointed.emit(pieces, frozenset(way.blocked_by[:1]) if way else frozenset())


class PointControl(AnswerControl):
    """Point a part out by clicking it in the picture."""

    def __init__(
        self, words: Words, bench: Bench, question: PointOut, chance: random.Random
    ) -> None:
        super().__init__(words, bench)
        del chance
        self._question = question
        self._piece = ""
        self.chosen = make_label(text=words.say("window.point-none"))
        self.column.addWidget(self.chosen)
        self._finish("window.mark")
        self.mark.setEnabled(False)

    def take_pick(self, piece: str) -> bool:
        """Take the clicked piece as the answer; its name is not given away."""
        self._piece = piece
        self.chosen.setText(self.words.say("window.point-chosen"))
        self.mark.setEnabled(True)
        self.pointed.emit(frozenset({piece}), frozenset())
        return True

    def read(self) -> Answer:
        """Read the piece that was clicked."""
        return self._piece

    def show_outcome(self, outcome: Outcome) -> None:
        """Say what was clicked, and show where the part is."""
        if not isinstance(outcome, PointMarked):
            raise TypeError("a pointing is marked as a pointing")
        picked, wanted = (tell_part(self.words, part) for part in (outcome.picked, outcome.wanted))
        key = "window.point-right" if outcome.is_right else "window.point-wrong"
        self.tell(self.words.say(key, picked=picked, wanted=wanted), right=outcome.is_right)
        self.pointed.emit(frozenset(self.bench.find_pieces(outcome.wanted)), frozenset())


class ThicknessControl(AnswerControl):
    """Give a total thickness of shims."""

    def __init__(
        self, words: Words, bench: Bench, question: ShimThickness, chance: random.Random
    ) -> None:
        super().__init__(words, bench)
        del chance
        clearance = bench.clearance(question.clearance)
        low, high = (words.millimetres(value) for value in clearance.required_mm)
        name = words.say(f"clearance.{clearance.name}")
        aim = words.millimetres(clearance.aim_mm)
        self.column.addWidget(
            make_label(
                "small", words.say("window.shim-aim", name=name, aim=aim, low=low, high=high)
            )
        )
        self.field = QLineEdit()
        self.field.setAccessibleName(words.say("window.shim-field"))
        self.field.setPlaceholderText(words.say("window.shim-field"))
        self.field.returnPressed.connect(self.send)
        self.column.addWidget(self.field)
        self._finish("window.mark")

    def read(self) -> Answer:
        """Read the thickness; a comma counts as a decimal point here, since nothing else is on the line."""
        return read_length_mm(self.field.text().replace(",", "."))

    def show_outcome(self, outcome: Outcome) -> None:
        """Say the truth and which way the answer was off."""
        if not isinstance(outcome, GapMarked):
            raise TypeError("a thickness is marked as a thickness")
        truth = self.words.millimetres(outcome.truth_mm)
        key = (
            "window.shim-right"
            if outcome.is_right
            else "window.shim-thick"
            if outcome.off_mm > 0
            else "window.shim-thin"
        )
        self.tell(self.words.say(key, truth=truth), right=outcome.is_right)


CONTROLS: dict[QuestionKind, Callable[..., AnswerControl]] = {
    QuestionKind.PUT_IN_ORDER: OrderControl,
    QuestionKind.POINT_OUT: PointControl,
    QuestionKind.SHIM_THICKNESS: ThicknessControl,
}


def make_control(
    words: Words, bench: Bench, question: Question, chance: random.Random
) -> AnswerControl:
    """Make the control that answers a question."""
    return CONTROLS[question.kind](words, bench, question, chance)
