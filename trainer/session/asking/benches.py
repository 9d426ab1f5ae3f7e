"""Keep benches that were opened, so that thousands of questions can be drawn without reading a table twice."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from trainer.session.bench import Bench, open_bench

MOST_KEPT = 24


class Benches:
    """Open benches by name and options, and keep the latest of them."""

    def __init__(self, open_one: Callable[[str, Mapping[str, str]], Bench] = open_bench) -> None:
        self._open = open_one
        self._kept: dict[tuple[str, tuple[tuple[str, str], ...]], Bench] = {}

    def open(self, name: str, options: Mapping[str, str] | None = None) -> Bench:
        """Open a bench for FAMILY/SIZE with chosen options, or give the one that is open.

        Raises:
            RefusalError: unknown build or option. ContentError: a table is wrong.
        """
        key = (name, tuple(sorted((options or {}).items())))
        bench = self._kept.pop(key, None) or self._open(name, options or {})
        self._kept[key] = bench
        while len(self._kept) > MOST_KEPT:
            del self._kept[next(iter(self._kept))]
        return bench
