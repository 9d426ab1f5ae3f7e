"""Point at a part: in the picture, or by its number there."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtGui import QIntValidator
from PySide6.QtWidgets import QHBoxLayout, QLineEdit

from models.spec.errors import RefusalError
from trainer.desktop.asking.form import Asking, FormControl, show_pieces
from trainer.desktop.pieces import make_button, make_label, set_text
from trainer.lesson.item import Field, Pointed, Reply, Shown
from trainer.lesson.marking import FieldMark
from trainer.session.as_left import Plain, StrangeValueError, take_text

MOST_DIGITS = 3


class PointForm(FormControl):
    """Point a part out by picking it in the picture or by typing its number; its name is not given away.

    numbers_asked: the numbers are to be put on the picture.
    """

    def __init__(self, asking: Asking, field: Field) -> None:
        super().__init__(asking, field)
        assert isinstance(field.form, Pointed)
        self.form, words = field.form, self.words
        self._piece = ""
        self._find_numbers: Callable[[], Mapping[str, int]] = dict
        self.chosen = make_label("small", words.say("window.point-none"))
        self.number = QLineEdit()
        self.number.setAccessibleName(words.say("answering.point-number"))
        self.number.setMaxLength(MOST_DIGITS)
        self.number.setValidator(QIntValidator(0, 10**MOST_DIGITS - 1, self.number))
        self.number.textEdited.connect(lambda _text: self._take_number())
        self.number.returnPressed.connect(self.entered)
        label = make_label(text=words.say("answering.point-number"))
        label.setBuddy(self.number)
        self.show_numbers = make_button(words.say("answering.show-numbers"), lambda: None)
        row = QHBoxLayout()
        row.addWidget(label, 1)
        row.addWidget(self.number)
        self.column.addWidget(self.chosen)
        self.column.addLayout(row)
        self.column.addWidget(self.show_numbers)
        self.column.addWidget(self.found)

    def set_numbers(
        self, find: Callable[[], Mapping[str, int]], show: Callable[[], object]
    ) -> None:
        """Take how parts are numbered in the picture, and what puts the numbers there."""
        self._find_numbers = find
        self.show_numbers.clicked.connect(lambda _checked=False: show())

    def take_pick(self, piece: str) -> bool:
        """Take the picked piece as the answer."""
        self._take(piece)
        part = self.form.parts.get(piece, "")
        number = self._find_numbers().get(part)
        self.number.setText("" if number is None else str(number))
        self.changed.emit()
        return True

    def _take(self, piece: str) -> None:
        self._piece = piece
        if self.is_marked:
            self.forget_mark()
        set_text(
            self.chosen, self.words.say("window.point-chosen" if piece else "window.point-none")
        )
        self.spoken_of.emit(show_pieces(*self._find_lit(piece)))

    def _find_lit(self, piece: str) -> tuple[str, ...]:
        """Light a piece, or of a part that was given by its number all."""
        if piece in self.form.parts:
            return (piece,)
        return tuple(one for one, part in self.form.parts.items() if part == piece)

    def _take_number(self) -> None:
        typed = self.number.text().strip()
        numbers = {str(number): part for part, number in self._find_numbers().items()}
        part = numbers.get(typed, "")
        self._take(part if part in self.form.parts.values() else "")
        if typed and not self._piece:
            set_text(self.chosen, self.words.say("answering.no-such-number", number=typed))
        self.changed.emit()

    def read(self) -> Reply:
        """Read the piece that was picked, or the part of the number; "" where nothing was."""
        if self.number.text().strip() and not self._piece:
            raise RefusalError(
                self.words.say("answering.no-such-number", number=self.number.text().strip())
            )
        return self._piece

    def describe(self) -> Plain:
        """Describe what was picked."""
        return self._piece

    def fill(self, value: Plain) -> None:
        """Pick what was picked."""
        piece = take_text(value)
        if piece and piece not in {*self.form.parts, *self.form.parts.values()}:
            raise StrangeValueError("no such piece")
        if piece:
            self._take(piece)

    def show_mark(self, mark: FieldMark) -> None:
        """Say what was picked, and show where the part is."""
        super().show_mark(mark)
        if not mark.is_right:
            # What was picked is no longer what is lit.
            set_text(self.chosen, self.words.say("window.point-again"))
        self.spoken_of.emit(self.find_shown())

    def find_shown(self) -> Shown | None:
        """Show where the part is."""
        return show_pieces(*sorted(self.form.right)) if self.is_marked else None
