"""Keep benches that were opened, so that thousands of questions can be drawn without reading a table twice."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from trainer.session.bench import Bench, open_bench

MOST_KEPT = 24
More = ParamSpec("More")
Found = TypeVar("Found")


def once_a_bench(
    find: Callable[Concatenate[Bench, More], Found],
) -> Callable[Concatenate[Bench, More], Found]:
    """Let something be found out once for each bench, and be kept as long as the bench is.

    A cache of its own would hold the solids of pumps that nobody looks at any more. What is asked besides the bench
    must be hashable.
    """

    @wraps(find)
    def find_once(bench: Bench, *more: More.args, **named: More.kwargs) -> Found:
        asked = (find, more, tuple(named.items()))
        if asked not in bench.found:
            bench.found[asked] = find(bench, *more, **named)
        return bench.found[asked]  # type: ignore[no-any-return]

    return find_once  # type: ignore[return-value]  # `wraps` forgets that it may be called by position alone


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
