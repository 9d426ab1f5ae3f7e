"""Which builds a verification walks: one, the list of each value by itself, or every valid combination."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from models.builds import list_builds, make_named_build
from models.spec.build import TABLES, Build
from models.spec.covering import (
    MOST_COMBINATIONS,
    Choice,
    fill_values,
    find_covering,
    list_choices,
)

Step = tuple[str, Choice]
"""A build to make: its name and options."""


@dataclass(frozen=True, slots=True)
class Walk:
    """The builds to walk (name and options), of how many valid combinations, and whether they only cover these."""

    steps: tuple[Step, ...]
    combinations: int
    is_covering: bool
    tables: Path

    def builds(self) -> Iterator[Build]:
        """Make each build in turn. Raises ContentError or RefusalError as the build does."""
        for name, chosen in self.steps:
            yield make_named_build(name, chosen, tables=self.tables)


def plan_walk(tables: Path = TABLES) -> Walk:
    """Plan a walk through every valid combination of size and options.

    Where there are too many in all, the sizes of each family share its covering list, so that every two values that go together stand side by side at least once, a size counting as a value.

    Raises:
        ContentError: a covering list is needed and is missing or was made for other options.
    """
    sizes = list_builds(tables)
    families = {family.name: family for family in sizes.values()}
    counts = {name: sum(1 for _ in list_choices(family)) for name, family in families.items()}
    combinations = sum(counts[family.name] for family in sizes.values())
    covers = combinations > MOST_COMBINATIONS
    steps: list[Step] = []
    for family in families.values():
        names = [name for name, of in sizes.items() if of is family]
        if covers:
            steps += share_out(names, find_covering(tables, family))
        else:
            steps += [(name, choice) for name in names for choice in list_choices(family)]
    return Walk(tuple(steps), combinations, covers, tables)


def share_out(names: Sequence[str], covering: Sequence[Choice]) -> list[Step]:
    """Share a covering list out among sizes: they take turns, and each gets further ones for values it has not had.

    Size by size, so that what was measured of one size serves its next build.
    """
    steps: list[Step] = []
    for turn, name in enumerate(names):
        mine = list(covering[turn :: len(names)])
        steps += [(name, choice) for choice in [*mine, *fill_values(covering, mine)]]
    return steps
