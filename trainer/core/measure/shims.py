"""Choose the shim pack that brings a clearance to its aim, from what lies in the drawer.

Works from drawing values, from measured parts, or from one measured gap with a known pack alone,
which is how it is done at the bench: t = t0 + (aim - gap) / s (common practice), where s is how far
the clearance moves for each millimetre of shim.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from models.spec.errors import RefusalError
from trainer.core.measure.chain import MeasuredClearance

MOST_SHIMS = 4
"""Shims in one pack at most (common practice: three to four, thin ones between thick)."""
MOST_ALTERNATIVES = 3
PACK_PREFIX = "shim-"
SAME_MM = 1e-9


@dataclass(frozen=True, slots=True)
class StockShim:
    """A kind of shim in the drawer: thickness and its tolerance (plus or minus), mm, and how many there are."""

    thickness_mm: float
    tolerance_mm: float
    in_drawer: int


@dataclass(frozen=True, slots=True)
class MeasuredGap:
    """A gap measured on the built pump, mm, with the pack that was in it, and the gauge's standard deviation."""

    gap_mm: float
    pack_mm: tuple[float, ...]
    sigma_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Moved:
    """Another clearance that the pack moves: what it becomes, and whether that is inside its own limits."""

    name: str
    result_mm: float
    required_mm: tuple[float, float]

    @property
    def is_inside(self) -> bool:
        """Is it inside its requirement?"""
        return self.required_mm[0] - SAME_MM <= self.result_mm <= self.required_mm[1] + SAME_MM


@dataclass(frozen=True, slots=True)
class Pack:
    """One pack: the clearance it gives, the chance that this lands inside, and what else it moves."""

    shims_mm: tuple[float, ...]
    result_mm: float
    chance: float
    moved: tuple[Moved, ...]

    @property
    def total_mm(self) -> float:
        """Thickness of the whole pack."""
        return sum(self.shims_mm)

    @property
    def conflicts(self) -> tuple[str, ...]:
        """Names of the other clearances it would put outside their limits."""
        return tuple(moved.name for moved in self.moved if not moved.is_inside)


@dataclass(frozen=True, slots=True)
class ShimAnswer:
    """The best pack and the next best.

    fits: False when no pack brings everything inside. ideal_mm: the thickness that would meet the aim.
    from_gap: worked out from one measured gap, not from the drawing.
    """

    clearance: str
    aim_mm: float
    required_mm: tuple[float, float]
    best: Pack
    alternatives: tuple[Pack, ...]
    fits: bool
    ideal_mm: float
    from_gap: bool


def find_shim_sensitivity(clearance: MeasuredClearance) -> float:
    """Find how far a clearance moves for each mm of shim. Raises RefusalError when shims do not move it."""
    moves = {link.sensitivity for link in clearance.chain if link.piece.startswith(PACK_PREFIX)}
    if not moves:
        raise RefusalError(f"shims do not move the clearance {clearance.name}")
    if len(moves) > 1:
        raise ValueError(
            f"shims of one pack move {clearance.name} by different amounts: {sorted(moves)}"
        )
    return moves.pop()


def choose_pack(
    clearances: Sequence[MeasuredClearance],
    name: str,
    stock: Sequence[StockShim],
    found: MeasuredGap | None = None,
    most: int = MOST_SHIMS,
) -> ShimAnswer:
    """Choose the pack: inside everything it moves, then the highest chance, nearest the aim, fewest shims.

    Args:
        clearances: all clearances of the build, measured values already in them.
        name: the clearance to set.
        stock: the drawer.
        found: one measured gap with a known pack; a measured value beats a computed one.
        most: shims allowed in the joint.

    Raises:
        RefusalError: unknown clearance, one that shims do not move, or an empty drawer.
    """
    target = next((one for one in clearances if one.name == name), None)
    if target is None:
        raise RefusalError(f"no clearance is called {name!r}")
    sensitivity = find_shim_sensitivity(target)
    if not any(shim.in_drawer for shim in stock):
        raise RefusalError("the drawer is empty: no shim to choose from")
    others = [
        one
        for one in clearances
        if one.name != name and any(link.piece.startswith(PACK_PREFIX) for link in one.chain)
    ]
    base, sigma = _base(target, sensitivity, found)
    packs = []
    for chosen in _combine(stock, most):
        total = sum(shim.thickness_mm for shim in chosen)
        spread = math.hypot(sigma, *(sensitivity * shim.tolerance_mm / 3.0 for shim in chosen))
        result = base + sensitivity * total
        moved = tuple(_moved(one, total) for one in others)
        shims = tuple(sorted((shim.thickness_mm for shim in chosen), reverse=True))
        packs.append(Pack(shims, result, find_chance(result, spread, target.required_mm), moved))
    packs.sort(key=lambda pack: _rank(pack, target))
    best = packs[0]
    inside = target.required_mm[0] - SAME_MM <= best.result_mm <= target.required_mm[1] + SAME_MM
    ideal = (target.aim_mm - base) / sensitivity
    fits = inside and not best.conflicts
    return ShimAnswer(
        name,
        target.aim_mm,
        target.required_mm,
        best,
        tuple(packs[1 : 1 + MOST_ALTERNATIVES]),
        fits,
        ideal,
        found is not None,
    )


def find_chance(result_mm: float, sigma_mm: float, required_mm: tuple[float, float]) -> float:
    """Find the chance that a normally spread value lies inside its limits."""
    low, high = required_mm
    if sigma_mm <= 0.0:
        return float(low - SAME_MM <= result_mm <= high + SAME_MM)
    scale = sigma_mm * math.sqrt(2.0)
    return 0.5 * (math.erf((high - result_mm) / scale) - math.erf((low - result_mm) / scale))


def _base(
    target: MeasuredClearance, sensitivity: float, found: MeasuredGap | None
) -> tuple[float, float]:
    """Give the clearance with no shim at all, and the standard deviation of all that is not shim."""
    if found is not None:
        return found.gap_mm - sensitivity * sum(found.pack_mm), found.sigma_mm
    present = sum(link.value_mm for link in target.chain if link.piece.startswith(PACK_PREFIX))
    rest = [link for link in target.chain if not link.piece.startswith(PACK_PREFIX)]
    return (
        target.in_service_mm - sensitivity * present,
        math.hypot(*(link.sensitivity * link.sigma_mm for link in rest)),
    )


def _moved(one: MeasuredClearance, total_mm: float) -> Moved:
    present = sum(link.value_mm for link in one.chain if link.piece.startswith(PACK_PREFIX))
    return Moved(
        one.name,
        one.in_service_mm + find_shim_sensitivity(one) * (total_mm - present),
        one.required_mm,
    )


def _combine(stock: Sequence[StockShim], most: int) -> Iterator[tuple[StockShim, ...]]:
    """Yield every pack of one to `most` shims that the drawer can fill."""
    for count in range(1, most + 1):
        for chosen in itertools.combinations_with_replacement(stock, count):
            if all(chosen.count(shim) <= shim.in_drawer for shim in set(chosen)):
                yield chosen


def _rank(
    pack: Pack, target: MeasuredClearance
) -> tuple[int, float, float, int, tuple[float, ...]]:
    """Smaller is better; chances that differ by less than one in a thousand count as equal."""
    off = abs(pack.result_mm - target.aim_mm)
    return (
        len(pack.conflicts),
        -round(pack.chance, 3),
        round(off, 6),
        len(pack.shims_mm),
        pack.shims_mm,
    )
