"""The parts of what stands on the bench: a list to search, and the card of the part that was chosen.

Where the pane is low, list and card take turns; where it is high they stand one above the other.
"""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QSplitter, QVBoxLayout, QWidget

from trainer.desktop.hinted import HintedEdit
from trainer.desktop.panes.part_card import PartCard
from trainer.desktop.panes.parts_model import GroupRows
from trainer.desktop.panes.parts_tree import PartsTree
from trainer.desktop.pieces import GAP_PX, MARGIN_PX, make_button, make_label, set_text
from trainer.session.finding import Entry, find_parts
from trainer.words import Words

HIGH_LINES = 40
"""From so many lines of its letters on, a pane is high enough for list and card at once."""
MOST_TYPED = 80


class PartsPane(QWidget):
    """Find a part by number or name, in the list or by typing.

    gone_to: a part was gone to in the list, to be lit. taken: one was taken, to show its card too.
    """

    gone_to = Signal(str)
    taken = Signal(str)

    def __init__(self, words: Words, card: PartCard) -> None:
        super().__init__()
        self._words, self.card = words, card
        self._entries: Sequence[Entry] = ()
        self.setAccessibleName(words.say("finding.pane"))
        self.search = HintedEdit()
        self.search.setAccessibleName(words.say("finding.search"))
        self.search.setPlaceholderText(words.say("finding.search-hint"))
        self.search.setToolTip(words.say("finding.search-tip"))
        self.search.setMaxLength(MOST_TYPED)
        self.search.textChanged.connect(self._search)
        self.search.returnPressed.connect(self._take_best)
        self.search.installEventFilter(self)
        self.turn = make_button(
            words.say("finding.card"), self._turn, spoken=words.say("finding.card-spoken")
        )
        self.note = make_label("small")
        self.tree = PartsTree(words)
        self.tree.taken.connect(self.taken)
        self.tree.gone_to.connect(self.gone_to)
        self.split = QSplitter(Qt.Orientation.Vertical)
        self.split.setChildrenCollapsible(False)
        self.listing = self._make_list()
        self.split.addWidget(self.listing)
        self.split.addWidget(card)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self._make_head())
        whole.addWidget(self.split, 1)
        self._is_list = True
        self._fit()

    def _make_head(self) -> QWidget:
        head = QFrame()
        head.setObjectName("paper")
        column = QVBoxLayout(head)
        column.setContentsMargins(MARGIN_PX, GAP_PX, MARGIN_PX, GAP_PX)
        column.setSpacing(GAP_PX // 2)
        row = QHBoxLayout()
        row.setSpacing(GAP_PX // 2)
        row.addWidget(self.search, 1)
        row.addWidget(self.turn)
        column.addLayout(row)
        column.addWidget(self.note)
        return head

    def _make_list(self) -> QWidget:
        around = QFrame()
        around.setObjectName("paper")
        column = QVBoxLayout(around)
        column.setContentsMargins(MARGIN_PX, 0, MARGIN_PX, GAP_PX)
        column.addWidget(self.tree)
        return around

    # ------------------------------------------------------------------ what it lists
    def fill(self, groups: Sequence[GroupRows]) -> None:
        """List what stands on the bench; what is typed goes on being searched for."""
        self._entries = [
            Entry(row.part, row.number, row.name, group.name)
            for group in groups
            for row in group.rows
        ]
        self.tree.parts.fill(groups)
        self._search()

    def show_part(self, part: str) -> None:
        """Make a part the current line; where the search leaves it out, the search is ended."""
        if part and self.search.text() and not self.tree.parts.find(part).isValid():
            self.search.clear()
        self.tree.go_to(part)

    def _search(self) -> None:
        """List what fits; where nothing does, say so and list what is near."""
        typed = self.search.text()
        found = find_parts(typed, self._entries)
        fits = found.fits or found.near
        part = self.tree.part
        self.tree.parts.show_only(set(fits) if typed.strip() else None)
        told = ""
        if not found.fits and self._entries:
            key = "finding.near" if found.near else "finding.nothing"
            told = self._words.say(key, typed=typed.strip())
        set_text(self.note, told)
        if typed.strip():
            self.show_list()
            # The best one is ready to be taken with Enter; nothing is lit before that.
            self.tree.go_to(fits[0] if fits else "")
        else:
            self.tree.go_to(part)

    def _take_best(self) -> None:
        if self.tree.part:
            self.taken.emit(self.tree.part)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Let the down key go from the search to the list, and Escape end the search."""
        if watched is self.search and isinstance(event, QKeyEvent):
            is_pressed = event.type() == QEvent.Type.KeyPress
            if is_pressed and event.key() == Qt.Key.Key_Down:
                self.show_list()
                self.tree.setFocus(Qt.FocusReason.OtherFocusReason)
                return True
            if event.key() == Qt.Key.Key_Escape and self.search.text():
                # Asked beforehand whether it wants the key, it says so: else the window's own Escape has it.
                event.accept()
                if is_pressed:
                    self.search.clear()
                return True
        return super().eventFilter(watched, event)

    # ------------------------------------------------------------------ list and card
    @property
    def is_high(self) -> bool:
        """Is there room for list and card at once?"""
        return self.height() >= HIGH_LINES * self.fontMetrics().height()

    def find_part(self) -> None:
        """Go to the search, with all that is typed chosen."""
        self.show_list()
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.search.selectAll()

    def show_list(self) -> None:
        """Show the list; where there is no room for both, in the place of the card."""
        self._is_list = True
        self._fit()

    def show_card(self) -> None:
        """Show the card; where there is no room for both, in the place of the list."""
        self._is_list = False
        self._fit()

    def _turn(self) -> None:
        self._is_list = not self._is_list
        self._fit()
        if self._is_list:
            self.tree.setFocus(Qt.FocusReason.OtherFocusReason)

    def _fit(self) -> None:
        """Show list, card or both."""
        both = self.is_high
        held_keys = self.tree.hasFocus() and not both and not self._is_list
        self.listing.setVisible(both or self._is_list)
        self.card.setVisible(both or not self._is_list)
        self.turn.setVisible(not both)
        self.note.setVisible(bool(self.note.text()) and (both or self._is_list))
        if held_keys:  # else the keys would go to some tool above the picture
            self.turn.setFocus(Qt.FocusReason.OtherFocusReason)
        key = "finding.card" if self._is_list else "finding.to-list"
        self.turn.setText(self._words.say(key))
        spoken = self._words.say(f"{key}-spoken")
        self.turn.setAccessibleName(spoken)
        self.turn.setToolTip(spoken)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show both where there is room now."""
        super().resizeEvent(event)
        self._fit()
