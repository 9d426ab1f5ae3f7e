"""Give a number, with its unit or in the one that stands beside the field."""

from __future__ import annotations

import math

from PySide6.QtWidgets import QHBoxLayout, QLineEdit

from models.spec.errors import RefusalError
from trainer.desktop.asking.form import Asking, FormControl
from trainer.desktop.pieces import make_label
from trainer.desktop.typing_in import add_unit, read_typed_mm, tell_typed_unit
from trainer.lesson.item import Field, Number, Reply, Shown
from trainer.lesson.marking import UNITS, FieldMark, read_amount
from trainer.lesson.said import Quantity
from trainer.session.as_left import Plain, take_text

MOST_LETTERS = 24
LEAST_MM = 0.1
FAR = 10.0
"""A bare length so many times as large as what is looked for, rounded up to a power of ten, is in another unit."""
SHARE_SIGN = "%"


class NumberForm(FormControl):
    """Type a number; a comma counts as a decimal point here, since nothing else is on the line."""

    def __init__(self, asking: Asking, field: Field) -> None:
        super().__init__(asking, field)
        assert isinstance(field.form, Number)
        self.form = field.form
        self._unit = self.words.unit  # another may be chosen for the screen before it is left
        self.edit = QLineEdit()
        self.edit.setAccessibleName(self.spoken)
        self.edit.setMaxLength(MOST_LETTERS)
        self.edit.textEdited.connect(lambda _text: self._change())
        self.edit.returnPressed.connect(self.entered)
        self.asks.setBuddy(self.edit)
        row = QHBoxLayout()
        row.addWidget(self.edit, 1)
        self.unit = make_label(text=self._tell_unit())
        row.addWidget(self.unit)
        self.column.addLayout(row)
        self.column.addWidget(self.found)

    @property
    def _is_length(self) -> bool:
        return self.form.quantity is Quantity.LENGTH

    def _tell_unit(self) -> str:
        if self._is_length:
            return tell_typed_unit(self.words)
        if self.form.quantity is Quantity.SHARE:
            return SHARE_SIGN
        return self.words.say(f"amount.{self.form.quantity}", value="").strip()

    def read(self) -> Reply:
        """Read the number as typed, with the unit that it is meant in; "" where nothing was typed."""
        typed = self.edit.text().strip()
        if not typed:
            return ""
        if self._is_length and add_unit(typed, self._unit) != typed:
            # A bare number that is far from any that can be meant is asked back: it is in another unit.
            far_mm = 10.0 ** math.ceil(math.log10(FAR * max(abs(self.form.aim), LEAST_MM)))
            read_typed_mm(self.words, typed, "window.no-number", (-far_mm, far_mm))
            return add_unit(typed, self._unit)
        is_bare_share = self.form.quantity is Quantity.SHARE and SHARE_SIGN not in typed
        told = f"{typed} {SHARE_SIGN}" if is_bare_share else typed
        try:
            read_amount(told, self.form.quantity)
        except RefusalError as error:
            raise RefusalError(self._tell_fault(typed)) from error
        return told

    def _tell_fault(self, typed: str) -> str:
        if self._is_length:
            return self.words.say("window.no-number", typed=typed)
        units = ", ".join(UNITS[self.form.quantity]) or self.words.say("answering.no-unit")
        return self.words.say("answering.no-number", typed=typed, units=units)

    def show_mark(self, mark: FieldMark) -> None:
        """Say how it is worked out, and show what it is about."""
        super().show_mark(mark)
        self.spoken_of.emit(self.find_shown())

    def find_shown(self) -> Shown | None:
        """Show what it is about."""
        return self.form.shown if self.is_marked else None

    def describe(self) -> Plain:
        """Describe what is typed, with the unit it was typed in: it may be read while another is on the screen."""
        return add_unit(self.edit.text(), self._unit) if self._is_length else self.edit.text()

    def fill(self, value: Plain) -> None:
        """Type what was typed."""
        self.edit.setText(take_text(value))

    def _change(self) -> None:
        if self.is_marked:
            self.forget_mark()
        self.changed.emit()
