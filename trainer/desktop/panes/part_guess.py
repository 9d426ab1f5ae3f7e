"""What is said of one part of somebody's assembly: its name, what it is, whether it gives way, stays put or is left out."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QEvent, Signal
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from trainer.core.order.guess import Kind
from trainer.desktop.pieces import GAP_PX, Choice, make_button, make_label, set_text
from trainer.session.step_bench import StepBench
from trainer.session.step_form import PartSaid
from trainer.words import Words
from trainer.words.naming import StepNaming

AS_GUESSED = ""
YES_NO = {AS_GUESSED: None, "yes": True, "no": False}
WORK_LINES = 3


class PartGuess(QWidget):
    """Edit what is said of a part; every change is told at once by `changed`."""

    changed = Signal(str, object)

    def __init__(self, words: Words) -> None:
        super().__init__()
        self._words = words
        self.part = ""
        self._said = PartSaid()
        self._labels: dict[str, QWidget] = {}
        self._column = QVBoxLayout(self)
        self.title = make_label("large")
        self.why = make_label("small")
        self.name, self.many = QLineEdit(), QLineEdit()
        self.kind = Choice(words.say("guess.kind"), least_letters=4)
        self.flexible = Choice(words.say("guess.flexible"), least_letters=4)
        self.base, self.ignore = (
            make_button(words.say(f"guess.{name}"), self._tell, checkable=True)
            for name in ("base", "ignore")
        )
        self.before = QPlainTextEdit()
        self.again = make_button(words.say("guess.again"), self._forget)
        self._arrange()
        for field in (self.name, self.many):
            field.setMaxLength(300)
            field.editingFinished.connect(self._tell)
        for choice in (self.kind, self.flexible):
            choice.activated.connect(lambda _row: self._tell())
        self.before.setTabChangesFocus(True)
        self.take_work = make_button(words.say("guess.take-work"), self._tell)
        self.before.textChanged.connect(self._look_at_work)
        self._column.addWidget(self.take_work)
        self._column.addWidget(self.again)
        self.hide()

    def _arrange(self) -> None:
        words = self._words
        kinds = list(Kind)
        self.kind.fill(
            [AS_GUESSED, *kinds],
            [words.say("guess.as-guessed"), *(words.say(f"step.kind-{kind}") for kind in kinds)],
        )
        self.flexible.fill(
            list(YES_NO), [words.say(f"guess.flexible-{n or 'guess'}") for n in YES_NO]
        )
        grid = QGridLayout()
        grid.setSpacing(GAP_PX // 2)
        rows = (
            ("name", self.name),
            ("many", self.many),
            ("kind", self.kind),
            ("flexible", self.flexible),
        )
        for row, (key, field) in enumerate(rows):
            label = make_label("small", words.say(f"guess.{key}"))
            self._labels[key] = label
            label.setBuddy(field)
            field.setAccessibleName(words.say(f"guess.{key}"))
            grid.addWidget(label, row, 0)
            grid.addWidget(field, row, 1)
        column = self._column
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_PX // 2)
        column.addWidget(self.title)
        column.addWidget(self.why)
        column.addLayout(grid)
        both = QHBoxLayout()
        both.setSpacing(GAP_PX // 2)
        both.addWidget(self.base)
        both.addWidget(self.ignore)
        column.addLayout(both)
        work = make_label("small", words.say("guess.before"))
        work.setBuddy(self.before)
        self.before.setAccessibleName(words.say("guess.before"))
        self._fit_work()
        column.addWidget(work)
        column.addWidget(self.before)

    def show_part(self, bench: StepBench, naming: StepNaming, part: str) -> None:
        """Show a part, as the form has it now."""
        words, said = self._words, bench.said(part)
        self.part, self._said = part, said
        pieces = [piece for piece in bench.step.pieces if piece.part == part]
        is_in = part in naming.guesses
        title = naming.tell_part(part) if is_in else said.name or pieces[0].shown_part
        set_text(self.title, title)
        self.setAccessibleName(title)
        why = words.say("guess.left-out")
        if is_in:
            guess = naming.guesses[part]
            why = words.say(
                "guess.why",
                surety=words.say(f"step.surety-{guess.surety.value}"),
                kind=naming.tell_kind(part),
                why=naming.tell_why(part),
            )
        set_text(self.why, why)
        self.name.setText(said.name)
        self.name.setPlaceholderText(title)
        self.many.setText(said.many)
        self.many.setVisible(len(pieces) > 1)
        self._labels["many"].setVisible(len(pieces) > 1)
        self.kind.choose(said.kind or AS_GUESSED)
        self.flexible.choose(next(key for key, value in YES_NO.items() if value == said.flexible))
        self.base.setChecked(said.base or (is_in and bench.said_base == pieces[0].name))
        self.base.setEnabled(len(pieces) == 1)
        self.ignore.setChecked(said.ignore)
        if self.before.toPlainText().split("\n") != list(said.before):
            self.before.setPlainText("\n".join(said.before))
        self._look_at_work()
        self.again.setEnabled(said != PartSaid())
        self.show()

    def read(self) -> PartSaid:
        """Read what is entered."""
        lines = [line.strip() for line in self.before.toPlainText().splitlines()]
        return replace(
            self._said,
            name=self.name.text().strip(),
            many=self.many.text().strip(),
            kind=Kind(self.kind.name) if self.kind.name else None,
            flexible=YES_NO[self.flexible.name],
            base=self.base.isChecked(),
            ignore=self.ignore.isChecked(),
            before=tuple(line for line in lines if line),
        )

    def _fit_work(self) -> None:
        """Give what is written as much room with large letters as with small ones."""
        self.before.setFixedHeight(WORK_LINES * self.fontMetrics().lineSpacing() + 2 * GAP_PX)

    def changeEvent(self, event: QEvent) -> None:
        """Give it the room that its letters need."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.StyleChange, QEvent.Type.FontChange):
            self._fit_work()

    def _look_at_work(self) -> None:
        """Offer to take over what was typed of the work before, once it differs."""
        self.take_work.setVisible(self.read().before != self._said.before)

    def _forget(self) -> None:
        """Go back to what was guessed."""
        self._said = PartSaid()
        self.changed.emit(self.part, PartSaid())

    def _tell(self) -> None:
        said = self.read()
        if said != self._said:
            self._said = said
            self.changed.emit(self.part, said)
