"""Name what the pointer is over, and take the eye where hands ask for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from trainer.desktop.picture.hands import HandTold
from trainer.desktop.picture.pointed import PointedTag
from trainer.words.speech import begin

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow


class Pointing:
    """Look after the pointer over the window's picture."""

    def __init__(self, window: PumpWindow) -> None:
        self._window = window
        self.tag = PointedTag()
        view = window.view
        view.tracings.append(self.tag)
        view.hovered.connect(self._name)
        view.turned.connect(window.above.forget_view)
        view.whole_asked.connect(window.fit_view)
        told = HandTold("seeing.how-c", "seeing.does-closer-chosen")
        view.add_letter(Qt.Key.Key_C, self.come_to_chosen, told)

    def come_to_chosen(self) -> None:
        """Come closer to what is spoken of, else to the part on the card."""
        self._window.view.come_closer(self.find_chosen())

    def find_chosen(self) -> frozenset[str]:
        """Find the pieces that are chosen: those that are lit, else the one on the card; none before one was."""
        lit = self._window.view.marks.lit
        card = self._window.part.piece
        return lit or (frozenset({card}) if card else frozenset())

    def _name(self, piece: str) -> None:
        window = self._window
        # While a part is to be pointed out or named, its name under the pointer would give the answer away.
        is_told = piece and window.standing and not window.answering.keeps_names
        text = window.naming.tell_piece(piece) if is_told else ""
        self.tag.point(begin(text), window.view.pointer)
        window.view.update()
