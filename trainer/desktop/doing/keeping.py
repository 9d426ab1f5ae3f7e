"""Keep how the window is left, all the while: whoever opens it again, after a crash too, goes on where it stood."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QLockFile, QObject, QTimer, Signal

from models.spec.errors import SurroundingsError
from trainer.session.as_left import AsLeft, AsLeftFile, Plain, StrangeValueError

if TYPE_CHECKING:
    from trainer.desktop.window import PumpWindow

EVERY_MS = 500
"""How much of what was done can be lost: what changed since the last look."""
LOCK_NAME = "as-left.lock"


class When(Enum):
    """What must be there before a value can be put back."""

    START = "start"
    SOLIDS = "solids"
    ORDER = "order"
    WALK = "walk"
    PAGE = "page"


@dataclass(frozen=True, slots=True)
class Keeper:
    """Read a value to be kept, and put one back. `put` raises StrangeValueError for what it cannot use."""

    read: Callable[[], Plain]
    put: Callable[[Plain], None]
    when: tuple[When, ...]


class Keeping(QObject):
    """Look twice a second at what is to be kept, and write it where it has changed.

    Whoever has something to keep says so once, from wherever it is made:
    `window.keeping.keep("speed", read, put)`; a value that needs the pump says `when`. Without a file nothing is
    kept and nothing put back.
    """

    _refused = Signal(str)

    def __init__(self, window: PumpWindow, file: AsLeftFile | None) -> None:
        super().__init__(window)
        self._window = window
        self._file = file
        self._keepers: dict[str, Keeper] = {}
        self._put: set[str] = set()
        self._values: dict[str, Plain] = {}
        self._written: Mapping[str, Plain] = {}
        self._reached: set[When] = {When.START}
        self._writer: ThreadPoolExecutor | None = None
        self._writing: Future[None] | None = None
        self._lock: QLockFile | None = None
        self._has_told = False
        self._refused.connect(self._tell_refused)
        self._timer = QTimer(self, interval=EVERY_MS)
        self._timer.timeout.connect(self.look)
        if file is not None:
            self._take_hold(file)

    def _take_hold(self, file: AsLeftFile) -> None:
        """Take what was left, unless another window of this person has it in hand."""
        words = self._window.words
        try:
            file.folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            self._tell_refused(f"{file.folder}: {error.strerror}")
            return
        lock = QLockFile(str(file.folder / LOCK_NAME))
        lock.setStaleLockTime(
            0
        )  # what a dead process left is no lock; what a living one holds never grows old
        if not lock.tryLock(0):
            self._file = None
            self._window.noticing.tell(words.say("desk.held-elsewhere"))
            return
        self._lock = lock
        found = file.read()
        self._values = dict(found.values)
        self._written = found.values
        if found.trouble is not None:
            self._tell_trouble(found)
        self._writer = ThreadPoolExecutor(1, thread_name_prefix="keeping")
        self._window.installEventFilter(self)
        self._timer.start()

    def _tell_trouble(self, found: AsLeft) -> None:
        words = self._window.words
        told = words.say(f"desk.trouble-{found.trouble}")
        if found.set_aside is not None:
            told += " " + words.say("desk.set-aside", file=str(found.set_aside))
        self._window.noticing.tell(told)

    # ------------------------------------------------------------------ what is kept
    def keep(
        self,
        name: str,
        read: Callable[[], Plain],
        put: Callable[[Plain], None],
        *when: When,
    ) -> None:
        """Keep a value from now on, and put back what was left under its name.

        Args:
            name: what it is called in the file.
            read: give the value as plain as JSON; asked twice a second, so it must be quick.
            put: take the value that was left; raise StrangeValueError where it is not what `read` gives.
            when: what must be there before; at each of these it is put back again, as the window puts itself in
                order then. At once, if nothing is said.
        """
        self._keepers[name] = Keeper(read, put, when or (When.START,))
        for reached in self._keepers[name].when:
            if reached in self._reached:
                self._put_back(name)

    def find(self, name: str) -> Plain:
        """Find what was left under a name; None for nothing."""
        return self._values.get(name)

    def has_reached(self, when: When) -> bool:
        """Has it come?"""
        return when in self._reached

    def reach(self, when: When) -> None:
        """Put back what can be put back now: something it needs has come. Only the first time counts."""
        if when in self._reached:
            return
        self._reached.add(when)
        for name, keeper in self._keepers.items():
            if when in keeper.when:
                self._put_back(name)

    def _put_back(self, name: str) -> None:
        self._put.add(name)
        if name not in self._values:
            return
        try:
            self._keepers[name].put(self._values[name])
        except StrangeValueError:
            del self._values[name]
            self._window.noticing.tell(self._window.words.say("desk.strange"))

    # ------------------------------------------------------------------ writing
    def look(self) -> None:
        """Look whether anything has changed, and let it be written."""
        if self._writer is None or (self._writing is not None and not self._writing.done()):
            return
        for name in self._put:
            self._values[name] = self._keepers[name].read()
        if self._values == self._written:
            return
        self._written = dict(self._values)
        self._writing = self._writer.submit(self._write, self._written)

    def _write(self, values: Mapping[str, Plain]) -> None:
        """Write, in a thread of its own: a slow disk must not hold the window."""
        assert self._file is not None
        try:
            self._file.write(values)
        except SurroundingsError as error:
            self._refused.emit(str(error))

    def _tell_refused(self, reason: str) -> None:
        """Say once that nothing can be kept, and go on."""
        if not self._has_told:
            self._has_told = True
            self._window.noticing.tell(self._window.words.say("desk.not-kept", reason=reason))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Write what changed last when the window is closed."""
        if event.type() == QEvent.Type.Close:
            self.close()
        return super().eventFilter(watched, event)

    def close(self) -> None:
        """Write what has changed, and let go."""
        if self._writer is None:
            return
        if self._writing is not None:
            self._writing.result()
        self._timer.stop()
        self.look()
        self._writer.shutdown(wait=True)
        self._writer = None
        if self._lock is not None:
            self._lock.unlock()
