"""Tell what a person must know that belongs to no pane: a strip below the head, until it is read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from trainer.desktop.band import Band
from trainer.desktop.pieces import GAP_PX, MARGIN_PX, make_button, make_label
from trainer.desktop.speaking import speak

if TYPE_CHECKING:
    from trainer.desktop.window_frame import WindowFrame


class Noticing:
    """Show notices, one below the other; one button takes all away."""

    def __init__(self, window: WindowFrame) -> None:
        self._told: list[str] = []
        self.strip = QFrame()
        self.strip.setObjectName("notice")
        self.text = make_label()
        self.done = make_button(window.words.say("desk.notice-done"), self.clear)
        row = QHBoxLayout(self.strip)
        row.setContentsMargins(MARGIN_PX, GAP_PX // 2, MARGIN_PX, GAP_PX // 2)
        row.setSpacing(GAP_PX)
        told = QWidget()
        told.setObjectName("clear")
        inside = QVBoxLayout(told)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.addWidget(self.text)
        self.band = Band(told)
        self.band.setObjectName("clear")
        row.addWidget(self.band, 1)
        row.addWidget(self.done)
        self.strip.hide()
        window.add_strip(self.strip)

    def tell(self, text: str) -> None:
        """Tell something; told twice it stands there once."""
        if text in self._told:
            return
        self._told.append(text)
        self.text.setText("\n".join(self._told))
        self.text.show()
        self.strip.show()
        speak(self.strip, text)

    def clear(self) -> None:
        """Take the strip away."""
        self._told = []
        self.strip.hide()
