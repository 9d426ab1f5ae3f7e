"""Few builds in which every value of every option, and every size, stands at least once.

`verify --all` walks every combination or the whole covering list, which takes longer than a change
may wait for; this sample of that list is what every change is held against.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping

from models.builds import FAMILIES, list_builds
from models.spec.build import TABLES
from models.spec.covering import fill_values, find_covering

Chosen = Mapping[str, str]


def list_sample() -> Iterator[tuple[str, Chosen]]:
    """List the builds: the sizes take turns with the combinations, and every size has one at least."""
    for family in FAMILIES.values():
        sizes = [name for name, of in list_builds().items() if of is family]
        covering = find_covering(TABLES, family)
        sample = fill_values(covering) or covering  # a family without options has one build
        turns = max(len(sample), len(sizes))
        yield from itertools.islice(
            zip(itertools.cycle(sizes), itertools.cycle(sample), strict=False), turns
        )


SAMPLE = tuple(list_sample())
NAMES = tuple(f"{name}-{i}" for i, (name, _) in enumerate(SAMPLE))
