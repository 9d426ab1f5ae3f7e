"""Answer controls, one for each kind of question: put in order, point out, give a thickness."""

from __future__ import annotations

import random
from collections.abc import Callable

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from models.spec.errors import RefusalError
from trainer.core.measure.packs import MOST_SHIMS
from trainer.core.order.marking import Marked, MarkedStep, Verdict
from trainer.core.order.state import Refused
from trainer.desktop.flow import Flow
from trainer.desktop.panes.order_list import LineState, LineVerdict, OrderList
from trainer.desktop.pieces import GAP_PX, Box, make_button, make_label
from trainer.desktop.typing_in import add_unit, read_typed_mm, tell_typed_unit
from trainer.lesson import (
    GapMarked,
    PointMarked,
    PointOut,
    PutInOrder,
    Question,
    QuestionKind,
    ShimThickness,
)
from trainer.session.as_left import Plain, StrangeValueError, take_text, take_texts
from trainer.session.bench import Bench
from trainer.session.teaching import Answer, Outcome, find_verdict_name, shuffle_parts
from trainer.session.typed import THICKEST_MM
from trainer.session.wrong_move import TriedMove, find_gone, try_move
from trainer.words import Words
from trainer.words.telling import tell_clearance, tell_part, tell_piece, tell_step
from trainer.words.telling_shims import tell_shim_shortly

THICKEST_PACK_MM = MOST_SHIMS * THICKEST_MM
STATES = {
    Verdict.FREE: LineState.FREE,
    Verdict.WRONG_PRACTICE: LineState.FREE,
    Verdict.REPEATED: LineState.FREE,
    Verdict.REFUSED: LineState.REFUSED,
    Verdict.CONSEQUENCE: LineState.FOLLOWS,
}


class AnswerControl(QWidget):
    """What a learner answers with.

    `ready` carries the answer; `pointed` the pieces to show as (lit, in the way, whether to name them);
    `tried` a move that was refused, to be played; `proof_asked` what a mark rests on: a move, or a clearance by name.
    """

    ready = Signal(object)
    pointed = Signal(object, object, bool)
    tried = Signal(object)
    proof_asked = Signal(object)

    def __init__(self, words: Words, bench: Bench) -> None:
        super().__init__()
        self.words, self.bench = words, bench
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(GAP_PX)
        self.feedback = Box("rightBox")
        self.feedback.setAccessibleName(words.say("window.feedback"))

    def _finish(self) -> None:
        self.mark = make_button(self.words.say("window.mark"), self.send, name="main")
        self.column.addWidget(self.mark)
        self.column.addWidget(self.feedback)

    def send(self) -> None:
        """Hand the answer in, or say what is wrong with it."""
        try:
            answer = self.read()
        except RefusalError as error:
            self.refuse(str(error))
            return
        self.ready.emit(answer)

    def read(self) -> Answer:
        """Read the answer. Raises RefusalError with what to mend."""
        raise TypeError(f"{type(self).__name__} reads no answer")

    def show_outcome(self, outcome: Outcome) -> None:
        """Show how it went, and why."""
        raise TypeError(f"{type(self).__name__} shows no {type(outcome).__name__}")

    def describe(self) -> Plain:
        """Describe what is answered so far, as it stands."""
        raise TypeError(f"{type(self).__name__} describes no answer")

    def fill(self, value: Plain) -> None:
        """Answer as was described before. Raises StrangeValueError for what is no answer to this question."""
        raise TypeError(f"{type(self).__name__} takes no answer {value!r}")

    def take_pick(self, piece: str) -> bool:
        """Take a piece that was picked in the picture; False when this question does not ask for one."""
        del piece
        return False

    def tell(self, text: str, *, right: bool) -> None:
        """Say how the answer went; the word above the text says it, too, not the colour alone."""
        heading = self.words.say("window.is-right" if right else "window.is-wrong")
        self.feedback.tell(text, name="rightBox" if right else "cautionBox", heading=heading)

    def refuse(self, text: str) -> None:
        """Say why an answer was not marked at all."""
        self.feedback.tell(text, name="cautionBox", heading=self.words.say("window.not-marked"))


