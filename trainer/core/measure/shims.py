"""Choose the shim pack that most likely brings every clearance it moves inside, from what lies in the drawer.

Works from drawing values, from measured parts, or from one measured gap with a known pack alone, which is
how it is done at the bench: t = t0 + (aim - gap) / s (common practice), where s is how far the clearance moves
for each millimetre of shim. Then a shim that stays in is the same shim, and only what is changed adds spread.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from trainer.core.measure.chain import MeasuredClearance
from trainer.core.measure.contributor import Contributor, Floats
from trainer.core.measure.landing import find_chances
from trainer.core.measure.packs import (
    MOST_SHIMS,
    SAME_MM,
    Packs,
    StockShim,
    list_packs,
    make_measured_shim,
)
from trainer.core.measure.rests import (
    MeasuredGap,
    Rest,
    list_rests,
)

MOST_ALTERNATIVES = 3
USEFUL_MM = 0.005
"""Packs that differ by less than this are the same to whoever fits them, unless one has fewer shims."""
LOOKED_AT = 400
CHANCES = 200.0
"""Chances that differ by less than one in so many count as equal: no shop could tell them apart."""
SEEN_MM = 0.02
"""Distances from the aim count in whole steps of this: the thinnest feelers are no thinner. Common practice."""
UM_PER_MM = 1e3


@dataclass(frozen=True, slots=True)
class Moved:
    """A clearance that the pack moves: what it becomes, and whether that is inside its own limits."""

    name: str
    result_mm: float
    required_mm: tuple[float, float]

    @property
    def is_inside(self) -> bool:
        """Is it inside its requirement?"""
        return self.outside_mm == 0.0

    @property
    def outside_mm(self) -> float:
        """By how much it is outside its limits; 0 inside, up to rounding."""
        low, high = self.required_mm
        off = max(low - self.result_mm, self.result_mm - high)
        return off if off > SAME_MM else 0.0


@dataclass(frozen=True, slots=True)
class Pack:
    """One pack: the clearance it gives, how likely that lands inside, and what else it moves.

    chance: that every clearance it moves lands inside at once. alone: that the one to set does.
    added_mm, removed_mm: what is put in and taken out of the pack that was in, where one was.
    """

    shims_mm: tuple[float, ...]
    result_mm: float
    chance: float
    alone: float
    moved: tuple[Moved, ...]
    added_mm: tuple[float, ...] = ()
    removed_mm: tuple[float, ...] = ()

    @property
    def total_mm(self) -> float:
        """Thickness of the whole pack."""
        return sum(self.shims_mm)

    @property
    def conflicts(self) -> tuple[str, ...]:
        """Names of the other clearances it would put outside their limits."""
        return tuple(moved.name for moved in self.moved if not moved.is_inside)


@dataclass(frozen=True, slots=True)
class Conflict:
    """Two requirements that no thickness meets at once: one wants at least, the other at most, mm of pack."""

    wants_more: str
    least_mm: float
    wants_less: str
    most_mm: float


@dataclass(frozen=True, slots=True)
class ShimAnswer:
    """The best pack and the next best.

    fits: False when even the best pack puts something outside. ideal_mm: the thickness that would meet the aim.
    windows: by clearance, between which thicknesses it is inside. conflict: why no thickness at all
    would do. to_order: shims of the usual thicknesses that make a pack which fits, less what the drawer has.
    ordered: that pack. from_gap: worked out from a measured gap; has_gauge: with how far its gauge may be off.
    tried: how many packs were compared.
    """

    clearance: str
    aim_mm: float
    required_mm: tuple[float, float]
    best: Pack
    alternatives: tuple[Pack, ...]
    fits: bool
    ideal_mm: float
    from_gap: bool
    windows: tuple[tuple[str, float, float], ...]
    conflict: Conflict | None
    to_order: tuple[float, ...]
    ordered: Pack | None
    tried: int
    has_gauge: bool = False


def choose_pack(
    clearances: Sequence[MeasuredClearance],
    name: str,
    stock: Sequence[StockShim],
    found: MeasuredGap | None = None,
    most: int = MOST_SHIMS,
    usual: Sequence[StockShim] = (),
) -> ShimAnswer:
    """Choose the pack: the highest chance that all lands inside, then nearest the aim, then fewest shims.

    Of two that are alike in all that, the one for which fewer shims of a measured pack are changed.

    Args:
        clearances: all clearances of the build, measured values already in them.
        name: the clearance to set.
        stock: the drawer.
        found: the measured gap with a known pack, and what else was measured; it beats what is computed.
        most: shims allowed in the joint.
        usual: thicknesses that can be bought, for what to order when nothing in the drawer fits.

    Raises:
        RefusalError: unknown clearance, one that shims do not move, limits that nothing can be inside, an
            empty drawer, or a number of shims that no joint takes.
    """
    present = found.pack_mm if found else None
    rests = list_rests(clearances, name, found, _find_variance(stock, present or ()))
    packs = list_packs(_add_present(stock, present), most)
    ranked = _rank(packs, rests, present)
    best, *others = ranked
    windows = tuple((rest.name, *rest.find_window()) for rest in rests)
    conflict = _find_conflict(windows)
    fits = _is_all_inside(best, rests[0])
    is_to_order = not fits and conflict is None and bool(usual)
    ordered, to_order = (
        _find_order(stock, usual, rests, present, most) if is_to_order else (None, ())
    )
    return ShimAnswer(
        name,
        rests[0].aim_mm,
        rests[0].required_mm,
        best,
        tuple(others),
        fits,
        (rests[0].aim_mm - rests[0].expected_mm) / rests[0].sensitivity,
        found is not None,
        windows,
        conflict,
        to_order,
        ordered,
        len(packs.totals_mm),
        found is not None and found.gauge_mm > 0.0,
    )


def make_shim_spread(
    answer: ShimAnswer, rest: Rest, stock: Sequence[StockShim]
) -> tuple[Contributor, ...]:
    """Make how the shims of the best pack spread the clearance that is set: all, or of a measured gap the changed."""
    best = answer.best
    shims = (*best.added_mm, *best.removed_mm) if answer.from_gap else best.shims_mm
    found = []
    for thickness in shims:
        shim = find_shim(stock, thickness)
        off, sigma = shim.tolerance_mm, math.sqrt(shim.variance_mm2)
        one = Contributor(shim.distribution, -off, 0.0, off, 0.0, sigma)
        found.append(one.scale(rest.sensitivity))
    return tuple(found)


# ------------------------------------------------------------------ comparing packs
def _add_present(
    stock: Sequence[StockShim], present: Sequence[float] | None
) -> tuple[StockShim, ...]:
    """Add the shims that are in the pump to the drawer: they can go in again.

    One of a thickness that the drawer does not know was measured, or nobody could say what it is.
    """
    kinds = list(stock)
    for thickness in present or ():
        place = _find_kind(kinds, thickness)
        if place < 0:
            kinds.append(make_measured_shim(thickness))
        else:
            kinds[place] = replace(kinds[place], in_drawer=kinds[place].in_drawer + 1)
    return tuple(kinds)


def _rank(packs: Packs, rests: Sequence[Rest], present: Sequence[float] | None) -> tuple[Pack, ...]:
    """Rank packs and give the best with those after it that differ usefully."""
    counted = _count_present(packs, present)
    variances = packs.find_variances(counted)
    alone, chances = find_chances(rests, packs.totals_mm, variances)
    order = _sort(packs, rests, chances, packs.count_changes(counted))
    chosen: list[int] = []
    for place in order:
        if all(_is_useful(packs, int(place), before) for before in chosen):
            chosen.append(int(place))
        if len(chosen) > MOST_ALTERNATIVES:
            break
    return tuple(
        _make_pack(packs, place, rests, (float(chances[place]), float(alone[place])), present)
        for place in chosen
    )


def _find_variance(stock: Sequence[StockShim], shims_mm: Sequence[float]) -> float:
    """Find the variance of a pack; a shim that the drawer does not know was measured."""
    return sum(find_shim(stock, thickness).variance_mm2 for thickness in shims_mm)


def _count_present(packs: Packs, present: Sequence[float] | None) -> list[int] | None:
    if present is None:
        return None
    counts = [0] * len(packs.kinds)
    for thickness in present:
        counts[_find_kind(packs.kinds, thickness)] += 1
    return counts


def find_shim(stock: Sequence[StockShim], thickness_mm: float) -> StockShim:
    """Find the kind of shim that a thickness stands for: the packet with that number on it, else one that was measured."""
    kind = _find_kind(stock, thickness_mm)
    return stock[kind] if kind >= 0 else make_measured_shim(thickness_mm)


def _find_kind(kinds: Sequence[StockShim], thickness_mm: float) -> int:
    """Find the first kind of a thickness; -1 when there is none."""
    same = (i for i, kind in enumerate(kinds) if abs(kind.thickness_mm - thickness_mm) < SAME_MM)
    return next(same, -1)


def _sort(
    packs: Packs, rests: Sequence[Rest], chances: Floats, changes: NDArray[np.int64]
) -> list[int]:
    """Sort the best few: by chance, how far off the aim as far as it is seen (of hopeless ones: outside), fewest shims and changes."""
    target = rests[0]
    off = np.abs(target.expected_mm + target.sensitivity * packs.totals_mm - target.aim_mm)
    likely = np.rint(chances * CHANCES)
    if not likely.any():
        off = off + 1e3 * sum(_find_outside(rest, packs.totals_mm) for rest in rests)
    # One whole number holds all five: sorting it is sorting by them. What is left of the aim, in um, comes last.
    key = (
        ((CHANCES - likely).astype(np.int64) << 52)
        + (np.floor(np.minimum(off / SEEN_MM + 1e-6, 2.0**19)).astype(np.int64) << 32)
        + (packs.shims << 29)
        + (changes << 24)
        + np.rint(np.minimum(off * UM_PER_MM, 2.0**23)).astype(np.int64)
    )
    few = min(LOOKED_AT, len(key))
    best = np.argpartition(key, few - 1)[:few]
    return sorted(best.tolist(), key=lambda place: (int(key[place]), place))


def _find_outside(rest: Rest, totals_mm: Floats) -> Floats:
    value = rest.expected_mm + rest.sensitivity * totals_mm
    low, high = rest.required_mm
    return np.maximum(np.maximum(low - value, value - high), 0.0)


def _is_useful(packs: Packs, place: int, before: int) -> bool:
    """Does a pack give something that an earlier one does not: another thickness, or fewer shims?"""
    is_other = abs(packs.totals_mm[place] - packs.totals_mm[before]) >= USEFUL_MM
    return bool(is_other or packs.shims[place] < packs.shims[before])


def _make_pack(
    packs: Packs,
    place: int,
    rests: Sequence[Rest],
    chances: tuple[float, float],
    present: Sequence[float] | None,
) -> Pack:
    shims, total = packs.list_shims(place), float(packs.totals_mm[place])
    results = [rest.expected_mm + rest.sensitivity * total for rest in rests]
    return Pack(
        shims,
        results[0],
        *chances,
        tuple(
            Moved(rest.name, result, rest.required_mm)
            for rest, result in zip(rests[1:], results[1:], strict=True)
        ),
        _take_from(shims, present) if present is not None else (),
        _take_from(present, shims) if present is not None else (),
    )


def _is_all_inside(pack: Pack, target: Rest) -> bool:
    """Does a pack leave the clearance that is set, and all others that it moves, inside?"""
    return not pack.conflicts and Moved("", pack.result_mm, target.required_mm).is_inside


def _take_from(shims: Sequence[float], taken: Sequence[float]) -> tuple[float, ...]:
    """Take shims out of a pack; give those that are left, thickest first."""
    left = list(shims)
    for thickness in taken:
        place = next((i for i, one in enumerate(left) if abs(one - thickness) < SAME_MM), None)
        if place is not None:
            left.pop(place)
    return tuple(sorted(left, reverse=True))


# ------------------------------------------------------------------ when nothing fits
def _find_conflict(windows: Sequence[tuple[str, float, float]]) -> Conflict | None:
    """Find the two requirements that contradict each other most, if any do."""
    more = max(windows, key=lambda window: window[1])
    less = min(windows, key=lambda window: window[2])
    if more[1] <= less[2] + SAME_MM:
        return None
    return Conflict(more[0], more[1], less[0], less[2])


def _find_order(
    stock: Sequence[StockShim],
    usual: Sequence[StockShim],
    rests: Sequence[Rest],
    present: Sequence[float] | None,
    most: int,
) -> tuple[Pack | None, tuple[float, ...]]:
    """Find a pack of usual thicknesses that fits, and which of its shims the drawer (or the pump) lacks."""
    endless = tuple(replace(kind, in_drawer=most) for kind in usual)
    best = _rank(list_packs(_add_present(endless, present), most), rests, present)[0]
    if not _is_all_inside(best, rests[0]):
        return None, ()
    here = [
        kind.thickness_mm
        for kind in _add_present(stock, present)
        for _ in range(min(kind.in_drawer, most))
    ]
    return best, _take_from(best.shims_mm, here)
