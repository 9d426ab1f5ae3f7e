"""Few builds in which every value of a pump's options, and every size, stands at least once.

`verify --all` walks every combination or the whole covering list, which takes longer than a change
may wait for; this sample of that list is what every change is held against.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping

from models.builds import FAMILIES, list_builds
from models.exhibits import EXHIBITS
from models.spec.build import TABLES
from models.spec.covering import fill_values, find_covering

Chosen = Mapping[str, str]


def list_sample() -> Iterator[tuple[str, Chosen]]:
    """List the builds: the sizes take turns with the combinations, and every size has one at least.

    A value that a family shares with one before it stands there already, for it comes of the same
    system. Of an exhibit the usual build stands; its others are walked by `verify --all` and the long run.
    """
    have: list[Chosen] = []
    for family in FAMILIES.values():
        covering = find_covering(TABLES, family)
        sample = [] if family in EXHIBITS else fill_values(covering, have)
        have += sample
        sizes = [name for name, of in list_builds().items() if of is family]
        turns = max(len(sample), len(sizes))
        combinations = itertools.cycle(sample or covering[:1])
        yield from itertools.islice(zip(itertools.cycle(sizes), combinations, strict=False), turns)


SAMPLE = tuple(list_sample())
NAMES = tuple(f"{name}-{i}" for i, (name, _) in enumerate(SAMPLE))