class OrderControl(AnswerControl):
    """Put parts in order by dragging, with keys or two buttons; after marking each line carries its reason."""

    def __init__(
        self, words: Words, bench: Bench, question: PutInOrder, chance: random.Random
    ) -> None:
        super().__init__(words, bench)
        self._steps: dict[str, MarkedStep] = {}
        self._marked: Marked | None = None
        self.list = OrderList(words.say("window.order-list"))
        parts = shuffle_parts(question, chance)
        self.list.fill(parts, [self._name(part) for part in parts])
        self.list.currentItemChanged.connect(lambda *_: self._point())
        self.hint = make_label("small", words.say("window.order-hint"))
        self.earlier = make_button(words.say("window.order-earlier"), lambda: self.list.shift(-1))
        self.later = make_button(words.say("window.order-later"), lambda: self.list.shift(+1))
        row = Flow(GAP_PX // 2, GAP_PX // 2, fills=True)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.earlier)
        row.addWidget(self.later)
        self.column.addWidget(self.hint)
        self.column.addWidget(self.list)
        self.column.addLayout(row)
        self.again = make_button(
            words.say("replay.again"),
            self._point,
            spoken=words.say("replay.again-spoken"),
            sign="play",
        )
        self.again.hide()
        self.proof = make_button(
            words.say("proof.button"),
            lambda: self.proof_asked.emit(self._find_claim()),
            spoken=words.say("proof.move-spoken"),
        )
        self.proof.hide()
        shown = QHBoxLayout()
        shown.addWidget(self.again)
        shown.addWidget(self.proof)
        self.column.addLayout(shown)
        self._finish()

    def _name(self, name: str) -> str:
        build = self.bench.build
        if name in build.places:
            many = f"part.{name}.many"
            several = len(build.places[name]) > 1 and self.words.has(many)
            return self.words.say(many) if several else tell_part(self.words, name)
        return tell_piece(self.words, build, name)

    def read(self) -> Answer:
        """Read the lines from top to bottom."""
        return self.list.read_names()

    def describe(self) -> Plain:
        """Describe the order of the lines."""
        return self.list.read_names()

    def fill(self, value: Plain) -> None:
        """Put the lines in the order they stood in."""
        names = take_texts(value)
        if sorted(names) != sorted(self.list.read_names()):
            raise StrangeValueError("other lines")
        self.list.fill(names, [self._name(name) for name in names])

    def show_outcome(self, outcome: Outcome) -> None:
        """Give each line its verdict and reason, and go to the first that was refused."""
        if not isinstance(outcome, Marked):
            raise TypeError("an order is marked as an order")
        self._steps.clear()
        self._marked = outcome
        verdicts = {part: self._judge(part, outcome) for part in self.list.read_names()}
        self.list.set_verdicts(verdicts)
        states = [verdict.state for verdict in verdicts.values()]
        first_bad = states.index(LineState.REFUSED) if LineState.REFUSED in states else 0
        wrong = sum(step.verdict is Verdict.REFUSED for step in outcome.steps)
        text = self.words.count("mark.wrong", wrong) if wrong else self.words.say("mark.right")
        score = self.words.say("window.score", score=self.words.number(100 * outcome.score, 0))
        self.tell(f"{text}\n\n{score}", right=not wrong)
        QTimer.singleShot(0, self.list.fit_height)  # once the lines know their new width
        self.list.setCurrentRow(first_bad)
        self._point()

    def _judge(self, part: str, outcome: Marked) -> LineVerdict:
        """Judge a line by the worst that befell one of its pieces."""
        pieces = self.bench.find_pieces(part)
        steps = [step for step in outcome.steps if step.piece in pieces]
        worst = max(steps, key=lambda step: list(STATES).index(step.verdict))
        if isinstance(worst.found, Refused):
            self._steps[part] = worst
        state = STATES[worst.verdict]
        why = tell_step(self.words, self.bench.build, worst)
        return LineVerdict(state, self.words.say(f"mark.verdict-{find_verdict_name(worst)}"), why)

    def _point(self) -> None:
        """Show in the picture what the chosen line speaks of, and how far it got if it was refused."""
        row = self.list.currentRow()
        if row < 0:
            return
        part = self.list.read_names()[row]
        pieces = frozenset(self.bench.find_pieces(part))
        step = self._steps.get(part)
        refused = step.found if step and isinstance(step.found, Refused) else None
        self.again.setVisible(refused is not None)
        self.proof.setVisible(self._find_claim() is not None)
        if step is None or refused is None or self._marked is None:
            self.pointed.emit(pieces, frozenset(), False)
            return
        self.pointed.emit(pieces, refused.hindrance - pieces, True)
        self.tried.emit(self._find_claim())

    def _find_claim(self) -> TriedMove | None:
        """Find the move that the mark of the chosen line rests on; of several pieces the one that was refused, or the first."""
        row = self.list.currentRow()
        if self._marked is None or row < 0:
            return None
        part = self.list.read_names()[row]
        pieces = self.bench.find_pieces(part)
        step = self._steps.get(part) or next(
            one for one in self._marked.steps if one.piece in pieces
        )
        if step.found is None:
            return None
        return try_move(self.bench.assembly, step.found, find_gone(self._marked, step.piece))


class PointControl(AnswerControl):
    """Point a part out by picking it in the picture."""

    def __init__(
        self, words: Words, bench: Bench, question: PointOut, chance: random.Random
    ) -> None:
        super().__init__(words, bench)
        del chance, question
        self._piece = ""
        self.chosen: QLabel = make_label("small", words.say("window.point-none"))
        self.column.addWidget(self.chosen)
        self._finish()
        self.mark.setEnabled(False)

    def take_pick(self, piece: str) -> bool:
        """Take the picked piece as the answer; its name is not given away."""
        self._piece = piece
        self.chosen.setText(self.words.say("window.point-chosen"))
        self.mark.setEnabled(True)
        self.feedback.tell("")
        self.pointed.emit(frozenset({piece}), frozenset(), False)
        return True

    def read(self) -> Answer:
        """Read the piece that was picked."""
        return self._piece

    def describe(self) -> Plain:
        """Describe which piece was picked."""
        return self._piece

    def fill(self, value: Plain) -> None:
        """Pick the piece that was picked."""
        piece = take_text(value)
        if piece and piece not in self.bench.build.pieces:
            raise StrangeValueError("no such piece")
        if piece:
            self.take_pick(piece)

    def show_outcome(self, outcome: Outcome) -> None:
        """Say what was picked, and show where the part is."""
        if not isinstance(outcome, PointMarked):
            raise TypeError("a pointing is marked as a pointing")
        picked, wanted = (tell_part(self.words, part) for part in (outcome.picked, outcome.wanted))
        key = "window.point-right" if outcome.is_right else "window.point-wrong"
        self.tell(self.words.say(key, picked=picked, wanted=wanted), right=outcome.is_right)
        if not outcome.is_right:
            # What was picked is no longer what is lit.
            self.chosen.setText(self.words.say("window.point-again"))
        self.pointed.emit(frozenset(self.bench.find_pieces(outcome.wanted)), frozenset(), True)


class ThicknessControl(AnswerControl):
    """Give a total thickness of shims."""

    def __init__(
        self, words: Words, bench: Bench, question: ShimThickness, chance: random.Random
    ) -> None:
        super().__init__(words, bench)
        del chance
        clearance = bench.clearance(question.clearance)
        low, high = (words.millimetres(value) for value in clearance.required_mm)
        pack = " + ".join(tell_shim_shortly(words, shim) for shim in question.with_pack_mm)
        given = Box("box", tell_clearance(words, clearance.name))
        given.tell(
            words.say(
                "window.shim-given",
                aim=words.millimetres(clearance.aim_mm),
                low=low,
                high=high,
                found=words.millimetres(question.found_gap_mm),
                pack=f"{pack} = {words.millimetres(sum(question.with_pack_mm))}",
            )
        )
        self._unit = words.unit
        self.field = QLineEdit()
        self.field.setAccessibleName(words.say("window.shim-field"))
        self.field.setMaxLength(24)
        self.field.returnPressed.connect(self.send)
        row = QHBoxLayout()
        row.addWidget(self.field, 1)
        row.addWidget(make_label(text=tell_typed_unit(words)))
        label = make_label(text=words.say("window.shim-field"))
        label.setBuddy(self.field)
        self.column.addWidget(given)
        self.column.addWidget(label)
        self.column.addLayout(row)
        self._finish()
        told = words.say("proof.button-spoken", name=tell_clearance(words, clearance.name))
        self.proof = make_button(
            words.say("proof.button"),
            lambda: self.proof_asked.emit(clearance.name),
            spoken=told,
        )
        self.proof.hide()
        self.column.addWidget(self.proof)

    def read(self) -> Answer:
        """Read the thickness; a comma counts as a decimal point here, since nothing else is on the line."""
        typed = self.field.text().strip()
        key = "window.no-number" if typed else "window.no-thickness"
        return read_typed_mm(self.words, typed.replace(",", "."), key, (0.0, THICKEST_PACK_MM))

    def describe(self) -> Plain:
        """Describe what is typed, with the unit it was typed in: it may be read while another is on the screen."""
        return add_unit(self.field.text(), self._unit)

    def fill(self, value: Plain) -> None:
        """Type what was typed."""
        self.field.setText(take_text(value))

    def show_outcome(self, outcome: Outcome) -> None:
        """Say the truth and which way the answer was off."""
        if not isinstance(outcome, GapMarked):
            raise TypeError("a thickness is marked as a thickness")
        key = "window.shim-thick" if outcome.off_mm > 0 else "window.shim-thin"
        if outcome.is_right:
            key = "window.shim-right"
        text = self.words.say(
            key,
            truth=self.words.millimetres(outcome.truth_mm),
            off=self.words.millimetres(abs(outcome.off_mm)),
        )
        self.tell(text, right=outcome.is_right)
        self.proof.show()


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
