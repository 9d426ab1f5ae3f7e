"""Give each its own: of the choices one to every line."""

from __future__ import annotations

from collections.abc import Sequence
from string import ascii_lowercase

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout

from trainer.desktop.asking.form import Asking, FormControl
from trainer.desktop.asking.verdict_text import VerdictText
from trainer.desktop.pieces import GAP_PX, Choice, make_label
from trainer.lesson.item import Field, Pairs, Reply, Shown
from trainer.lesson.marking import FieldMark
from trainer.session.as_left import Plain, StrangeValueError, take_table, take_text
from trainer.words.speech import begin

SHORT_LETTERS = 26
"""Choices no longer than this are written out in every list; longer ones stand above, by their letters."""


class PairForm(FormControl):
    """Choose for every line from a list beside it; after marking each line carries its reason."""

    def __init__(self, asking: Asking, field: Field) -> None:
        super().__init__(asking, field)
        assert isinstance(field.form, Pairs)
        self.form = field.form
        told = [asking.tell_plain(one.said) for one in field.form.choices]
        is_short = max(map(len, told)) <= SHORT_LETTERS
        self.column.setSpacing(GAP_PX)
        if not is_short:
            self.column.addLayout(_list_lettered(told))
        lines = told if is_short else list(ascii_lowercase[: len(told)])
        names = ["", *(one.id for one in field.form.choices)]
        self.choices: dict[str, Choice] = {}
        self._whys: dict[str, VerdictText] = {}
        grid = QGridLayout()
        grid.setHorizontalSpacing(GAP_PX)
        grid.setVerticalSpacing(GAP_PX // 2)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)
        for number, one in enumerate(field.form.left):
            label = make_label(text=asking.tell_plain(one.said))
            choice = Choice(f"{self.spoken} {label.text()}", least_letters=6 if is_short else 3)
            choice.fill(names, [self.words.say("answering.pair-open"), *lines])
            for row, text in enumerate(told, 1):
                choice.setItemData(row, text, Qt.ItemDataRole.AccessibleTextRole)
            choice.activated.connect(lambda _row: self._change())
            label.setBuddy(choice)
            why = VerdictText()
            grid.addWidget(label, 2 * number, 0)
            grid.addWidget(choice, 2 * number, 1)
            grid.addWidget(why, 2 * number + 1, 0, 1, 2)
            self.choices[one.id], self._whys[one.id] = choice, why
        self.column.addLayout(grid)

    def read(self) -> Reply:
        """Read what was chosen, by line; lines that were left open are not in it."""
        return {left: choice.name for left, choice in self.choices.items() if choice.name}

    def describe(self) -> Plain:
        """Describe what was chosen."""
        return {left: choice.name for left, choice in self.choices.items()}

    def fill(self, value: Plain) -> None:
        """Choose what was chosen."""
        table = {left: take_text(name) for left, name in take_table(value).items()}
        if table.keys() != self.choices.keys() or not all(
            name in self.choices[left].names for left, name in table.items()
        ):
            raise StrangeValueError("other pairs")
        for left, name in table.items():
            self.choices[left].choose(name)

    def show_mark(self, mark: FieldMark) -> None:
        """Give each line its reason."""
        del mark
        self.is_marked = True
        for one in self.form.left:
            is_right = self.choices[one.id].name == self.form.right[one.id]
            self._whys[one.id].tell([(is_right, begin(self.asking.tell(one.why)))])
        self.spoken_of.emit(self.find_shown())

    def find_shown(self) -> Shown | None:
        """Show the first that was wrong."""
        if not self.is_marked:
            return None
        wrong = (
            one for one in self.form.left if self.choices[one.id].name != self.form.right[one.id]
        )
        first = next(wrong, None)
        return first.shown if first else None

    def forget_mark(self) -> None:
        """Let the lines carry no reasons any more."""
        super().forget_mark()
        for why in self._whys.values():
            why.tell(())

    def _change(self) -> None:
        if self.is_marked:
            self.forget_mark()
        self.changed.emit()


def _list_lettered(texts: Sequence[str]) -> QGridLayout:
    """List texts by their letters, which stand alone in a column."""
    grid = QGridLayout()
    grid.setHorizontalSpacing(GAP_PX)
    grid.setVerticalSpacing(GAP_PX // 2)
    grid.setColumnStretch(1, 1)
    for row, (letter, text) in enumerate(zip(ascii_lowercase, texts, strict=False)):
        grid.addWidget(make_label("letter", letter), row, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(make_label(text=text), row, 1)
    return grid
