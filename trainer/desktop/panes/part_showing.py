"""The buttons on the card that say how its part is shown: seen through, out of sight, alone; come closer to it."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from trainer.desktop.flow import Flow
from trainer.desktop.pieces import GAP_PX, make_button
from trainer.words import Words

WAYS = ("glass", "away", "alone")


class PartShowing(QWidget):
    """Ask for a way of showing the part, of all of its kind or of the one piece."""

    asked = Signal(str)
    singly = Signal()
    closer_asked = Signal()

    def __init__(self, words: Words) -> None:
        super().__init__()
        row = Flow(GAP_PX // 2, GAP_PX // 2)
        row.setContentsMargins(0, 0, 0, 0)
        self.setLayout(row)
        self.ways = {
            way: make_button(
                words.say(f"seeing.{way}"),
                partial(self.asked.emit, way),
                spoken=words.say(f"seeing.{way}-spoken"),
                checkable=True,
                name="pack",
            )
            for way in WAYS
        }
        self.closer = make_button(
            "",
            self.closer_asked.emit,
            spoken=words.say("seeing.closer-spoken"),
            name="pack",
            sign="closer",
        )
        self.single = make_button(
            words.say("seeing.single"),
            self.singly.emit,
            spoken=words.say("seeing.single-spoken"),
            checkable=True,
            name="pack",
        )
        for button in (*self.ways.values(), self.closer, self.single):
            row.addWidget(button)
        self.show_state("", 0)

    @property
    def is_single(self) -> bool:
        """Is only the one piece meant, not all of its kind?"""
        return self.single.isChecked()

    def show_state(self, way: str, alike: int) -> None:
        """Show in which way the part is withheld ("" for none), and how many pieces of its kind there are."""
        for name, button in self.ways.items():
            button.setChecked(name == way)
        self.single.setVisible(alike > 1)
        if alike <= 1:
            self.single.setChecked(False)
        self.setVisible(alike > 0)
