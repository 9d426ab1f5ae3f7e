"""Remember how long the solids of each kind of part took on this machine, to tell how long the next ones will. No kernel."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

import platformdirs

from models.solids.memory import write_whole

MOST_KINDS = 1000
MOST_BYTES = 100_000
MEASURED_SHARE = 0.5
"""How much a new measurement moves what is remembered: a busy machine is not busy for ever."""


class MakingTimes:
    """Seconds that a part of each kind takes to make.

    A file that cannot be read is treated as absent: nothing here that is not measured again.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._path = (folder or platformdirs.user_cache_path("pumpwright")) / "making-times.json"
        self._seconds = _read(self._path)

    def learn(self, kind: str, seconds: float) -> None:
        """Take a measurement in; it is on disk after the next `save`."""
        before = self._seconds.get(kind, seconds)
        self._seconds[kind] = before + MEASURED_SHARE * (seconds - before)

    def find_left_s(self, kinds: Iterable[str], workers: int) -> float | None:
        """Find how long parts of these kinds will take, made side by side; None where none of them was ever made.

        A kind that was never made counts as the mean of the others.
        """
        waiting = list(kinds)
        known = [self._seconds[kind] for kind in waiting if kind in self._seconds]
        if not known:
            return None if waiting else 0.0
        mean = sum(known) / len(known)
        each = [self._seconds.get(kind, mean) for kind in waiting]
        return max(sum(each) / max(min(workers, len(each)), 1), *each)

    def save(self) -> None:
        """Write them; a disk that refuses loses an estimate, no more."""
        kept = dict(list(self._seconds.items())[-MOST_KINDS:])
        with suppress(OSError):
            write_whole(self._path, kept)


def _read(path: Path) -> dict[str, float]:
    try:
        if path.stat().st_size > MOST_BYTES:
            return {}
        read = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    if not isinstance(read, dict):
        return {}
    return {kind: float(value) for kind, value in read.items() if _is_time(value)}


def _is_time(value: object) -> bool:
    return isinstance(value, int | float) and math.isfinite(value) and value >= 0.0
