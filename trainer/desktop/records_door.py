"""The way to the records: opened once, by whoever asks first, and never in the window's thread."""

from __future__ import annotations

from threading import Lock
from time import monotonic
from typing import TYPE_CHECKING

from models.spec.errors import SurroundingsError

if TYPE_CHECKING:
    from trainer.records import Records


class RecordsDoor:
    """Open the records when they are first needed. Asked in the background: a server that is away answers only after seconds."""

    def __init__(self, records: Records | None = None) -> None:
        self.records = records
        """The records, once they are open."""
        self._is_own = records is None
        self._lock = Lock()
        self._refused_s, self._why = 0.0, ""

    def open(self) -> Records:
        """Open them, or give those that are open.

        Raises:
            SurroundingsError: they cannot be opened; asked again, it tries again. Who asked while somebody else tried
                is told what came of that, and does not wait as long once more.
        """
        asked_s = monotonic()
        with self._lock:
            if self.records is None:
                if self._refused_s > asked_s:
                    raise SurroundingsError(self._why)
                self.records = self._try()
            return self.records

    def _try(self) -> Records:
        from trainer.records import open_records

        try:
            return open_records()
        except SurroundingsError as error:
            self._refused_s, self._why = monotonic(), str(error)
            raise

    def close(self) -> None:
        """Let go of what was opened here."""
        if self.records is not None and self._is_own:
            self.records.close()
