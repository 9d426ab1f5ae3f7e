"""How far a clearance may stray: worst case, root-sum-square, exact distribution and Monte Carlo, side by side.

Each method says between what the clearance lies, and which share of builds is inside what is required. The
worst case knows no shares but all and none.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import partial

import numpy as np

from models.spec.errors import RefusalError
from trainer.core.measure.bent import Part, convolve_bent, find_bent_ends, make_parts, sample_bent
from trainer.core.measure.chain import MeasuredClearance
from trainer.core.measure.contributor import Contributor, Floats, list_contributors
from trainer.core.measure.convolution import CELLS, convolve

TAIL = 0.5 * math.erfc(3.0 / math.sqrt(2.0))
"""Share left out at each end of the limits: what a normal has beyond three standard deviations, 0.135 %."""
SAMPLES = 200_000
MOST_SAMPLES = 20_000_000
BLOCK = 1 << 15
"""Builds drawn at a time, so that the sums stay in the processor's cache."""
BARS = 80
SAME = 1e-9


class Method(StrEnum):
    """The four ways to say how far a clearance strays."""

    WORST_CASE = "worst-case"
    ROOT_SUM_SQUARE = "root-sum-square"
    EXACT = "exact"
    MONTE_CARLO = "monte-carlo"


@dataclass(frozen=True, slots=True, eq=False)
class Spread:
    """How far one clearance strays by one method; lengths in mm, shares 0 to 1.

    limits_mm: all of it for the worst case, else all but TAIL at each end. below, inside, above: share of
    builds below, inside and above what is required; None where the method cannot say. error: by how much
    the shares may be off: bound of the grid (exact), one standard error (Monte Carlo), else 0.
    values_mm, density_per_mm, shares_below: (m,) the curve to draw; of the worst case empty.
    """

    method: Method
    mean_mm: float
    sigma_mm: float | None
    limits_mm: tuple[float, float]
    below: float | None
    inside: float | None
    above: float | None
    error: float
    values_mm: Floats
    density_per_mm: Floats
    shares_below: Floats

    @property
    def outside_ppm(self) -> tuple[float | None, float | None]:
        """Builds in a million below and above what is required."""
        low, high = (None if one is None else 1e6 * one for one in (self.below, self.above))
        return low, high


def compare_spreads(
    clearance: MeasuredClearance, chance: np.random.Generator, samples: int = SAMPLES
) -> tuple[Spread, ...]:
    """Find the spread of a clearance in service by all four methods, in the order of `Method`.

    Raises:
        RefusalError: as `check_required` and `sample_sum` do.
    """
    required = check_required(clearance)
    base, contributors = clearance.in_service_mm, list_contributors(clearance)
    if not clearance.bends:
        return compare_sums(base, contributors, required, chance, samples)
    parts = make_parts(clearance.bends)
    drawn = sample_bent(parts, partial(sample_sum, chance=chance, samples=samples))
    return (
        _tell_worst(find_bent_ends(parts), required),
        find_root_sum_square(base, contributors, required),
        find_bent(parts, required),
        _tell_drawn(drawn, required),
    )


def compare_sums(
    base_mm: float,
    contributors: Sequence[Contributor],
    required_mm: tuple[float, float],
    chance: np.random.Generator,
    samples: int = SAMPLES,
) -> tuple[Spread, ...]:
    """Find the spread of a value and what moves it by all four methods; raises as `sample_sum` does."""
    return (
        find_worst_case(base_mm, contributors, required_mm),
        find_root_sum_square(base_mm, contributors, required_mm),
        find_exact(base_mm, contributors, required_mm),
        find_monte_carlo(base_mm, contributors, required_mm, chance, samples),
    )


def check_required(clearance: MeasuredClearance) -> tuple[float, float]:
    """Give what is required of a clearance. Raises RefusalError when nothing could be inside."""
    low, high = clearance.required_mm
    if not (math.isfinite(low) and math.isfinite(high)):
        raise RefusalError(
            f"clearance.{clearance.name}: its limits are {low} to {high}; write finite numbers"
        )
    if high <= low:
        raise RefusalError(
            f"clearance.{clearance.name}: its limits are {low:g} to {high:g}, which nothing can be inside; "
            "give a lowest limit below the highest"
        )
    return low, high


