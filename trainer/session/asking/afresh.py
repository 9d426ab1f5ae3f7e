"""Draw afresh what a question is asked of: another size, other options, and measured values inside their limits."""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache

from models.builds import list_builds
from models.spec.build import TABLES
from models.spec.covering import find_covering
from models.spec.length import Term
from trainer.core.measure.chain import Link
from trainer.lesson.wanted import Wanted
from trainer.session.asking.benches import Benches
from trainer.session.bench import Bench

AFRESH = "afresh"
"""What is given of a question that is to be drawn on another pump for each learner."""
MOST_TRIED = 12


def is_afresh(wanted: Wanted) -> bool:
    """Is the pump itself to be drawn?"""
    return bool(wanted.text(AFRESH))


def draw_bench(
    bench: Bench,
    benches: Benches,
    chance: random.Random,
    *,
    is_wanted: Callable[[Bench], bool],
    needs_solids: bool,
) -> Bench:
    """Draw another size of a family, and other options that go together.

    Args:
        bench: the pump that a lesson names; drawn itself where nothing else is wanted.
        benches: where others are opened.
        chance: the only source of randomness.
        is_wanted: says whether a bench has what is to be asked.
        needs_solids: whether solids will be asked for. Then only the size is drawn: the usual options of each
            size lie in the cache sooner than any combination, whose solids take minutes to make.
    """
    family = bench.build.family
    sizes = [name for name in list_builds() if name.partition("/")[0] == family.name]
    for _ in range(MOST_TRIED):
        size = chance.choice(sizes)
        options = (
            dict(bench.build.options) if needs_solids else chance.choice(_list_options(bench.name))
        )
        drawn = benches.open(size, options)
        if is_wanted(drawn):
            return drawn
    return bench


@lru_cache(maxsize=64)
def _list_options(name: str) -> Sequence[dict[str, str]]:
    """List combinations of options in which every two values that go together stand side by side."""
    return find_covering(TABLES, list_builds()[name])


def draw_measured(links: Sequence[Link], chance: random.Random) -> Mapping[Term, float]:
    """Draw a measured value of each contributor of a chain, in mm, anywhere between its limits."""
    return {
        (link.piece, link.dimension): chance.uniform(link.lower_mm, link.upper_mm) for link in links
    }
