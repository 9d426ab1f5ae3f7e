"""Play in the picture what a line of a practical moves, and show the gap that it measures, as soon as it is gone to; marking never waits for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import shiboken6
from PySide6.QtCore import QObject, QTimer

from trainer.desktop.later import ASKING, do_later
from trainer.session.bench import Bench
from trainer.session.step_move import StepMove, find_step_gap, find_step_move
from trainer.words.speech import begin

if TYPE_CHECKING:
    from trainer.desktop.panes.practical_watch import WatchPage
    from trainer.desktop.window import PumpWindow

REST_MS = 250
"""A line that is only gone past plays nothing."""


class LinePlaying(QObject):
    """Find out in the background what a line moves or measures, and show it while that line is still the one gone to."""

    def __init__(self, window: PumpWindow, pane: str, watch: WatchPage) -> None:
        super().__init__(window)
        self._window, self._pane, self._watch = window, pane, watch
        self._line = self._gap = ""
        self._looking = 0
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self._find)

    @property
    def is_looking(self) -> bool:
        """Is it still to be seen whether a line moves or measures something?"""
        return self._rest.isActive() or self._looking > 0

    def show(self, line: str) -> None:
        """Play what a line moves, or show what it measures, unless another is gone to before long."""
        window = self._window
        self._leave_gap()
        window.trying.stop()
        if window.trying.unsay():
            window.tell_where_it_stands()  # what is told of another line stands there no more
        self._line = line
        self._rest.start()

    def stop(self) -> None:
        """Play nothing more."""
        self._rest.stop()
        self._line = ""
        self._leave_gap()
        if isinstance(self._window.trying.replay.move, StepMove):
            self._window.trying.stop()

    def _find(self) -> None:
        held, ordered, line = self._watch.held, self._window.ordered, self._line
        if held is None or not isinstance(ordered, Bench) or not self._is_wanted(line):
            return
        self._looking += 1
        twin, procedure = ordered.twin, held.observed.rubric.name

        def work() -> tuple[StepMove | None, str]:
            return find_step_move(twin, procedure, line), find_step_gap(twin, procedure, line)

        do_later(work, lambda found: self._show_found(ordered, line, *found), worker=ASKING)

    def _show_found(self, ordered: Bench, line: str, move: StepMove | None, gap: str) -> None:
        """Show what was found, if it is still wanted, and the pump is still the one it was found of."""
        if not shiboken6.isValid(self):
            return
        self._looking -= 1
        if ordered is not self._window.ordered or not self._is_wanted(line):
            return
        if move is not None:
            self._play(move)
        elif gap:
            self._window.measuring.show(gap)
            self._gap = gap

    def _leave_gap(self) -> None:
        """Go back from the gap of another line to the whole pump, unless something else is measured by now."""
        gap, self._gap = self._gap, ""
        if gap and self._window.measuring.name == gap:
            self._window.fit_view()

    def _play(self, move: StepMove) -> None:
        window = self._window
        words, naming = window.words, window.naming
        key = "observing.plays-on" if move.goes_on else "observing.plays-off"
        if move.direction is None:
            told = words.say(f"{key}-each")
        else:
            way = move.direction.back if move.goes_on else move.direction
            told = words.say(key, way=naming.tell_way(way))
        window.trying.play_step(move, begin(naming.tell_pieces(move.pieces)), told)

    def _is_wanted(self, line: str) -> bool:
        watch = self._watch
        is_there = watch.line is not None and watch.line.name == line == self._line
        return is_there and watch.isVisible() and self._window.pane == self._pane
