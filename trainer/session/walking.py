"""Which builds a verification walks: one, the list of each value by itself, or every valid combination."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from models.pumps import list_builds, make_named_build
from models.spec.build import TABLES, Build
from models.spec.covering import list_choices, read_covering

MOST_COMBINATIONS = 500
"""Valid combinations of all sizes up to which each is built; beyond it the stored covering list is."""


@dataclass(frozen=True, slots=True)
class Walk:
    """The builds to walk (name and options), of how many valid combinations, and whether they only cover these."""

    steps: tuple[tuple[str, dict[str, str]], ...]
    combinations: int
    is_covering: bool
    tables: Path

    def builds(self) -> Iterator[Build]:
        """Make each build in turn. Raises ContentError or RefusalError as the build does."""
        for name, chosen in self.steps:
            yield make_named_build(name, chosen, tables=self.tables)


def plan_walk(tables: Path = TABLES, most: int = MOST_COMBINATIONS) -> Walk:
    """Plan a walk through every valid combination of size and options.

    Where there are more than `most`, each size is walked through its family's covering list, in which
    every two values that go together stand side by side at least once.

    Raises:
        ContentError: a covering list is needed and is missing or was made for other options.
    """
    sizes = list_builds(tables)
    counts = {family.name: sum(1 for _ in list_choices(family)) for family in sizes.values()}
    combinations = sum(counts[family.name] for family in sizes.values())
    covers = combinations > most
    steps = tuple(
        (name, choice)
        for name, family in sizes.items()
        for choice in (read_covering(tables, family) if covers else list_choices(family))
    )
    return Walk(steps, combinations, covers, tables)
