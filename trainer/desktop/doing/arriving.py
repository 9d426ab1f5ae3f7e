"""Let what is to stand on the bench arrive step by step: the window looks after its user between any two steps."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer

from trainer.desktop.picture.surface import Steps

_DONE = object()


class Arriving(QObject):
    """Make ready, in steps, all that is brought, and then put it there in its order; what is dropped is left as it is."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._coming: deque[tuple[Callable[[], Steps], Callable[[], object]]] = deque()
        self._ready: deque[Callable[[], object]] = deque()
        self._steps: Steps | None = None
        self._is_breathing = False
        self._next = QTimer(self, singleShot=True, interval=0)
        self._next.timeout.connect(self._go_on)

    def bring(self, prepare: Callable[[], Steps], put: Callable[[], object]) -> None:
        """Bring something: `prepare` begins the steps that make it ready, `put` then puts it there."""
        self._coming.append((prepare, put))
        self._next.start()

    def drop(self) -> None:
        """Drop all that has not been put there yet."""
        self._coming.clear()
        self._ready.clear()
        self._steps, self._is_breathing = None, False
        self._next.stop()

    def _go_on(self) -> None:
        # What comes together is put there together: nobody sees a pump that moves with whole meshes, or has no order yet.
        try:
            if self._coming:
                self._prepare()
            elif self._is_breathing:
                self._is_breathing = False  # what was put there is drawn first
            elif self._ready:
                self._is_breathing = True
                self._ready.popleft()()
        finally:  # what goes wrong with one thing keeps nothing else away
            if self._coming or self._ready:
                self._next.start()

    def _prepare(self) -> None:
        prepare, put = self._coming[0]
        goes_on = False
        try:
            if self._steps is None:
                self._steps = prepare()
            goes_on = next(self._steps, _DONE) is not _DONE
        finally:  # what goes wrong while it is made ready is put there unready: slowly, but it stands there
            if not goes_on:
                self._steps = None
                self._coming.popleft()
                self._ready.append(put)


def no_steps() -> Steps:
    """Make nothing ready."""
    yield from ()
