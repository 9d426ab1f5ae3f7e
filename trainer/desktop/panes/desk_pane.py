"""How the window is shown: in what light, how large its letters are, and in what unit lengths are written."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QPushButton, QWidget

from trainer.desktop.flow import Flow
from trainer.desktop.pieces import GAP_PX, Pane, make_button, make_label
from trainer.desktop.theme import TEXT_PERCENTS
from trainer.words import LengthUnit, Words

WITH_WINDOW = "window"
"""Letters grow with the window, so that a class reads them from the back."""


class Row(QWidget):
    """Some buttons of which one stays down; `chosen` carries its name when a hand changes it."""

    chosen = Signal(str)

    def __init__(self, spoken: str, names: Sequence[str], texts: Sequence[str]) -> None:
        super().__init__()
        self.setAccessibleName(spoken)
        flow = Flow(GAP_PX // 2, GAP_PX // 2)
        flow.setContentsMargins(0, 0, 0, 0)
        self.setLayout(flow)
        self._group = QButtonGroup(self)
        self.buttons: dict[str, QPushButton] = {}
        for name, text in zip(names, texts, strict=True):
            button = make_button(
                text, partial(self.chosen.emit, name), spoken=f"{spoken}: {text}", checkable=True
            )
            self._group.addButton(button)
            self.buttons[name] = button
            flow.addWidget(button)

    @property
    def name(self) -> str:
        """Which one is down; "" for none."""
        return next((name for name, one in self.buttons.items() if one.isChecked()), "")

    def choose(self, name: str) -> None:
        """Put one down without telling."""
        self.buttons[name].setChecked(True)


class DeskPane(Pane):
    """Choose how all is shown; each choice counts at once and is kept."""

    left = Signal()

    def __init__(self, words: Words) -> None:
        super().__init__(words.say("desk.pane"))
        self._words = words
        self.column.addWidget(make_label("paneTitle", words.say("desk.title")))
        sizes = [str(percent) for percent in TEXT_PERCENTS]
        self.text = self.add_row(
            "desk.text",
            [WITH_WINDOW, *sizes],
            [words.say("desk.text-window"), *(words.say("desk.percent", number=one) for one in sizes)],
        )  # fmt: skip
        self.units = self.add_row(
            "desk.units", list(LengthUnit), [words.say(f"desk.units-{unit}") for unit in LengthUnit]
        )
        self.column.addStretch(1)
        self.column.addWidget(make_label("small", words.say("desk.privacy")))
        self.done = make_button(words.say("desk.done"), self.left.emit)
        self.foot_row.addWidget(self.done)
        self.foot.show()

    def add_row(self, key: str, names: Sequence[str], texts: Sequence[str], place: int = -1) -> Row:
        """Add a row of choices below its heading, with a line below it that says what follows from it.

        Args:
            key: of the heading; `KEY-told` is the line below.
            names: what is chosen, one a button.
            texts: what stands on the buttons.
            place: before which row it stands; below all unless given.
        """
        row = Row(self._words.say(key), names, texts)
        widgets = (
            make_label("heading", self._words.say(key)),
            row,
            make_label("small", self._words.say(f"{key}-told")),
        )
        at = self.column.count() if place < 0 else 1 + 3 * place
        for number, widget in enumerate(widgets):
            self.column.insertWidget(at + number, widget)
        return row
