"""The spread of a clearance that bends: a sum of parts, each of which follows a straight chain of its own, but curved.

The shaft's end float is one: the bearing's play along the shaft goes with the root of its radial clearance, and the
cap adds what room it leaves but takes nothing away when it nips. Where no part shares a dimension with another, the
distribution of each is that of its own chain carried over the curve, and the sum is their convolution.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from trainer.core.measure.chain import Bend
from trainer.core.measure.contributor import Contributor, Floats, make_own
from trainer.core.measure.convolution import convolve, convolve_rows

POINTS = 4097
"""Points at which a curve is worked out over the reach of its chain; between them it is taken as straight."""


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """One part of a bent clearance: its chain's value, what moves that, and the curve it is read off, in mm."""

    value_mm: float
    contributors: tuple[Contributor, ...]
    inner_mm: Floats
    outer_mm: Floats

    def bend(self, moved_mm: Floats) -> Floats:
        """Give the part (n,) mm for what its chain has moved by (n,) mm."""
        bent: Floats = np.interp(self.value_mm + moved_mm, self.inner_mm, self.outer_mm)
        return bent


@dataclass(frozen=True, slots=True, eq=False)
class BentShape:
    """The distribution of a bent clearance: values (n,) mm, evenly spaced, and how likely it is near each."""

    values_mm: Floats
    masses: Floats
    step_mm: float

    @property
    def mean_mm(self) -> float:
        """The mean."""
        return float(self.values_mm @ self.masses)

    @property
    def sigma_mm(self) -> float:
        """The standard deviation."""
        return math.sqrt(max(float((self.values_mm - self.mean_mm) ** 2 @ self.masses), 0.0))

    @property
    def shares_below(self) -> Floats:
        """The share (n,) at or below each value, where each mass lies evenly about its value."""
        return np.cumsum(self.masses) - self.masses / 2.0

    def find_share_below(self, value_mm: float) -> float:
        """Find which share lies at or below a value."""
        return float(np.interp(value_mm, self.values_mm, self.shares_below, left=0.0, right=1.0))


def make_parts(bends: Sequence[Bend]) -> tuple[Part, ...]:
    """Make the parts of a bent clearance.

    Raises:
        ValueError: two of them share a dimension, so that they do not vary by themselves.
    """
    seen: set[tuple[str, str]] = set()
    parts = []
    for bend in bends:
        terms = {(link.piece, link.dimension) for link in bend.links}
        if terms & seen:
            raise ValueError(f"parts of a bent clearance share {sorted(terms & seen)}")
        seen |= terms
        contributors = tuple(make_own(link).scale(link.sensitivity) for link in bend.links)
        low, high = (
            bend.value_mm + sum(one.reach_mm[end] for one in contributors) for end in (0, 1)
        )
        inner = np.linspace(low, high, POINTS) if high > low else np.array([low])
        parts.append(Part(bend.value_mm, contributors, inner, _work_out(bend.of, inner)))
    return tuple(parts)


def _work_out(of: Callable[[float], float], inner: Floats) -> Floats:
    return np.array([of(float(value)) for value in inner])


def find_bent_ends(parts: Sequence[Part]) -> tuple[float, float]:
    """Find the least and the most in mm, with every contributor at the limit that hurts."""
    moves = [[sum(getattr(one, end) for one in part.contributors) for end in ("low_mm", "high_mm")] for part in parts]  # fmt: skip
    least, most = (
        sum(
            float(part.bend(np.array([move[end]]))[0])
            for part, move in zip(parts, moves, strict=True)
        )
        for end in (0, 1)
    )
    return least, most


def convolve_bent(parts: Sequence[Part], cells: int) -> BentShape:
    """Convolve the parts of a bent clearance into its distribution, on a grid of `cells` over its reach."""
    reaches = [(float(part.outer_mm[0]), float(part.outer_mm[-1])) for part in parts]
    step = sum(high - low for low, high in reaches) / cells
    if step <= 0.0:
        return BentShape(np.array([sum(low for low, _ in reaches)]), np.ones(1), 0.0)
    rows = [
        _carry_over(part, low, step, cells) for part, (low, _) in zip(parts, reaches, strict=True)
    ]
    masses = convolve_rows(rows)
    start = sum(low for low, _ in reaches)
    return BentShape(start + step * np.arange(len(masses), dtype=np.float64), masses, step)


def _carry_over(part: Part, low_mm: float, step_mm: float, cells: int) -> Floats:
    """Carry the distribution of a part's chain over its curve, onto a grid that begins at low_mm.

    What lies between two points of the chain goes to the grid points beside its middle, the nearer the more.
    """
    values, shares = convolve(part.contributors, cells).list_shares()
    bent = part.bend(values)
    middles = np.concatenate([bent[:1], (bent[1:] + bent[:-1]) / 2.0])
    likely = np.diff(shares, prepend=0.0)
    place = np.maximum((middles - low_mm) / step_mm, 0.0)
    below = np.floor(place).astype(np.int64)
    nearer = place - below
    masses = np.bincount(below, likely * (1.0 - nearer), int(below.max()) + 2)
    masses += np.bincount(below + 1, likely * nearer, len(masses))
    return np.asarray(masses / masses.sum())


def sample_bent(parts: Sequence[Part], sample: Callable[[Sequence[Contributor]], Floats]) -> Floats:
    """Draw a bent clearance, mm, with `sample` giving draws (n,) of the sum of contributors."""
    drawn = [part.bend(sample(part.contributors)) for part in parts]
    return np.asarray(np.sum(drawn, axis=0))
