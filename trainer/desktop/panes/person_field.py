"""A field for a person: one who is kept in the records is chosen, somebody new is typed."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from trainer.desktop.hinted import HintedEdit
from trainer.desktop.pieces import GAP_PX, Choice, make_label
from trainer.words import Words

NEW = "\n"
"""Stands for somebody new: no name can be this."""
FEW_LETTERS = 8
LONGEST = 80


class PersonField(QWidget):
    """Hold a name. changed: it is another one."""

    changed = Signal()

    def __init__(self, words: Words, who: str) -> None:
        super().__init__()
        self.setObjectName("clear")
        self._words = words
        self._people: Sequence[str] = ()
        self.choice = Choice(who, FEW_LETTERS)
        self.edit = HintedEdit()
        self.edit.setAccessibleName(words.say("observing.new-spoken", who=who))
        self.edit.setPlaceholderText(words.say("observing.new-hint"))
        self.edit.setMaxLength(LONGEST)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_PX // 2)
        label = make_label("heading", who)
        label.setBuddy(self.choice)
        for widget in (label, self.choice, self.edit):
            column.addWidget(widget)
        self.choice.currentIndexChanged.connect(self._choose)
        self.edit.textChanged.connect(lambda _text: self.changed.emit())
        self.list_people(())

    def list_people(self, people: Sequence[str]) -> None:
        """List who is kept in the records; what is typed or chosen stays."""
        typed = self.edit.text().strip() if self._is_new else ""
        self._people = tuple(people)
        say = self._words.say
        texts = [say("observing.choose"), *people, say("observing.new")]
        self.choice.fill(["", *people, NEW], texts)
        self.choice.setVisible(bool(people))
        if typed:
            self.put(self.name if self._is_new else typed)
        self._choose()

    @property
    def name(self) -> str:
        """The name; "" for none. Somebody who is kept is called as the records call them, however it is typed."""
        if not self._is_new:
            return self.choice.name
        typed = " ".join(self.edit.text().split())
        kept = {one.casefold(): one for one in self._people}
        return kept.get(typed.casefold(), typed)

    @property
    def is_kept(self) -> bool:
        """Is it somebody who is kept in the records?"""
        return self.name in self._people

    def put(self, name: str) -> None:
        """Put a name in: chosen where it is kept, else typed."""
        if name in self._people:
            self.choice.choose(name)
        else:
            self.choice.choose(NEW if name else "")
            self.edit.setText(name)

    @property
    def _is_new(self) -> bool:
        return not self._people or self.choice.name == NEW

    def _choose(self) -> None:
        self.edit.setVisible(self._is_new)
        self.changed.emit()
