"""Tell all keys and gestures: those of the window from its real shortcuts, those of the picture from its own list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QAbstractButton

from trainer.desktop.panes.keys_pane import KeysPane
from trainer.desktop.pieces import make_button

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow

KEY = "F1"
PLAIN = QKeySequence.SequenceFormat.PortableText


class Keys:
    """Join the list of keys to the window."""

    def __init__(self, window: PumpWindow) -> None:
        self._window = window
        words = window.words
        self.pane = KeysPane(words)
        window.add_pane("keys", self.pane, window.close_pane)
        self.button = make_button("?", self.show, spoken=words.say("desk.keys-open"))
        window.head_row.addWidget(self.button)
        window.add_key(KEY, self.show)
        self.pane.left.connect(window.close_pane)

    def show(self) -> None:
        """Show the list as it is now, or leave it."""
        window, words = self._window, self._window.words
        if window.pane == "keys":
            window.close_pane()
            return
        picture = [(words.say(one.how), words.say(one.does)) for one in window.view.told]
        self.pane.list_all(
            [
                # Who asks for the first time wants to know how the pump is turned.
                (words.say("desk.keys-picture"), picture),
                (words.say("desk.keys-anywhere"), self.list_keys()),
            ]
        )
        window.show_pane("keys")

    def list_keys(self) -> list[tuple[str, str]]:
        """List the window's keys, each with what the button says that it stands for, or with words of its own.

        Raises:
            KeyError: there are no words for a key.
        """
        window = self._window
        buttons = window.findChildren(QAbstractButton)
        told = []
        anywhere = Qt.ShortcutContext.WindowShortcut  # those of the picture stand in its own list
        for shortcut in window.findChildren(QShortcut):
            for sequence in shortcut.keys() if shortcut.context() is anywhere else ():
                key = sequence.toString(PLAIN)
                mark = f" ({key})"
                named = (one.accessibleName() for one in buttons)
                does = next((name.replace(mark, "") for name in named if mark in name), "")
                told.append(
                    (key, does or window.words.say(f"desk.key-{key.lower().replace('+', '-')}"))
                )
        return told
