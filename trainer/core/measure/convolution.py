"""The exact distribution of a sum: each contributor's own distribution on one grid, convolved.

All normal contributors together are one normal, exactly. Of the rest the widest is kept as it is, unless there
is a normal to keep; every other one is put on the grid by its mean excess, which keeps its mean exactly, and
those are convolved by fast Fourier transform. Last, the kept one is laid over the result exactly.

How far that can be off. Putting x on a grid of step h this way is to read any function of x along straight
lines between grid points. The share below some value, as a function of x, bends by no more than the greatest
density of the kept one, K, at any one place (it rises once and falls once); straight lines miss a bend by a
triangle of area h2/8 at most, and x lies under it with density M at most: off by at most h2/8 K M. That is much
for one narrower than the grid, but then another, of greatest density A, spreads the bends: over one step they come
to h A K at most, and straight lines miss h/4 of that: off by at most h2/4 K A, however x is distributed. One after
the other, the errors of all contributors add up. The share inside two limits is off by twice that at most.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from models.spec.dimension import Distribution
from trainer.core.measure.contributor import Contributor, Floats

CELLS = 4096
"""Grid steps over the whole reach of a sum."""


@dataclass(frozen=True, slots=True, eq=False)
class SumShape:
    """A sum of contributors, mm: masses on a grid, the contributor laid over them, and how far shares may be off.

    at_mm, masses: (n,) what the gridded ones come to, and how likely each is. kept: what is laid over
    them; None when nothing spreads, and then there is one mass. error: of any share below a value.
    """

    at_mm: Floats
    masses: Floats
    kept: Contributor | None
    step_mm: float
    error: float

    @property
    def reach_mm(self) -> tuple[float, float]:
        """From the least to the most that has to be looked at."""
        low, high = self.kept.reach_mm if self.kept else (0.0, 0.0)
        return float(self.at_mm[0]) + low, float(self.at_mm[-1]) + high

    def find_share_below(self, value_mm: float) -> float:
        """Find which share of the sum lies at or below a value."""
        if self.kept is None:
            return float(self.at_mm[0] <= value_mm)
        return float(self.masses @ self.kept.find_share_below(value_mm - self.at_mm))

    def list_shares(self) -> tuple[Floats, Floats]:
        """List values (m,) over the whole reach, one grid step apart, and the share at or below each."""
        if self.kept is None:
            return self.at_mm[:1], np.ones(1)
        low, high = self.reach_mm
        steps = np.arange(math.ceil((high - low) / self.step_mm) + 1, dtype=np.float64)
        values = low + self.step_mm * steps
        shares = self.kept.find_share_below(values - self.at_mm[0])
        if len(self.masses) > 1:
            size = 1 << (len(values) + len(self.masses)).bit_length()
            product = np.fft.rfft(shares, size) * np.fft.rfft(self.masses, size)
            shares = np.fft.irfft(product, size)[: len(values)]
        return values, np.clip(shares, 0.0, 1.0)


def convolve(contributors: Sequence[Contributor], cells: int = CELLS) -> SumShape:
    """Convolve contributors into the distribution of their sum, on a grid of `cells` over its reach."""
    spread = [one for one in contributors if one.sigma_mm > 0.0]
    fixed = sum(one.mean_mm for one in contributors if one.sigma_mm == 0.0)
    if not spread:
        return SumShape(np.array([fixed]), np.ones(1), None, 0.0, 0.0)
    kept, others = _choose_kept(spread)
    whole = sum(one.reach_mm[1] - one.reach_mm[0] for one in (kept, *others))
    step = whole / cells
    start, rows = 0, []
    for one in others:
        first, masses = _put_on_grid(one, step)
        start += first
        rows.append(masses)
    masses = convolve_rows(rows)
    error = _find_error(step, kept, others)
    return SumShape(
        fixed + step * (start + np.arange(len(masses), dtype=np.float64)),
        masses,
        kept,
        step,
        error,
    )


def _find_error(step_mm: float, kept: Contributor, others: Sequence[Contributor]) -> float:
    """Find by how much a share below a value may be off, as the module says."""
    if not others:
        return 0.0
    flattest, *more = sorted(one.highest_per_mm for one in others)
    bends = flattest / 8.0 + sum(min(highest / 8.0, flattest / 4.0) for highest in more)
    return kept.highest_per_mm * min(step_mm * step_mm * bends, len(others) * step_mm / 4.0)


def _choose_kept(spread: Sequence[Contributor]) -> tuple[Contributor, list[Contributor]]:
    """Choose what is laid over the grid: all normal ones as one, else the widest; give it and the rest.

    Source: a sum of normal distributions is normal, its mean and variance the sums (textbook).
    """
    normal = [one for one in spread if one.distribution is Distribution.NORMAL]
    rest = [one for one in spread if one.distribution is not Distribution.NORMAL]
    if normal:
        mean = sum(one.mean_mm for one in normal)
        sigma = math.hypot(*(one.sigma_mm for one in normal))
        half = 3.0 * sigma
        return Contributor(Distribution.NORMAL, mean - half, mean, mean + half, mean, sigma), rest
    kept = max(rest, key=lambda one: one.width_mm)
    rest.remove(kept)
    return kept, rest


def _put_on_grid(one: Contributor, step_mm: float) -> tuple[int, Floats]:
    """Put a contributor on whole multiples of a step; give the first of them and the masses.

    Each point takes what lies within a step of it, the more the nearer: so the mean stays what it is.
    """
    first = math.floor(one.low_mm / step_mm)
    last = math.ceil(one.high_mm / step_mm)
    excess = one.find_mean_excess(step_mm * np.arange(first - 1, last + 2, dtype=np.float64))
    masses = np.maximum(np.diff(excess, 2) / step_mm, 0.0)
    return first, masses / masses.sum()


def convolve_rows(rows: Sequence[Floats]) -> Floats:
    """Convolve rows of masses into one row."""
    if len(rows) < 2:
        return rows[0] if rows else np.ones(1)
    length = sum(len(row) - 1 for row in rows) + 1
    size = 1 << (length - 1).bit_length()
    padded = np.zeros((len(rows), size))
    for place, row in enumerate(rows):
        padded[place, : len(row)] = row
    product = np.fft.rfft(padded).prod(axis=0)
    masses: Floats = np.maximum(np.fft.irfft(product, size)[:length], 0.0)
    masses /= masses.sum()
    return masses
