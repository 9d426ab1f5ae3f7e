"""Try a move that may not be possible yet: the part goes as far as it gets, and what stops it is told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from trainer.desktop.picture.replay import Offsets, Replay
from trainer.session.step_move import StepMove
from trainer.session.wrong_move import TriedMove, try_move
from trainer.stage.marks import NO_MARKS, Marks
from trainer.words.tried import make_title, tell_tried

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow

NONE: frozenset[str] = frozenset()


class Trying:
    """Play tried moves in the window's picture."""

    def __init__(self, window: PumpWindow) -> None:
        self._window = window
        self._is_told = self._is_together = False
        self._before = NO_MARKS
        self.replay = Replay(window.view)
        self.replay.finished.connect(self._end)
        window.part.try_asked.connect(self.try_now)

    def stop(self) -> None:
        """Put everything back where it was; what is measured, too, is measured no more."""
        self.replay.stop()
        self._window.measuring.stop()

    def unsay(self) -> bool:
        """Say whether the bar below the picture still tells of a tried move; from now on it need not."""
        was_told, self._is_told = self._is_told, False
        return was_told

    def try_now(self, piece: str) -> None:
        """Try to take a piece off as the pump stands now, with what is off by slider and by hand."""
        window = self._window
        if window.ordered is None:
            return
        hand = window.dragging.hand
        if hand is None or hand.is_off(piece):
            return
        found = hand.copy_state().look(piece)
        self.play(try_move(hand.assembly, found, hand.find_gone(piece)), hidden=NONE)

    def play(
        self, tried: TriedMove, hidden: frozenset[str] | None = None, *, together: bool = False
    ) -> None:
        """Play a tried move to the contact; what was off by then is not shown meanwhile.

        together: the pump stands together meanwhile, but for what is off; then as the slider and the hand have it.
        """
        window = self._window
        if window.ordered is None:
            return
        title = make_title(window.words, window.naming, tried.found)
        told = tell_tried(window.words, window.naming, tried.found)
        shifts = dict.fromkeys(tried.moving, tried.shift_mm)
        marks = Marks(tried.moving, tried.hindrance, NONE, tried.gone if hidden is None else hidden)
        self._play(tried, shifts, (tried.piece,), marks, (title, told), together=together)
        window.proving.offer(tried)

    def play_step(self, move: StepMove, title: str, told: str) -> None:
        """Play what a step of a procedure moves, on the pump as it stands then; afterwards it is as it was."""
        if self._window.ordered is None:
            return
        self._window.proving.withdraw()
        marks = Marks(move.moving, NONE, NONE, move.gone)
        self._play(move, move.shifts, move.pieces, marks, (title, told), together=True)

    def _play(
        self, move: TriedMove | StepMove, shifts: Offsets, named: Sequence[str], marks: Marks,
        texts: tuple[str, str], *, together: bool,
    ) -> None:  # fmt: skip
        window, view = self._window, self._window.view
        window.motion.pause()
        window.measuring.stop()
        self.replay.stop()
        self._before = view.marks
        self._is_together = together
        places = window.find_places(window.motion.apart)
        if together:
            places = dict.fromkeys(places, np.zeros(3))
        # What counts is what stands in front of it where it stops.
        view.set_offsets(places | {name: places[name] + by for name, by in shifts.items()})
        glass = view.find_in_front(marks.in_the_way | set(named), marks.hidden)
        view.set_offsets(places)
        tags = window.make_tags_of(named, sorted(marks.in_the_way))
        view.set_marks(replace(marks, ghosted=glass), tags)
        title, told = texts
        window.motion.tell(title, "", told, "")
        self._is_told = True
        self.replay.play(move, places)

    def _end(self) -> None:
        """Show all as it was shown before; what was spoken of stays lit, unless it had been put out of sight or made glass."""
        view, before, window = self._window.view, self._before, self._window
        if self._is_together and window.ordered is window.standing:
            view.set_offsets(window.find_places(window.motion.apart))
        spoken = before.lit | before.in_the_way
        withheld = (view.hidden | view.ghosted) - spoken
        lit, in_the_way = view.marks.lit - withheld, view.marks.in_the_way - withheld
        glass = before.ghosted - lit - in_the_way
        tags = {name: tag for name, tag in view.tags.items() if name not in withheld}
        view.set_marks(Marks(lit, in_the_way, glass, before.hidden), tags)
