"""Let Python look for what only holds itself in the window's own thread, never in another.

Such rings hold timers and widgets. Found by another thread, a timer would be destroyed there, which Qt does not allow:
its beat is not called off, comes to what is gone, and the program dies.
"""

from __future__ import annotations

import gc

from PySide6.QtCore import QObject, QTimer

EVERY_MS = 1000
SELDOM = 30
"""The oldest are looked through so seldom, in beats: it takes longest."""


class Tidying(QObject):
    """Look for rings at a beat, as long as it is not ended."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        gc.disable()
        gc.freeze()  # libraries stay: they need not be looked through at every full round, which would hold the window
        self._beats = 0
        self._timer = QTimer(self, interval=EVERY_MS)
        self._timer.timeout.connect(self._tidy)
        self._timer.start()

    def close(self) -> None:
        """Let Python look again wherever it likes; no thread of the window works any more."""
        self._timer.stop()
        gc.unfreeze()
        gc.enable()

    def _tidy(self) -> None:
        self._beats += 1
        gc.collect(2 if self._beats % SELDOM == 0 else 1)
