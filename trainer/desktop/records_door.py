"""The way to the records: opened once, by whoever asks first, and never in the window's thread."""

from __future__ import annotations

from threading import Lock
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from trainer.records import Records


class RecordsDoor:
    """Open the records when they are first needed. Asked in the background: a server that is away answers only after seconds."""

    def __init__(self, records: Records | None = None) -> None:
        self.records = records
        """The records, once they are open."""
        self._is_own = records is None
        self._lock = Lock()

    def open(self) -> Records:
        """Open them, or give those that are open. Raises SurroundingsError when they cannot be; asked again, it tries again."""
        with self._lock:  # two that ask at once open them once
            if self.records is None:
                from trainer.records import open_records

                self.records = open_records()
            return self.records

    def close(self) -> None:
        """Let go of what was opened here."""
        if self.records is not None and self._is_own:
            self.records.close()
