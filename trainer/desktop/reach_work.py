"""Look for ways to a part in a process of its own: the search holds the interpreter for seconds."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, QThread, Signal

from trainer.desktop.apart import listen_to
from trainer.session.reaching import ReachQuestion, Routes, answer_reach


class ReachWork(QThread):
    """Answer one question; an interruption ends the search at once, and then nothing is told.

    found: the routes. failed: the process ended without an answer.
    """

    found = Signal(object)
    failed = Signal()

    def __init__(self, question: ReachQuestion, parent: QObject) -> None:
        super().__init__(parent)
        self._question = question

    def run(self) -> None:
        """Ask the process, and listen until it answers or is no longer wanted."""
        try:
            for routes in listen_to(answer_to, (self._question,), self._is_wanted):
                self.found.emit(routes)
        except (RuntimeError, OSError):
            self.failed.emit()

    def _is_wanted(self) -> bool:
        return not self.isInterruptionRequested()


def answer_to(question: ReachQuestion, tell: Callable[[Routes], None]) -> None:
    """Answer; runs in a process of its own."""
    tell(answer_reach(question))