def find_worst_case(
    base_mm: float, contributors: Sequence[Contributor], required_mm: tuple[float, float]
) -> Spread:
    """Find the least and the most with every contributor at the limit that hurts."""
    least = base_mm + sum(one.low_mm for one in contributors)
    most = base_mm + sum(one.high_mm for one in contributors)
    return _tell_worst((least, most), required_mm)


def _tell_worst(ends_mm: tuple[float, float], required_mm: tuple[float, float]) -> Spread:
    least, most = ends_mm
    below = _sure(most < required_mm[0] - SAME, least >= required_mm[0] - SAME)
    above = _sure(least > required_mm[1] + SAME, most <= required_mm[1] + SAME)
    inside = None
    if below == 0.0 and above == 0.0:
        inside = 1.0
    elif below == 1.0 or above == 1.0:
        inside, below, above = 0.0, below or 0.0, above or 0.0
    nothing = np.empty(0)
    middle = (least + most) / 2.0
    return Spread(
        Method.WORST_CASE,
        middle,
        None,
        (least, most),
        below,
        inside,
        above,
        0.0,
        nothing,
        nothing,
        nothing,
    )


def _sure(all_of_it: bool, none_of_it: bool) -> float | None:  # noqa: FBT001  # two halves of one question
    return 1.0 if all_of_it else 0.0 if none_of_it else None


def find_root_sum_square(
    base_mm: float, contributors: Sequence[Contributor], required_mm: tuple[float, float]
) -> Spread:
    """Find the spread as if the sum were normal, its variance the sum of the contributors' variances.

    Source: the law of propagation of uncertainty for a sum, JCGM 100:2008 (GUM) 5.1.2, from memory.
    """
    mean = base_mm + sum(one.mean_mm for one in contributors)
    sigma = math.hypot(*(one.sigma_mm for one in contributors))
    if sigma == 0.0:
        return _tell_point(Method.ROOT_SUM_SQUARE, mean, required_mm)
    z = np.linspace(-4.0, 4.0, 401)
    below, above = (
        0.5 * math.erfc((mean - required_mm[0]) / sigma / math.sqrt(2.0)),
        0.5 * math.erfc((required_mm[1] - mean) / sigma / math.sqrt(2.0)),
    )
    return Spread(
        Method.ROOT_SUM_SQUARE,
        mean,
        sigma,
        (mean - 3.0 * sigma, mean + 3.0 * sigma),
        below,
        1.0 - below - above,
        above,
        0.0,
        mean + sigma * z,
        np.exp(-(z**2) / 2.0) / (sigma * math.sqrt(2.0 * math.pi)),
        np.array([0.5 * math.erfc(-one / math.sqrt(2.0)) for one in z]),
    )


def _tell_point(method: Method, value_mm: float, required_mm: tuple[float, float]) -> Spread:
    """Tell of a clearance of which nothing spreads."""
    below = float(value_mm < required_mm[0] - SAME)
    above = float(value_mm > required_mm[1] + SAME)
    at = np.array([value_mm])
    return Spread(
        method,
        value_mm,
        0.0,
        (value_mm, value_mm),
        below,
        1.0 - below - above,
        above,
        0.0,
        at,
        np.zeros(1),
        np.ones(1),
    )


def find_exact(
    base_mm: float,
    contributors: Sequence[Contributor],
    required_mm: tuple[float, float],
    cells: int = CELLS,
) -> Spread:
    """Find the spread by convolving the contributors' own distributions; `cells` grid steps over its reach."""
    shape = convolve(contributors, cells)
    mean = base_mm + sum(one.mean_mm for one in contributors)
    if shape.kept is None:
        return _tell_point(Method.EXACT, mean, required_mm)
    values, shares = shape.list_shares()
    below = min(max(shape.find_share_below(required_mm[0] - base_mm), 0.0), 1.0)
    above = min(max(1.0 - shape.find_share_below(required_mm[1] - base_mm), 0.0), 1.0)
    ends = np.interp([TAIL, 1.0 - TAIL], shares, values)
    return Spread(
        Method.EXACT,
        mean,
        math.hypot(*(one.sigma_mm for one in contributors)),
        (base_mm + float(ends[0]), base_mm + float(ends[1])),
        below,
        max(1.0 - below - above, 0.0),
        above,
        2.0 * shape.error,
        base_mm + values,
        np.gradient(shares, shape.step_mm),
        shares,
    )


