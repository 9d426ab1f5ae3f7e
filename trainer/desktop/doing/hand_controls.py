"""Buttons and keys to take parts off by hand, and to put them back."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QKeySequence, QShortcut

from trainer.desktop.picture.hands import HandTold
from trainer.desktop.pieces import make_button

if TYPE_CHECKING:
    from trainer.desktop.doing.dragging import Dragging
    from trainer.desktop.window import PumpWindow

ARROWS = {"Left": (-1, 0), "Right": (1, 0), "Up": (0, -1), "Down": (0, 1)}


class HandControls:
    """Set the buttons above the picture, and let keys do the same."""

    def __init__(self, window: PumpWindow, dragging: Dragging) -> None:
        self._window, self._dragging = window, dragging
        say = window.words.say
        self.take_off = make_button(
            say("dragging.take-off"), dragging.pull_chosen, spoken=say("dragging.take-off-spoken")
        )
        self.back = make_button("", dragging.undo, spoken=say("dragging.undo-spoken"), sign="undo")
        self.again = make_button("", dragging.redo, spoken=say("dragging.redo-spoken"), sign="redo")
        self.all_back = make_button(
            say("dragging.all-back"), dragging.put_all_back, spoken=say("dragging.all-back-spoken")
        )
        window.tools.add_gap()
        for button in (self.take_off, self.back, self.again, self.all_back):
            window.tools.addWidget(button)
        self._add_keys()
        self.show()

    def _add_keys(self) -> None:
        view, dragging = self._window.view, self._dragging
        letters: tuple[tuple[Qt.Key, str, Callable[[], object]], ...] = (
            (Qt.Key.Key_T, "t", dragging.pull_chosen),
            (Qt.Key.Key_T, "shift-t", partial(dragging.pull_chosen, alike=True)),
            (Qt.Key.Key_D, "d", partial(dragging.choose_way, +1)),
            (Qt.Key.Key_D, "shift-d", partial(dragging.choose_way, -1)),
        )
        for hand in ("drag", "shift-drag", "click-arrow"):
            view.told.append(HandTold(f"dragging.how-{hand}", f"dragging.does-{hand}"))
        for key, name, act in letters:
            told = HandTold(f"dragging.how-{name}", f"dragging.does-{name}")
            view.add_letter(key, act, told, shift=name.startswith("shift"))
        for name, to in ARROWS.items():
            shortcut = QShortcut(QKeySequence(f"Alt+{name}"), view)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(partial(dragging.pull_towards, QPointF(*to)))
        view.told.append(HandTold("dragging.how-alt-arrows", "dragging.does-alt-arrows"))
        self._window.add_key("Ctrl+Z", dragging.undo)
        self._window.add_key("Ctrl+Shift+Z", dragging.redo)

    def show(self) -> None:
        """Offer what can be done as the pump stands."""
        dragging, hand = self._dragging, self._dragging.hand
        chosen = dragging.find_chosen()
        is_off = hand is not None and bool(chosen) and hand.is_off(chosen)
        card = self._window.part
        card.show_off(is_off=hand is not None and bool(card.piece) and hand.is_off(card.piece))
        self._window.motion.show_by_hand(len(hand.moves) if hand is not None else 0)
        self.take_off.setEnabled(bool(chosen) and (is_off or bool(dragging.find_pulls(chosen))))
        key = "dragging.put-back" if is_off else "dragging.take-off"
        self.take_off.setText(self._window.words.say(key))
        self.back.setEnabled(hand is not None and hand.can_undo)
        self.again.setEnabled(hand is not None and hand.can_redo)
        self.all_back.setEnabled(hand is not None and bool(hand.moves))
        self._window.view.update()
