"""Let what is to stand on the bench arrive step by step: the window looks after its user between any two steps."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer

from trainer.desktop.picture.surface import Steps


class Arriving(QObject):
    """Do what is brought one after the other, each in steps and then at one go; what is dropped is left as it is."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._waiting: deque[tuple[Callable[[], Steps], Callable[[], object]]] = deque()
        self._steps: Steps | None = None
        self._next = QTimer(self, singleShot=True, interval=0)
        self._next.timeout.connect(self._go_on)

    def bring(self, prepare: Callable[[], Steps], put: Callable[[], object]) -> None:
        """Bring something: `prepare` begins the steps that make it ready, `put` then puts it there."""
        self._waiting.append((prepare, put))
        self._next.start()

    def drop(self) -> None:
        """Drop all that has not been put there yet."""
        self._waiting.clear()
        self._steps = None
        self._next.stop()

    def _go_on(self) -> None:
        prepare, put = self._waiting[0]
        if self._steps is None:
            self._steps = prepare()
        try:
            next(self._steps)
        except StopIteration:
            self._steps = None
            self._waiting.popleft()
            put()
        if self._waiting:
            self._next.start()


def no_steps() -> Steps:
    """Make nothing ready."""
    yield from ()
