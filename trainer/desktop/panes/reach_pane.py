"""What must come off to reach a part: from which end, the steps with what must be done before each, and the motion."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QPushButton

from trainer.desktop.panes.step_list import StepLine, StepList
from trainer.desktop.pieces import (
    GAP_PX,
    Box,
    Pane,
    make_button,
    make_choice,
    make_label,
    set_text,
)
from trainer.desktop.signs import set_sign
from trainer.words import Words

ENDS = ("suction", "drive")


class ReachPane(Pane):
    """Show the ways to a part.

    end_asked: another end is to be come from. together_asked: begin with the pump together, or as it
    stands. play_asked: go on or hold. left: the pump is to stand as it did before.
    """

    end_asked = Signal(str)
    together_asked = Signal(bool)
    play_asked = Signal()
    left = Signal()

    def __init__(self, words: Words) -> None:
        super().__init__(words.say("reaching.pane"))
        self._words = words
        self.title = make_label("paneTitle")
        self.told = make_label()
        self.ends = {
            end: make_button(
                words.say(f"reaching.from-{end}"),
                partial(self.end_asked.emit, end),
                checkable=True,
            )
            for end in ENDS
        }
        self.starts = {
            is_together: make_button(
                words.say(f"reaching.start-{name}"),
                partial(self.together_asked.emit, is_together),
                spoken=words.say(f"reaching.start-{name}-spoken"),
                checkable=True,
            )
            for is_together, name in ((False, "as-is"), (True, "together"))
        }
        self.note = Box("box")
        self.steps = StepList(words.say("reaching.steps"))
        self.caution = make_label("small", words.say("order.safety"))
        self.play = make_button(
            words.say("reaching.play"), self.play_asked.emit, name="main", sign="play"
        )
        self.back = make_button(
            words.say("reaching.back"), self.left.emit, spoken=words.say("reaching.back-spoken")
        )
        self._arrange()

    def _arrange(self) -> None:
        self.column.addWidget(self.title)
        self.column.addWidget(self.told)
        self._choices: list[QPushButton] = []
        for buttons in (list(self.starts.values()), list(self.ends.values())):
            self.column.addLayout(make_choice(buttons, self, GAP_PX // 2))
            self._choices += buttons
        self.column.addWidget(self.note)
        self.column.addWidget(self.steps)
        self.column.addWidget(self.caution)
        self.column.addStretch(1)
        self.foot_row.addWidget(self.back)
        self.foot_row.addWidget(self.play, 1)
        self.foot.show()

    # ------------------------------------------------------------------ what it says
    def begin(self, part: str, *, can_choose_start: bool, is_together: bool) -> None:
        """Say what is looked for, until it is found."""
        set_text(self.title, self._words.say("reaching.title", part=part))
        set_text(self.told, self._words.say("reaching.looking"))
        self.note.tell("")
        for button in self.ends.values():
            button.hide()
        for together, button in self.starts.items():
            button.setVisible(can_choose_start)
            button.setChecked(together == is_together)
        self._show_steps(())

    def say(self, text: str) -> None:
        """Say why there are no steps."""
        set_text(self.told, "")
        self.note.tell(text)
        self._show_steps(())

    def show_ends(self, counts: Mapping[str, int | None], chosen: str) -> None:
        """Offer the ends with how many steps there are from each; None where no way leads from there."""
        for end, button in self.ends.items():
            button.setVisible(end in counts)
            count = counts.get(end)
            text = self._words.say(f"reaching.from-{end}")
            if count is None:
                spoken = self._words.say("reaching.no-way", end=text)
            else:
                spoken = self._words.count("reaching.from-end", count, end=text)
            button.setText(text if count is None else f"{text}: {count}")
            button.setEnabled(count is not None)
            button.setChecked(end == chosen)
            button.setAccessibleName(spoken)
            button.setToolTip(spoken)

    def show_steps(self, lines: Sequence[StepLine], *, is_shortest: bool) -> None:
        """Show the steps, the part itself as the last line."""
        before = len(lines) - 1
        key = "reaching.at-once" if before == 0 else "reaching.count"
        told = self._words.count(key, before) if before else self._words.say(key)
        set_text(self.told, told)
        self.note.tell("" if is_shortest else self._words.say("reach.not-shortest"))
        self._show_steps(lines)

    def _show_steps(self, lines: Sequence[StepLine]) -> None:
        self.steps.fill(lines)
        self.steps.setVisible(bool(lines))
        self.caution.setVisible(bool(lines))
        self.play.setEnabled(bool(lines))
        self.show_playing(is_playing=False)

    def show_done(self, done: int) -> None:
        """Tick what has come off, and keep what comes next in view."""
        self.steps.set_done(done)
        row = self.steps.visualItemRect(self.steps.item(min(done, self.steps.count() - 1)))
        inside = self.scroller.widget()
        assert inside is not None
        middle = self.steps.mapTo(inside, row.center())
        self.scroller.ensureVisible(middle.x(), middle.y(), 0, row.height())

    def show_playing(self, *, is_playing: bool) -> None:
        """Name the main button by what it does now."""
        key = "window.pause" if is_playing else "reaching.play"
        self.play.setText(self._words.say(key))
        set_sign(self.play, "pause" if is_playing else "play")
