"""How likely a pack of shims brings every clearance that it moves inside its limits, all at once.

A clearance is what all but the shims give (its rest) plus s times the thickness of the pack. So it is inside
its limits when the thickness lies between two values that its rest alone decides. All clearances are inside
when the thickness lies between the greatest of the lower and the least of the upper ones: one common draw of
the rests, sorted, answers every thickness. What rests have in common is drawn once.

The clearance that is set is known exactly, by convolution; drawn is only the share of builds in which it is
inside and another is not, which is small wherever a pack is any good, and so is its error.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from models.spec.dimension import Distribution
from models.spec.length import Term
from trainer.core.measure.contributor import FAR, Floats
from trainer.core.measure.convolution import convolve
from trainer.core.measure.packs import SAME_MM
from trainer.core.measure.rests import Rest

BUILDS = 1 << 16
SEED = 20_260
"""The same question has the same answer: the builds are drawn from one fixed start."""
POINTS = 2048
RATIO = 1.25
"""Between the spreads of shims that are worked out; in between is read off straight."""
NARROWEST_MM = 1e-12
TOO_FEW = 1e-4
"""Losses that are nowhere more than this share of builds are left out: a tenth of what counts as a difference."""


def find_chances(
    rests: Sequence[Rest], totals_mm: Floats, variances_mm2: Floats
) -> tuple[Floats, Floats]:
    """Find how likely each pack brings the first clearance inside, and how likely all of them.

    Args:
        rests: of the clearance that is set, and of every other that the pack moves.
        totals_mm: (n,) what each pack comes to.
        variances_mm2: (n,) variance of that.
    """
    alone, together = np.zeros(len(totals_mm)), np.zeros(len(totals_mm))
    low, high = _find_ends(rests[0])
    margin = FAR * math.sqrt(float(variances_mm2.max())) + SAME_MM
    near = np.flatnonzero((totals_mm >= low - margin) & (totals_mm <= high + margin))
    if not len(near):
        return alone, together
    totals_mm, variances_mm2 = totals_mm[near], variances_mm2[near]
    alone[near] = inside = _find_alone(rests[0], totals_mm, variances_mm2)
    lost = _find_losses(tuple(rests)) if len(rests) > 1 else None
    if lost is not None and float(lost.shares.max()) >= TOO_FEW:
        inside = np.clip(inside - lost.read(totals_mm, variances_mm2), 0.0, 1.0)
    together[near] = inside
    return alone, together


def _find_alone(rest: Rest, totals_mm: Floats, variances_mm2: Floats) -> Floats:
    """Find how likely one clearance is inside, by its exact distribution."""
    spread = [one for one in rest.contributors if one.sigma_mm > 0.0]
    if any(one.distribution is not Distribution.NORMAL for one in spread):
        return np.clip(_draw_alone(rest).read(totals_mm, variances_mm2), 0.0, 1.0)
    from scipy.special import ndtr

    normal = sum(one.sigma_mm**2 for one in spread)
    sigmas = np.sqrt(normal + rest.sensitivity**2 * variances_mm2 + NARROWEST_MM**2)
    at = rest.expected_mm + rest.sensitivity * totals_mm
    low, high = rest.required_mm
    inside: Floats = ndtr((high + SAME_MM - at) / sigmas) - ndtr((low - SAME_MM - at) / sigmas)
    return inside


@dataclass(frozen=True, slots=True, eq=False)
class _Curve:
    """Shares (m,) over thicknesses of a pack known exactly, a step apart from `first_mm` on; none beyond."""

    first_mm: float
    step_mm: float
    shares: Floats

    def read(self, totals_mm: Floats, variances_mm2: Floats) -> Floats:
        """Read the share at each thickness, smeared by how far that may be off: normal, of its variance."""
        sigmas = np.sqrt(np.maximum(variances_mm2, (self.step_mm / 2.0) ** 2))
        least, most = float(sigmas.min()), float(sigmas.max())
        levels = np.geomspace(least, most, math.ceil(math.log(most / least) / math.log(RATIO)) + 1)
        margin = math.ceil(8.0 * most / self.step_mm)
        size = 1 << (len(self.shares) + 2 * margin).bit_length()
        padded = np.zeros(size)
        padded[margin : margin + len(self.shares)] = self.shares
        turns = 2.0 * math.pi * np.fft.rfftfreq(size, self.step_mm)
        smear = np.exp(-((levels[:, None] * turns) ** 2) / 2.0)
        rows = np.fft.irfft(np.fft.rfft(padded) * smear, size)
        place = (totals_mm - self.first_mm) / self.step_mm + margin
        level = np.zeros(len(sigmas))
        if len(levels) > 1:
            level = np.log(sigmas / least) / math.log(levels[1] / levels[0])
        return _read_between(rows, level, np.clip(place, 0.0, size - 1.001))


def _read_between(table: Floats, rows: Floats, columns: Floats) -> Floats:
    """Read a table at places between its rows and columns, straight along both."""
    row, column = rows.astype(np.int64), columns.astype(np.int64)
    down, along = rows - row, columns - column
    below = np.minimum(row + 1, len(table) - 1)
    row = np.minimum(row, len(table) - 1)
    upper = table[row, column] * (1.0 - along) + table[row, column + 1] * along
    lower = table[below, column] * (1.0 - along) + table[below, column + 1] * along
    read: Floats = upper * (1.0 - down) + lower * down
    return read


@lru_cache(maxsize=64)
def _find_ends(rest: Rest) -> tuple[float, float]:
    """Find between which thicknesses of the pack, mm, a clearance may be inside at all."""
    reach = [one.reach_mm for one in rest.contributors]
    low = rest.required_mm[0] - rest.base_mm - sum(one[1] for one in reach)
    high = rest.required_mm[1] - rest.base_mm - sum(one[0] for one in reach)
    ends = sorted((low / rest.sensitivity, high / rest.sensitivity))
    return ends[0], ends[1]


def _list_thicknesses(rest: Rest) -> tuple[Floats, float]:
    """List those thicknesses, and one beyond each end, with the step between them, mm."""
    low, high = _find_ends(rest)
    step = (high - low) / (POINTS - 3)
    return low + step * np.arange(-1, POINTS - 1, dtype=np.float64), step


@lru_cache(maxsize=16)
def _draw_alone(rest: Rest) -> _Curve:
    """Draw the curve of a clearance that is not normal: how likely it is inside at each thickness."""
    at, step = _list_thicknesses(rest)
    values, shares = convolve(rest.contributors).list_shares()
    low, high = (end - rest.base_mm - rest.sensitivity * at for end in rest.required_mm)
    inside = np.interp(high, values, shares) - np.interp(low, values, shares)
    return _Curve(float(at[0]), step, inside)


@lru_cache(maxsize=16)
def _find_losses(rests: tuple[Rest, ...]) -> _Curve:
    """Find, for each thickness, the share of builds in which the first clearance is inside and another is not."""
    at, step = _list_thicknesses(rests[0])
    lows, highs = _draw_windows(rests)
    alone = _count_inside(lows[0], highs[0], at)
    together = _count_inside(lows.max(axis=0), highs.min(axis=0), at)
    return _Curve(float(at[0]), step, (alone - together) / lows.shape[1])


def _draw_windows(rests: tuple[Rest, ...]) -> tuple[Floats, Floats]:
    """Draw builds; give the least and the most thickness (rests, BUILDS) that each clearance allows in each, mm."""
    chance = np.random.default_rng(SEED)
    values = np.array([[rest.base_mm] for rest in rests]) + np.zeros(BUILDS)
    drawn: dict[Term, Floats] = {}
    for rest, value in zip(rests, values, strict=True):
        for term, one, s in rest.terms:
            if term not in drawn:
                drawn[term] = np.zeros(BUILDS)
                one.add_draws(drawn[term], chance)
            value[:] += s * drawn[term]
    ends = np.array([rest.required_mm for rest in rests])
    moves = np.array([[rest.sensitivity] for rest in rests])
    one_end, other_end = (ends[:, :1] - values) / moves, (ends[:, 1:] - values) / moves
    return np.minimum(one_end, other_end), np.maximum(one_end, other_end)


def _count_inside(lows: Floats, highs: Floats, at: Floats) -> Floats:
    """Count, for each thickness, the builds whose window it lies in; a window may be empty."""
    is_open = lows <= highs
    begun = np.searchsorted(np.sort(lows[is_open]), at, side="right")
    ended = np.searchsorted(np.sort(highs[is_open]), at, side="left")
    return (begun - ended).astype(np.float64)
