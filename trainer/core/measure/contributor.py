"""What each dimension brings to a clearance: how it is distributed, exactly, on a grid, and by chance."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from models.spec.dimension import TRUNCATED_AT, Dimension, Distribution
from trainer.core.measure.chain import Link, MeasuredClearance

Floats: TypeAlias = NDArray[np.float64]

TRUNCATED_SHARE = math.erf(TRUNCATED_AT / math.sqrt(2.0))
"""Share of a normal distribution that lies within where the truncated one ends."""
FAR = 8.3
"""Standard deviations beyond which a normal distribution holds less than what a float can tell from nothing."""


@dataclass(frozen=True, slots=True)
class Contributor:
    """How much one dimension moves a clearance: the limits of that, its peak, mean and standard deviation, mm.

    All are counted from the clearance at the build's values, and sensitivity is already in them, so that a
    clearance is its value plus one draw from each of its contributors.
    """

    distribution: Distribution
    low_mm: float
    peak_mm: float
    high_mm: float
    mean_mm: float
    sigma_mm: float

    def scale(self, sensitivity: float) -> Contributor:
        """Give what it brings to something that moves by `sensitivity` for each mm of it."""
        ends = sorted((sensitivity * self.low_mm, sensitivity * self.high_mm))
        return Contributor(
            self.distribution,
            ends[0],
            sensitivity * self.peak_mm,
            ends[1],
            sensitivity * self.mean_mm,
            abs(sensitivity) * self.sigma_mm,
        )

    @property
    def width_mm(self) -> float:
        """From the least to the most."""
        return self.high_mm - self.low_mm

    @property
    def reach_mm(self) -> tuple[float, float]:
        """From where to where it has to be drawn or summed: the limits, or of a normal one its far tails too."""
        if self.distribution is Distribution.NORMAL:
            return self.mean_mm - FAR * self.sigma_mm, self.mean_mm + FAR * self.sigma_mm
        return self.low_mm, self.high_mm

    @property
    def highest_per_mm(self) -> float:
        """The greatest density, per mm."""
        half = self.width_mm / 2.0
        if self.distribution is Distribution.NORMAL:
            return 1.0 / (self.sigma_mm * math.sqrt(2.0 * math.pi))
        if self.distribution is Distribution.TRUNCATED:
            return TRUNCATED_AT / (half * math.sqrt(2.0 * math.pi) * TRUNCATED_SHARE)
        return (0.5 if self.distribution is Distribution.RECTANGULAR else 1.0) / half

    def find_share_below(self, at_mm: Floats) -> Floats:
        """Find which share lies at or below each value: the distribution function."""
        if self.distribution is Distribution.NORMAL:
            from scipy.special import ndtr

            below: Floats = ndtr((at_mm - self.mean_mm) / self.sigma_mm)
            return below
        at = np.clip(at_mm, self.low_mm, self.high_mm)
        if self.distribution is Distribution.RECTANGULAR:
            return (at - self.low_mm) / self.width_mm
        if self.distribution is Distribution.TRUNCATED:
            from scipy.special import ndtr

            z = (at - self.mean_mm) / (self.width_mm / 2.0) * TRUNCATED_AT
            cut: Floats = (ndtr(z) - ndtr(-TRUNCATED_AT)) / TRUNCATED_SHARE
            return cut
        low, peak, high = self.low_mm, self.peak_mm, self.high_mm
        rising = (at - low) ** 2 / (self.width_mm * max(peak - low, 1e-300))
        falling = 1.0 - (high - at) ** 2 / (self.width_mm * max(high - peak, 1e-300))
        return np.where(at < peak, rising, falling)

    def find_mean_excess(self, at_mm: Floats) -> Floats:
        """Find the mean of what lies above each value, counted from it and as nothing below: E max(x - at, 0), mm.

        It is the area under the share that lies above, from there on; its bends are the masses on a grid.
        """
        at = np.clip(at_mm, *self.reach_mm)
        below = at - at_mm  # what is left out to the left counts in full, to the right not at all
        return self._find_excess_inside(at) + np.maximum(below, 0.0)

    def _find_excess_inside(self, at: Floats) -> Floats:
        low, peak, high = self.low_mm, self.peak_mm, self.high_mm
        if self.distribution is Distribution.RECTANGULAR:
            return (high - at) ** 2 / (2.0 * self.width_mm)
        if self.distribution in {Distribution.TRIANGULAR, Distribution.LOPSIDED}:
            falling = (high - at) ** 3 / (3.0 * self.width_mm * max(high - peak, 1e-300))
            rising = (at - low) ** 3 / (3.0 * self.width_mm * max(peak - low, 1e-300))
            return np.where(at < peak, self.mean_mm - at + rising, falling)
        from scipy.special import ndtr

        is_cut = self.distribution is Distribution.TRUNCATED
        end, share = (TRUNCATED_AT, TRUNCATED_SHARE) if is_cut else (math.inf, 1.0)
        scale = self.width_mm / 2.0 / TRUNCATED_AT if is_cut else self.sigma_mm
        z = (at - self.mean_mm) / scale
        bells = (np.exp(-(z**2) / 2.0) - math.exp(-(end**2) / 2.0)) / math.sqrt(2.0 * math.pi)
        excess: Floats = scale * (bells - z * (ndtr(end) - ndtr(z))) / share
        return excess

    def add_draws(self, total: Floats, chance: np.random.Generator) -> None:
        """Draw once for each place of `total` (n,) mm, and add it there.

        Source: a draw from a distribution is its inverse function of a uniform one, JCGM 101:2008 annex C,
        from memory.
        """
        if self.sigma_mm == 0.0:
            total += self.mean_mm
        elif self.distribution is Distribution.NORMAL:
            drawn = chance.standard_normal(len(total))
            drawn *= self.sigma_mm
            total += drawn
            total += self.mean_mm
        elif self.distribution is Distribution.RECTANGULAR:
            total += chance.uniform(self.low_mm, self.high_mm, len(total))
        elif self.distribution is Distribution.TRUNCATED:
            from scipy.special import ndtr, ndtri

            end = ndtr(-TRUNCATED_AT)
            z = ndtri(end + chance.random(len(total)) * TRUNCATED_SHARE)
            total += self.mean_mm + z * (self.width_mm / 2.0 / TRUNCATED_AT)
        else:
            total += chance.triangular(self.low_mm, self.peak_mm, self.high_mm, len(total))


def make_contributor(
    dimension: Dimension, sensitivity: float = 1.0, about_mm: float = 0.0
) -> Contributor:
    """Make what a dimension brings, counted from what it brings at `about_mm`."""
    return Contributor(
        dimension.distribution,
        dimension.lower - about_mm,
        dimension.peak - about_mm,
        dimension.upper - about_mm,
        dimension.mean - about_mm,
        dimension.sigma,
    ).scale(sensitivity)


def make_own(link: Link) -> Contributor:
    """Make what a link's dimension does by itself, counted from the value that the build takes."""
    peak = (link.lower_mm + link.upper_mm) / 2.0
    if link.distribution is Distribution.LOPSIDED:
        peak = min(max(link.nominal_mm, link.lower_mm), link.upper_mm)
    low, peak, high, mean = (
        at - link.value_mm for at in (link.lower_mm, peak, link.upper_mm, link.mean_mm)
    )
    return Contributor(link.distribution, low, peak, high, mean, link.sigma_mm)


def list_contributors(clearance: MeasuredClearance) -> tuple[Contributor, ...]:
    """List what moves a clearance about its value in service, in the order of its chain."""
    return tuple(make_own(link).scale(link.sensitivity) for link in clearance.service_chain)
