"""Look for ways to a part in a process of its own: the search holds the interpreter for seconds."""

from __future__ import annotations

import multiprocessing
from multiprocessing.connection import Connection

from PySide6.QtCore import QObject, QThread, Signal

from trainer.session.reaching import ReachQuestion, answer_reach

LISTEN_S = 0.1


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
        spawn = multiprocessing.get_context("spawn")
        ours, theirs = spawn.Pipe(duplex=False)
        asked = spawn.Process(target=answer_to, args=(self._question, theirs), daemon=True)
        asked.start()
        theirs.close()
        try:
            while not ours.poll(LISTEN_S):
                if self.isInterruptionRequested():
                    return
            answer = ours.recv()
        except (EOFError, OSError):
            self.failed.emit()
        else:
            self.found.emit(answer)
        finally:
            asked.terminate()
            asked.join()
            ours.close()


def answer_to(question: ReachQuestion, to: Connection) -> None:
    """Answer into a pipe; runs in a process of its own."""
    to.send(answer_reach(question))
    to.close()
