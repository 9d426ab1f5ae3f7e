"""How fast the pump comes apart by itself, and whether it waits where something must be done first."""

from __future__ import annotations

from enum import StrEnum

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from trainer.desktop.flow import Flow
from trainer.desktop.pieces import GAP_PX, Choice, make_button
from trainer.words import Words

READ_WORDS_PER_S = 2.5
"""How fast a class reads a warning on the wall; 150 words a minute is our own choice, on the slow side."""
LOOK_UP_S = 1.5
"""Time to notice that there is something to read."""
LONGEST_S = 15.0


class Pace(StrEnum):
    """How fast it goes by itself."""

    SLOW = "slow"
    USUAL = "usual"
    FAST = "fast"


SECONDS_PER_STEP = {Pace.SLOW: 3.0, Pace.USUAL: 1.5, Pace.FAST: 0.7}


def find_reading_s(text: str) -> float:
    """Find how long a warning must stand to be read, in seconds; 0 for none."""
    count = len(text.split())
    return min(LOOK_UP_S + count / READ_WORDS_PER_S, LONGEST_S) if count else 0.0


class PaceControls(QWidget):
    """Choose the pace, and whether to wait at warnings; `changed` carries the pace, `waits_changed` the other."""

    changed = Signal(str)
    waits_changed = Signal(bool)

    def __init__(self, words: Words) -> None:
        super().__init__()
        self._choice = Choice(words.say("motion.pace-spoken"))
        self._choice.setToolTip(words.say("motion.pace-spoken"))
        self._choice.fill(list(Pace), [words.say(f"motion.pace-{pace}") for pace in Pace])
        self._choice.choose(Pace.USUAL)
        self._choice.currentIndexChanged.connect(lambda _: self.changed.emit(self.pace.value))
        self._wait = make_button(
            words.say("motion.wait"),
            lambda: self.waits_changed.emit(self.waits),
            spoken=words.say("motion.wait-spoken"),
            checkable=True,
        )
        row = Flow(GAP_PX // 2, GAP_PX // 2, likes_one_row=True)
        row.setContentsMargins(0, 0, 0, 0)
        self.setLayout(row)
        row.addWidget(self._wait)
        row.addWidget(self._choice)

    @property
    def pace(self) -> Pace:
        """How fast it goes."""
        return Pace(self._choice.name or Pace.USUAL)

    @property
    def seconds_per_step(self) -> float:
        """How long one step takes."""
        return SECONDS_PER_STEP[self.pace]

    @property
    def waits(self) -> bool:
        """Does it stand still at every warning until it is told to go on?"""
        return self._wait.isChecked()

    def set_pace(self, name: str) -> None:
        """Choose a pace by its name; one that is not known changes nothing."""
        if name in list(Pace):
            self._choice.choose(name)

    def set_waits(self, waits: bool) -> None:  # noqa: FBT001 - a state, and the only argument
        """Wait at every warning until told to go on, or go on once it can have been read."""
        if waits != self.waits:
            self._wait.setChecked(waits)
            self.waits_changed.emit(waits)

    def toggle_waits(self) -> None:
        """Change whether it waits."""
        self.set_waits(not self.waits)

    def change(self, by: int) -> None:
        """Go faster or slower by one."""
        paces = list(Pace)
        at = paces.index(self.pace) + by
        self.set_pace(paces[min(max(at, 0), len(paces) - 1)])
