"""The row above the picture that lists what is withheld: each entry brings its part back when it is pressed."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QMenu, QPushButton, QVBoxLayout

from trainer.desktop.flow import Flow
from trainer.desktop.pieces import GAP_PX, MARGIN_PX, make_button, make_label
from trainer.session.withheld import ALL_SHOWN, Withheld
from trainer.words import Words
from trainer.words.naming import Naming
from trainer.words.speech import begin

MOST_ENTRIES = 6
"""So many parts have an entry of their own; the others stand in one menu."""
KINDS = ("alone", "away", "glass")


class WithheldRow(QFrame):
    """List what is withheld, part by part; hidden while all is shown."""

    brought_back = Signal(object)
    alone_ended = Signal()
    all_asked = Signal()

    def __init__(self, words: Words) -> None:
        super().__init__()
        self._words = words
        self.entries: list[QPushButton] = []
        self._row = Flow(GAP_PX // 2, GAP_PX // 2)
        self._row.setContentsMargins(MARGIN_PX, 0, MARGIN_PX, GAP_PX // 2)
        self._heads = {kind: make_label("heading") for kind in KINDS}
        for label in self._heads.values():
            label.setWordWrap(False)
            label.setAlignment(Qt.AlignmentFlag.AlignVCenter)
        self.all = make_button(
            words.say("seeing.show-all"),
            self.all_asked.emit,
            name="link",
            spoken=words.say("seeing.show-all-spoken"),
        )
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addLayout(self._row)
        self.setAccessibleName(words.say("seeing.withheld"))
        self.show_withheld(ALL_SHOWN, None)

    def show_withheld(self, withheld: Withheld, naming: Naming | None) -> None:
        """List what is withheld, in the order in which parts are listed."""
        self._clear()
        room = MOST_ENTRIES
        for kind in KINDS:
            sets = [] if naming is None else list_sets(naming, getattr(withheld, kind))
            if not sets or naming is None:
                continue
            label = self._heads[kind]
            label.setText(self._words.say(f"seeing.{kind}-head"))
            self._row.addWidget(label)
            label.show()
            self._add_entries(kind, sets, naming, max(room, 1))
            room -= len(sets)
        if self.entries:
            self._row.addWidget(self.all)
            self.all.show()
        self.setVisible(bool(self.entries))

    def _add_entries(
        self, kind: str, sets: list[tuple[str, ...]], naming: Naming, room: int
    ) -> None:
        words = self._words
        if kind == "alone":
            pieces = [name for names in sets for name in names]
            text = naming.tell_pieces(pieces)
            spoken = words.say("seeing.end-alone", part=text)
            self._add_entry(text, spoken).clicked.connect(lambda _checked=False: self._end_alone())
            return
        shown = sets if len(sets) <= room else sets[: room - 1]
        for names in shown:
            text = naming.tell_pieces(names)
            entry = self._add_entry(text, words.say("seeing.bring-back", part=text))
            entry.clicked.connect(lambda _checked=False, names=names: self._bring_back(names))
        rest = sets[len(shown) :]
        if rest:
            entry = self._add_entry(
                words.count("seeing.more", len(rest)),
                words.count("seeing.more-spoken", len(rest)),
                sign="",
            )
            menu = QMenu(entry)
            for names in rest:
                text = naming.tell_pieces(names)
                act = menu.addAction(begin(text))
                act.triggered.connect(lambda _checked=False, names=names: self._bring_back(names))
            entry.setMenu(menu)

    def _add_entry(self, text: str, spoken: str, sign: str = " ×") -> QPushButton:
        entry = make_button(begin(text) + sign, lambda: None, name="entry", spoken=spoken)
        self._row.addWidget(entry)
        self.entries.append(entry)
        return entry

    def _bring_back(self, names: Iterable[str]) -> None:
        self._keep_keyboard()
        self.brought_back.emit(frozenset(names))

    def _end_alone(self) -> None:
        self._keep_keyboard()
        self.alone_ended.emit()

    def _keep_keyboard(self) -> None:
        """Hand the keyboard on before the entry that has it goes."""
        if self.all.isVisible():
            self.all.setFocus()

    def _clear(self) -> None:
        while self._row.takeAt(0) is not None:
            pass
        for label in self._heads.values():
            label.hide()
        self.all.hide()
        for entry in self.entries:
            entry.hide()
            entry.deleteLater()
        self.entries = []


def list_sets(naming: Naming, pieces: Iterable[str]) -> list[tuple[str, ...]]:
    """List pieces part by part, in the order in which parts are listed."""
    wanted = frozenset(pieces)
    found = (tuple(name for name in names if name in wanted) for names in naming.sets.values())
    return [names for names in found if names]
