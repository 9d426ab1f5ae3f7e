"""Every pack that a drawer can fill, counted once: how many shims of each kind lie in each."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from models.spec.dimension import HALF_WIDTHS_PER_SIGMA, Distribution, Source
from models.spec.errors import RefusalError
from trainer.core.measure.contributor import Floats

Counts: TypeAlias = NDArray[np.int8]

MOST_SHIMS = 4
"""Shims in one pack at most (common practice: three to four, thin ones between thick)."""
MOST_EVER = 6
"""The most that may be asked for: more shims than that are no longer one firm seat (common practice)."""
MOST_KINDS = 30
MICROMETER_MM = 0.004
"""By how much the micrometer may be off, up or down, that a shim without a packet was measured by (common practice)."""
SAME_MM = 1e-9


@dataclass(frozen=True, slots=True)
class StockShim:
    """A kind of shim in the drawer: thickness and its tolerance (plus or minus), mm, and how many there are.

    is_measured: by micrometer, so that the tolerance is the micrometer's and not what a packet says. source: where it
    is written, for one that stands in a stock list.
    """

    thickness_mm: float
    tolerance_mm: float
    in_drawer: int
    is_measured: bool = False
    source: Source | None = field(default=None, compare=False)

    @property
    def distribution(self) -> Distribution:
        """How thick it may be: rectangular of a micrometer (JCGM 100:2008 4.3.7, from memory), else normal.

        Normal has what the packet says at three standard deviations (common practice).
        """
        return Distribution.RECTANGULAR if self.is_measured else Distribution.NORMAL

    @property
    def variance_mm2(self) -> float:
        """Variance of its thickness."""
        return (self.tolerance_mm / HALF_WIDTHS_PER_SIGMA[self.distribution]) ** 2


def make_measured_shim(thickness_mm: float, in_drawer: int = 1) -> StockShim:
    """Make a shim of which only a micrometer says how thick it is."""
    return StockShim(thickness_mm, MICROMETER_MM, in_drawer, is_measured=True)


@dataclass(frozen=True, slots=True, eq=False)
class Packs:
    """Packs that can be filled: counts (n, kinds) of shims, their totals (n,) mm, and of how many shims (n,)."""

    kinds: tuple[StockShim, ...]
    counts: Counts
    totals_mm: Floats
    shims: NDArray[np.int64]

    def list_shims(self, place: int) -> tuple[float, ...]:
        """List the thicknesses of one pack, mm, thickest first."""
        chosen = [
            kind.thickness_mm
            for kind, count in zip(self.kinds, self.counts[place], strict=True)
            for _ in range(int(count))
        ]
        return tuple(sorted(chosen, reverse=True))

    def count_changes(self, present: Sequence[int] | None) -> NDArray[np.int64]:
        """Count how many shims (n,) are put in or taken out of the pack that is in; none where there is none."""
        if present is None:
            return np.zeros(len(self.shims), np.int64)
        changes: NDArray[np.int64] = np.abs(self.counts - np.array(present, np.int8)).sum(
            axis=1, dtype=np.int64
        )
        return changes

    def find_variances(self, present: Sequence[int] | None = None) -> Floats:
        """Find the variance (n,) mm2 of each pack's thickness, or of what it differs by from the pack that is in.

        present: how many of each kind are in already; those that stay in differ from themselves by nothing.
        """
        each = np.array([kind.variance_mm2 for kind in self.kinds])
        counts = self.counts
        if present is not None:
            counts = np.abs(counts - np.array(present, np.int8))
        variances: Floats = counts @ each
        return variances


def list_packs(stock: Sequence[StockShim], most: int) -> Packs:
    """List every pack of one to `most` shims that the drawer can fill.

    Raises:
        RefusalError: an empty drawer, more kinds than MOST_KINDS, or a number of shims that no joint takes.
    """
    if not 1 <= most <= MOST_EVER:
        raise RefusalError(f"most: a pack is of 1 to {MOST_EVER} shims, not {most}")
    kinds = tuple(kind for kind in stock if kind.in_drawer > 0)
    if not kinds:
        raise RefusalError(
            "the drawer is empty: no shim to choose from; list at least one in stock"
        )
    if len(kinds) > MOST_KINDS:
        raise RefusalError(
            f"the stock list has {len(kinds)} kinds of shim; leave {MOST_KINDS} at most"
        )
    counts, shims = _count_packs(len(kinds), most)
    held = np.array([min(kind.in_drawer, most) for kind in kinds], np.int8)
    if held.min() < most:
        is_there = (counts <= held).all(axis=1)
        counts, shims = counts[is_there], shims[is_there]
    totals: Floats = counts @ np.array([kind.thickness_mm for kind in kinds])
    return Packs(kinds, counts, totals, shims)


@lru_cache(maxsize=8)
def _count_packs(kinds: int, most: int) -> tuple[Counts, NDArray[np.int64]]:
    """Count the shims of each kind in every pack of one to `most`; fewest shims first."""
    chosen = [
        pack
        for count in range(1, most + 1)
        for pack in itertools.combinations_with_replacement(range(kinds), count)
    ]
    counts = np.zeros((len(chosen), kinds), np.int8)
    for row, pack in enumerate(chosen):
        for kind in pack:
            counts[row, kind] += 1
    shims = counts.sum(axis=1, dtype=np.int64)
    counts.setflags(write=False)
    shims.setflags(write=False)
    return counts, shims
