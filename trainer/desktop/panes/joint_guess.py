"""The joints of somebody's assembly: guessed or said, to be let go, changed or added."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from models.spec.joint import JointKind
from trainer.core.order.guess import GuessedJoint
from trainer.desktop.completing import NameCompleter
from trainer.desktop.pieces import GAP_PX, Choice, make_button, make_label, set_text
from trainer.session.step_bench import StepBench
from trainer.session.step_form import CARRYING, JointSaid
from trainer.words import Words
from trainer.words.naming import StepNaming
from trainer.words.telling_step import list_tools, tell_one_joint

LINES = 8
"""How many lines of joints are seen at once."""


@dataclass(frozen=True, slots=True)
class TypedJoint:
    """A joint as it was typed, to be read as a form is: names of pieces or parts, with commas between."""

    kind: str
    first: str
    second: str
    tool: str
    press: str


class JointGuess(QWidget):
    """List joints and edit one; what is let go or typed is told, and judged by whoever hears it."""

    let_go = Signal(object)
    taken_back = Signal(object)
    typed = Signal(object, object)
    pointed = Signal(object)

    def __init__(self, words: Words) -> None:
        super().__init__()
        self._words = words
        self._joints: list[GuessedJoint | JointSaid] = []
        self.list = QListWidget()
        self.list.setAccessibleName(words.say("guess.joints"))
        self.list.setWordWrap(True)
        self.list.setObjectName("guesses")
        self.list.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.list.currentRowChanged.connect(self._choose)
        self.drop = make_button(words.say("guess.let-go"), self._drop)
        self.add = make_button(words.say("guess.add"), self._begin_new)
        self.kind = Choice(words.say("guess.joint-kind"), least_letters=4)
        kinds = [JointKind.BOLTED, *CARRYING]
        self.kind.fill(kinds, [words.say(f"guess.joint-{kind}") for kind in kinds])
        self.first, self.second, self.tool, self.press = (QLineEdit() for _ in range(4))
        self._labels = {name: make_label("small") for name in ("first", "second", "tool", "press")}
        self.apply = make_button(words.say("guess.apply"), self._apply)
        self.kind.currentIndexChanged.connect(lambda _row: self._label_fields())
        self._arrange()
        self._label_fields()

    def changeEvent(self, event: QEvent) -> None:
        """Let as many lines be seen with large letters as with small ones."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.StyleChange, QEvent.Type.FontChange):
            self.list.setFixedHeight(LINES * self.fontMetrics().height())

    def _arrange(self) -> None:
        words = self._words
        self._editor = QWidget()
        self._editor.setObjectName("clear")
        grid = QGridLayout(self._editor)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(GAP_PX // 2)
        label = make_label("small", words.say("guess.joint-kind"))
        label.setBuddy(self.kind)
        grid.addWidget(label, 0, 0)
        grid.addWidget(self.kind, 0, 1)
        for row, (name, field) in enumerate(self._fields.items(), start=1):
            self._labels[name].setBuddy(field)
            grid.addWidget(self._labels[name], row, 0)
            grid.addWidget(field, row, 1)
        grid.addWidget(self.apply, len(self._fields) + 1, 0, 1, 2)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_PX // 2)
        row_of = QHBoxLayout()
        row_of.addWidget(self.drop)
        row_of.addWidget(self.add)
        column.addWidget(self.list)
        column.addLayout(row_of)
        column.addWidget(self._editor)
        self._editor.hide()

    @property
    def _fields(self) -> dict[str, QLineEdit]:
        return {"first": self.first, "second": self.second, "tool": self.tool, "press": self.press}

    def _label_fields(self) -> None:
        """Call the fields what the form calls them for this kind of joint."""
        words, is_bolted = self._words, self.kind.name == JointKind.BOLTED
        keys = (
            {"first": "by", "second": "holds"}
            if is_bolted
            else {"first": "carrier", "second": "carried"}
        )
        for name, field in self._fields.items():
            text = words.say(f"guess.field-{keys.get(name, name)}", unit=words.unit)
            set_text(self._labels[name], text)
            field.setAccessibleName(text)
            is_shown = not is_bolted or name in keys
            field.setVisible(is_shown)
            self._labels[name].setVisible(is_shown)

    def show_bench(self, bench: StepBench, naming: StepNaming) -> None:
        """List the joints in force, then those that were let go."""
        words = self._words
        gone = [joint for joint in bench.form.joints if not joint.members]
        row = self.list.currentRow()
        self._joints = [*bench.joints, *gone]
        self._label_fields()
        self.list.blockSignals(True)  # the same line stays chosen
        self.list.clear()
        for joint in self._joints:
            if joint.members:
                told = tell_one_joint(words, naming.named, joint)
                key = (
                    "guess.joint-guessed" if isinstance(joint, GuessedJoint) else "guess.joint-said"
                )
            else:
                here = [name for name in joint.by if name in bench.assembly.by_name]
                told = naming.tell_pieces(here) if here else ", ".join(joint.by)
                key = "guess.joint-gone"
            text = words.say(key, joint=told)
            item = QListWidgetItem(text)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, text)
            self.list.addItem(item)
        self.list.setCurrentRow(min(row, len(self._joints) - 1))
        self.list.blockSignals(False)
        # A part of which there is one has its name in common with its piece.
        names = list(dict.fromkeys([*bench.sets, *bench.assembly.by_name]))
        for field in (self.first, self.second):
            field.setCompleter(NameCompleter(names, field))
        self._show_joint()

    @property
    def _chosen(self) -> GuessedJoint | JointSaid | None:
        row = self.list.currentRow()
        return self._joints[row] if 0 <= row < len(self._joints) else None

    def _choose(self, _row: int) -> None:
        """Show the joint that a hand has chosen, and light what it joins."""
        self._show_joint()
        joint = self._chosen
        if joint is not None:
            self.pointed.emit(frozenset((*joint.members, *joint.by)))

    def _show_joint(self) -> None:
        joint = self._chosen
        self.drop.setEnabled(joint is not None)
        self._editor.setVisible(joint is not None)
        if joint is None:
            return
        key = "guess.let-go" if isinstance(joint, GuessedJoint) else "guess.as-guessed-again"
        self.drop.setText(self._words.say(key))
        self.drop.setAccessibleName(self.drop.text())
        self.kind.choose(joint.kind)
        bolted = joint.kind is JointKind.BOLTED
        first, second = (
            (joint.by, joint.members) if bolted else (joint.members[:1], joint.members[1:])
        )
        self.first.setText(", ".join(first))
        self.second.setText(", ".join(second))
        self.tool.setText(list_tools(self._words).get(joint.tool, joint.tool))
        press = joint.interference_mm if isinstance(joint, JointSaid) else 0.0
        self.press.setText(self._words.millimetres(press, 4) if press else "")

    def _begin_new(self) -> None:
        """Begin a joint that nobody guessed."""
        self.list.setCurrentRow(-1)
        self.kind.choose(JointKind.BOLTED)
        for field in self._fields.values():
            field.clear()
        self._editor.show()
        self.first.setFocus()

    def _drop(self) -> None:
        joint = self._chosen
        if isinstance(joint, GuessedJoint):
            self.let_go.emit(joint)
        elif joint is not None:
            self.taken_back.emit(joint)

    def _apply(self) -> None:
        typed = TypedJoint(self.kind.name, *(field.text() for field in self._fields.values()))
        self.typed.emit(self._chosen, typed)