def find_exact_of(clearance: MeasuredClearance) -> Spread:
    """Find the exact spread of a clearance in service, straight or bent."""
    if clearance.bends:
        return find_bent(make_parts(clearance.bends), clearance.required_mm)
    return find_exact(clearance.in_service_mm, list_contributors(clearance), clearance.required_mm)


def find_bent(
    parts: Sequence[Part], required_mm: tuple[float, float], cells: int = CELLS
) -> Spread:
    """Find the spread of a bent clearance from the distributions of its parts.

    How far its shares may be off is judged by how much they change on a grid half as fine; no bound is proved.
    """
    shape, coarse = convolve_bent(parts, cells), convolve_bent(parts, cells // 2)
    if not shape.step_mm:
        return _tell_point(Method.EXACT, shape.mean_mm, required_mm)
    ends = [[one.find_share_below(end) for end in required_mm] for one in (shape, coarse)]
    shares = shape.shares_below
    limits = np.interp([TAIL, 1.0 - TAIL], shares, shape.values_mm)
    below, above = ends[0][0], 1.0 - ends[0][1]
    return Spread(
        Method.EXACT,
        shape.mean_mm,
        shape.sigma_mm,
        (float(limits[0]), float(limits[1])),
        below,
        max(1.0 - below - above, 0.0),
        above,
        sum(abs(fine - rough) for fine, rough in zip(*ends, strict=True)),
        shape.values_mm,
        shape.masses / shape.step_mm,
        shares,
    )


def sample_sum(
    contributors: Sequence[Contributor], chance: np.random.Generator, samples: int
) -> Floats:
    """Draw the sum of the contributors `samples` times; give (samples,) mm.

    Raises:
        RefusalError: fewer than two samples, or more than MOST_SAMPLES.
    """
    if not 2 <= samples <= MOST_SAMPLES:
        raise RefusalError(
            f"samples: {samples} builds cannot be drawn; give a number from 2 to {MOST_SAMPLES}"
        )
    totals = np.zeros(samples)
    for start in range(0, samples, BLOCK):
        block = totals[start : start + BLOCK]
        for one in contributors:
            one.add_draws(block, chance)
    return totals


def find_monte_carlo(
    base_mm: float,
    contributors: Sequence[Contributor],
    required_mm: tuple[float, float],
    chance: np.random.Generator,
    samples: int = SAMPLES,
) -> Spread:
    """Find the spread by drawing each contributor from its own distribution, build after build.

    Source: propagation of distributions by Monte Carlo, JCGM 101:2008 clause 7, from memory; the standard
    error of a share p of n builds is the root of p (1 - p) / n (textbook).

    Raises:
        RefusalError: as `sample_sum` does.
    """
    return _tell_drawn(base_mm + sample_sum(contributors, chance, samples), required_mm)


def _tell_drawn(drawn: Floats, required_mm: tuple[float, float]) -> Spread:
    samples = len(drawn)
    below = float(np.count_nonzero(drawn < required_mm[0] - SAME)) / samples
    above = float(np.count_nonzero(drawn > required_mm[1] + SAME)) / samples
    inside = 1.0 - below - above
    counts, edges = np.histogram(drawn, BARS)
    width = edges[1] - edges[0]
    low, high = np.quantile(drawn, (TAIL, 1.0 - TAIL))
    return Spread(
        Method.MONTE_CARLO,
        float(drawn.mean()),
        float(drawn.std()),
        (float(low), float(high)),
        below,
        inside,
        above,
        math.sqrt(max(inside * (1.0 - inside), 0.0) / samples),
        (edges[:-1] + edges[1:]) / 2.0,
        counts / (samples * width),
        np.cumsum(counts) / samples,
    )
