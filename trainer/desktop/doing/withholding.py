"""Keep parts out of sight, see through them, or leave some alone; a set goes as one unless a single piece is meant."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from enum import StrEnum
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPoint, Qt, Signal
from PySide6.QtWidgets import QMenu, QWidgetAction

from trainer.desktop.picture.hands import HandTold
from trainer.desktop.picture.withheld_row import WithheldRow
from trainer.desktop.pieces import make_label
from trainer.session.withheld import ALL_SHOWN, Withheld
from trainer.words.speech import begin

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow


class Way(StrEnum):
    """In which way a part is withheld."""

    GLASS = "glass"
    AWAY = "away"
    ALONE = "alone"


LETTERS: Mapping[Way, Qt.Key] = {
    Way.GLASS: Qt.Key.Key_G,
    Way.AWAY: Qt.Key.Key_O,
    Way.ALONE: Qt.Key.Key_A,
}


class Withholding(QObject):
    """Hold what is withheld in the window's picture; `changed` tells that it is another.

    It outlives motion, cuts, choices and steps; of another pump it keeps what that has by the same name.
    """

    changed = Signal()

    def __init__(self, window: PumpWindow) -> None:
        super().__init__(window)
        self._window = window
        self.state = ALL_SHOWN
        self.row = WithheldRow(window.words)
        window.add_row(self.row)
        self.row.brought_back.connect(self.bring_back)
        self.row.alone_ended.connect(lambda: self.take(self.state.end_alone()))
        self.row.all_asked.connect(self.show_all)
        window.view.menu_asked.connect(self._open_menu)
        window.came.connect(lambda: self.take(self.state.keep_known(self._known)))
        showing = window.part.showing
        showing.asked.connect(lambda way: self.change(Way(way), self._find_on_card()))
        showing.singly.connect(self._show_on_card)
        showing.closer_asked.connect(lambda: window.view.come_closer(self._find_on_card()))
        self.changed.connect(self._show_on_card)
        window.part.shown.connect(self._show_on_card)
        self._add_keys()

    def _add_keys(self) -> None:
        view = self._window.view
        for way, key in LETTERS.items():
            letter = key.name[-1].lower()
            does = f"seeing.does-{way}"
            told = HandTold(f"seeing.how-{letter}", does)
            view.add_letter(key, partial(self.change_chosen, way), told)
            told = HandTold(f"seeing.how-shift-{letter}", f"{does}-singly")
            view.add_letter(key, partial(self.change_chosen, way, singly=True), told, shift=True)
            self._window.add_key(f"Ctrl+Shift+{letter}", partial(self.change_chosen, way))
        told = HandTold("seeing.how-e", "seeing.does-show-all")
        view.add_letter(Qt.Key.Key_E, self.show_all, told)
        self._window.add_key("Ctrl+Shift+E", self.show_all)
        told = HandTold("seeing.how-menu", "seeing.does-menu-chosen")
        view.add_letter(Qt.Key.Key_Menu, self._open_menu_of_chosen, told)

    # ------------------------------------------------------------------ what is withheld
    @property
    def _known(self) -> frozenset[str]:
        sets = self._window.naming.sets if self._window.standing else {}
        return frozenset(name for names in sets.values() for name in names)

    def take(self, state: Withheld) -> None:
        """Withhold just what a state says."""
        self.state = state
        hidden = state.find_hidden(self._known)
        self._window.view.set_withheld(hidden, state.glass)
        naming = self._window.naming if self._window.standing else None
        self.row.show_withheld(state, naming)
        self.changed.emit()

    def find_way(self, pieces: Iterable[str]) -> Way | None:
        """Find in which way all of some pieces are withheld; None where they are not, or not alike."""
        names = frozenset(pieces)
        held = {
            Way.GLASS: self.state.glass,
            Way.AWAY: self.state.away,
            Way.ALONE: self.state.alone,
        }
        return next((way for way, those in held.items() if names and names <= those), None)

    def change(self, way: Way, pieces: Iterable[str]) -> None:
        """Withhold pieces in a way; those that are withheld so already come back."""
        names = frozenset(pieces) & self._known
        if not names:
            return
        if self.find_way(names) is way:
            self.take(self.state.end_alone() if way is Way.ALONE else self.state.bring_back(names))
            return
        deeds = {
            Way.GLASS: self.state.turn_to_glass,
            Way.AWAY: self.state.put_away,
            Way.ALONE: self.state.leave_alone,
        }
        # What is spoken of is always shown.
        self._speak_no_more_of(self._known - names if way is Way.ALONE else names)
        self.take(deeds[way](names))

    def change_chosen(self, way: Way, *, singly: bool = False) -> None:
        """Withhold what is chosen: the whole sets of it, or just those pieces."""
        chosen = self._window.pointing.find_chosen()
        self.change(way, chosen if singly else self.find_sets(chosen))

    def bring_back(self, pieces: Iterable[str]) -> None:
        """Show pieces again as they are."""
        self.take(self.state.bring_back(pieces))

    def show_all(self) -> None:
        """Show everything again as it is."""
        self.take(ALL_SHOWN)

    def find_sets(self, pieces: Iterable[str]) -> frozenset[str]:
        """Find all pieces of the parts that some pieces are of."""
        naming = self._window.naming
        parts = {naming.find_part(name) for name in frozenset(pieces) & self._known}
        return frozenset(name for part in parts for name in naming.sets[part])

    def _speak_no_more_of(self, names: frozenset[str]) -> None:
        """Take the light off pieces."""
        view = self._window.view
        marks = replace(
            view.marks, lit=view.marks.lit - names, in_the_way=view.marks.in_the_way - names
        )
        view.set_marks(marks, {name: tag for name, tag in view.tags.items() if name not in names})

    # ------------------------------------------------------------------ the card's buttons
    def _find_on_card(self) -> frozenset[str]:
        card = self._window.part
        if not card.piece:
            return frozenset()
        one = frozenset({card.piece})
        return one if card.showing.is_single else self.find_sets(one)

    def _show_on_card(self) -> None:
        window = self._window
        piece = window.part.piece
        alike = self.find_sets({piece}) if piece and window.standing else frozenset()
        way = self.find_way(self._find_on_card()) if alike else None
        window.part.showing.show_state(way or "", len(alike))

    # ------------------------------------------------------------------ the menu
    def _open_menu_of_chosen(self) -> None:
        view = self._window.view
        chosen = sorted(self._window.pointing.find_chosen())
        at = view.find_middle(chosen[0]).toPoint() if chosen else view.rect().center()
        self._open_menu(chosen[0] if chosen else "", view.mapToGlobal(at))

    def _open_menu(self, piece: str, at: QPoint) -> None:
        if self._window.standing is not None:
            self.make_menu(piece).popup(at)

    def make_menu(self, piece: str) -> QMenu:
        """Make the menu of what can be done with a piece, or with the picture where piece is ""."""
        words, view = self._window.words, self._window.view
        menu = QMenu(view)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        if piece:
            alike = self.find_sets({piece})
            self._fill_menu(menu, alike)
            if len(alike) > 1:
                told = self._window.naming.tell_piece(piece)
                single = menu.addMenu(words.say("seeing.menu-single", part=told))
                self._fill_menu(single, frozenset({piece}))
            menu.addSeparator()
        everything = menu.addAction(words.say("seeing.show-all"))
        everything.setEnabled(self.state != ALL_SHOWN)
        everything.triggered.connect(lambda _checked=False: self.show_all())
        whole = menu.addAction(words.say("seeing.menu-whole"))
        whole.triggered.connect(lambda _checked=False: self._window.fit_view())
        return menu

    def _fill_menu(self, menu: QMenu, pieces: frozenset[str]) -> None:
        words, window = self._window.words, self._window
        name = window.naming.tell_pieces(pieces)
        head = QWidgetAction(menu)
        label = make_label("menuHead", begin(name))
        label.setWordWrap(False)
        head.setDefaultWidget(label)
        menu.addAction(head)
        card = menu.addAction(words.say("seeing.menu-card"))
        card.triggered.connect(lambda _checked=False: window.view.picked.emit(min(pieces)))
        closer = menu.addAction(words.say("seeing.menu-closer"))
        closer.triggered.connect(lambda _checked=False: window.view.come_closer(pieces))
        for way in Way:
            act = menu.addAction(words.say(f"seeing.{way}"))
            act.setCheckable(True)
            act.setChecked(self.find_way(pieces) is way)
            act.triggered.connect(lambda _checked=False, way=way: self.change(way, pieces))
