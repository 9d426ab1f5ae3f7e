"""Remember on disk what has been measured on solids, by content key: one file of plain numbers. No kernel."""

from __future__ import annotations

import json
import math
import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

import platformdirs

MOST_FACTS = 200_000
"""Facts kept; beyond this those not asked for longest are dropped. A fact takes about 100 bytes."""
MOST_BYTES = 100_000_000
"""A file larger than this is none of ours and is not read."""

Fact = tuple[float, ...]
"""What was measured, as plain numbers whose meaning the one who measured knows."""


class FactMemory:
    """Keep facts by key; safe for several processes at once, of which one may lose what it has just learnt.

    A file that cannot be read is treated as absent: nothing here that is not measured again.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self.path = (folder or platformdirs.user_cache_path("pumpwright")) / "facts.json"
        self._facts: dict[str, Fact] = _read_facts(self.path)
        self._asked: dict[str, Fact] = {}

    def find(self, key: str) -> Fact | None:
        """Find the fact of that key; None when it was never measured."""
        found = self._asked.get(key, self._facts.get(key))
        if found is not None:
            self._asked[key] = found
        return found

    def learn(self, key: str, fact: Fact) -> None:
        """Keep a fact; it is on disk after the next `save`."""
        self._asked[key] = fact

    def save(self) -> None:
        """Write all facts, those of other processes too, so that a reader sees all or nothing.

        Raises:
            OSError: the disk refuses.
        """
        if all(self._facts.get(key) == fact for key, fact in self._asked.items()):
            return
        kept = _read_facts(self.path)
        for key, fact in self._asked.items():
            kept.pop(key, None)
            kept[key] = fact  # what was asked for stands last and is dropped last
        for key in list(kept)[: max(len(kept) - MOST_FACTS, 0)]:
            del kept[key]
        write_whole(self.path, kept)
        self._facts = kept


def _read_facts(path: Path) -> dict[str, Fact]:
    try:
        if path.stat().st_size > MOST_BYTES:
            return {}
        read = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):  # a spoilt text is a ValueError, too
        return {}
    if not isinstance(read, dict):
        return {}
    return {key: tuple(fact) for key, fact in read.items() if _is_fact(fact)}


def _is_fact(fact: object) -> bool:
    return (
        isinstance(fact, list)
        and bool(fact)
        and all(isinstance(one, int | float) and math.isfinite(one) for one in fact)
    )


def write_whole(path: Path, facts: Mapping[str, Fact | float]) -> None:
    """Write plain numbers by key, so that a reader sees all or nothing. Raises OSError when the disk refuses."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as stream:
            json.dump(facts, stream, allow_nan=False, separators=(",", ":"))
            stream.flush()
            os.fsync(stream.fileno())
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
