"""Before a practical: who does it, who watches, what is done on which pump; and the ones that were held before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QListWidgetItem, QVBoxLayout, QWidget

from trainer.desktop.asking.lines import LineList
from trainer.desktop.panes.person_field import PersonField
from trainer.desktop.pieces import GAP_PX, Box, Choice, make_button, make_label, set_text
from trainer.records import SignOff
from trainer.words import Words
from trainer.words.speech import begin
from trainer.words.telling import tell_pump
from trainer.words.telling_practical import tell_name

FEW_LETTERS = 12


class HeldList(LineList):
    """Practicals that were signed off, the newest first."""

    may_be_heavy = False


class BeginPage(QWidget):
    """Ask what a practical needs to begin.

    person_named: somebody does it who is kept, and may have done others. held_chosen: one that was signed off is to be
    seen. changed: something is chosen.
    """

    person_named = Signal(str)
    held_chosen = Signal(object)
    changed = Signal()
    pump_asked = Signal()

    def __init__(self, words: Words) -> None:
        super().__init__()
        self.setObjectName("clear")
        self._words = words
        self._held: Mapping[str, SignOff] = {}
        self.lead = make_label("small", words.say("observing.lead"))
        self.caution = Box("cautionBox", words.say("window.caution"))
        self.note = Box("box")
        self.person = PersonField(words, words.say("practical.person"))
        self.observer = PersonField(words, words.say("practical.observer"))
        self.missing = make_label("small", words.say("observing.missing"))
        self.what = Choice(words.say("observing.what"), FEW_LETTERS)
        what = make_label("heading", words.say("observing.what"))
        what.setBuddy(self.what)
        self.pump = make_label()
        self.other = make_button(
            words.say("observing.other-pump"), self.pump_asked.emit, name="link"
        )
        self.held_title = make_label("heading", words.say("observing.held"))
        self.held = HeldList(words.say("observing.held"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP_PX)
        pump = make_label("heading", words.say("observing.pump"))
        for widget in (self.lead, self.note, self.person, self.observer, self.missing, what, self.what, pump, self.pump, self.other, self.caution, self.held_title, self.held):  # fmt: skip
            column.addWidget(widget)
        self.person.changed.connect(self._follow)
        self.observer.changed.connect(self._ask_names)
        self.what.currentIndexChanged.connect(lambda _row: self.changed.emit())
        self.held.itemClicked.connect(self._choose)
        self.held.itemActivated.connect(self._choose)
        self.caution.tell(words.say("caution.procedure"))
        self._follow()

    def show_pump(self, build: str, procedures: Sequence[str]) -> None:
        """Show the pump on the bench, by its build's name, and what can be done on it."""
        names = [begin(self._words.say(f"procedure.{name}")) for name in procedures]
        self.what.fill(procedures, names)
        set_text(self.pump, tell_pump(self._words, build) if build else "")
        self.changed.emit()

    def list_people(self, people: Sequence[str]) -> None:
        """List who is kept."""
        for field in (self.person, self.observer):
            field.list_people(people)
        self._follow()

    def tell(self, text: str, *, is_wrong: bool = False) -> None:
        """Say what is being looked up, or what stands in the way."""
        self.note.tell(text, name="cautionBox" if is_wrong else "box")

    @property
    def is_filled(self) -> bool:
        """Is all there that a practical needs to begin?"""
        return bool(self.person.name and self.observer.name and self.what.name)

    def _follow(self) -> None:
        """Ask what the one who was chosen has done before."""
        self.show_held(self.person.name, ())
        if self.person.is_kept:
            self.person_named.emit(self.person.name)
        self._ask_names()

    def _ask_names(self) -> None:
        """Say why it cannot begin as long as a name is missing."""
        self.missing.setVisible(not (self.person.name and self.observer.name))
        self.changed.emit()

    def show_held(self, person: str, held: Sequence[SignOff]) -> None:
        """Show what somebody has done before, the newest first, unless another is chosen by now."""
        if person != self.person.name:
            return
        self._held = {str(one.id): one for one in held}
        self.held.setAccessibleName(self._words.say("observing.held-spoken", person=person))
        self.held.fill(list(self._held), [self._tell(one) for one in held])
        self.held.setCurrentRow(-1)
        for widget in (self.held_title, self.held):
            widget.setVisible(bool(held))

    def _tell(self, signed: SignOff) -> str:
        words = self._words
        return words.say(
            "observing.held-line",
            day=f"{signed.when.astimezone():%Y-%m-%d}",
            what=tell_name(words, signed.practical),
            pump=tell_pump(words, signed.build),
            outcome=words.say(f"observing.{'passed' if signed.passed else 'failed'}"),
            observer=signed.observer,
        )

    def _choose(self, item: QListWidgetItem) -> None:
        self.held_chosen.emit(self._held[str(item.data(Qt.ItemDataRole.UserRole))])
