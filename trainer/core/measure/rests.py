"""What all but the shims gives of each clearance: from the drawing, from measured parts, or from a measured gap."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from models.spec.dimension import Distribution
from models.spec.errors import RefusalError, say_near
from models.spec.length import Term
from trainer.core.measure.chain import Link, MeasuredClearance
from trainer.core.measure.contributor import Contributor, make_own
from trainer.core.measure.spread import check_required

PACK_PREFIX = "shim-"
FOUND_PACK: Term = ("pack-that-was-in", "thickness")
GAUGE = "gauge"
"""Stands for the gauge where a term of a chain names a piece."""


@dataclass(frozen=True, slots=True)
class Rest:
    """What all but the shims give of one clearance, mm: its value without any, and what that depends on.

    sensitivity: how far the clearance moves for each mm of shim. terms: who contributes, how that varies by
    itself, and how far the clearance moves for each mm of it; a term in two rests is one and the same thing.
    """

    name: str
    base_mm: float
    sensitivity: float
    aim_mm: float
    required_mm: tuple[float, float]
    terms: tuple[tuple[Term, Contributor, float], ...]

    @property
    def contributors(self) -> tuple[Contributor, ...]:
        """What it depends on."""
        return tuple(one.scale(s) for _, one, s in self.terms)

    @property
    def expected_mm(self) -> float:
        """Its mean without any shim."""
        return self.base_mm + sum(one.mean_mm for one in self.contributors)

    def find_window(self) -> tuple[float, float]:
        """Find between which thicknesses of the pack the expected clearance is inside its limits."""
        ends = sorted((end - self.expected_mm) / self.sensitivity for end in self.required_mm)
        return ends[0], ends[1]


@dataclass(frozen=True, slots=True)
class GapReading:
    """A clearance measured on the built pump, mm, and by how much its gauge may be off, up or down."""

    name: str
    gap_mm: float
    gauge_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class MeasuredGap:
    """The clearance to set as measured on the built pump, mm, with the pack that was in it.

    gauge_mm: by how much the gauge may be off, up or down. others: what else was measured with that pack in.
    """

    gap_mm: float
    pack_mm: tuple[float, ...]
    gauge_mm: float = 0.0
    others: tuple[GapReading, ...] = ()


def is_shim(link: Link) -> bool:
    """Is this contributor the thickness of a shim of the pack?"""
    return link.piece.startswith(PACK_PREFIX)


def is_moved(clearance: MeasuredClearance) -> bool:
    """Do the shims move this clearance?"""
    return any(is_shim(link) for link in clearance.service_chain)


def find_shim_sensitivity(clearance: MeasuredClearance) -> float:
    """Find how far a clearance moves for each mm of shim. Raises RefusalError when shims do not move it."""
    moves = {link.sensitivity for link in clearance.service_chain if is_shim(link)}
    if not moves:
        raise RefusalError(f"shims do not move the clearance {clearance.name}")
    if len(moves) > 1:
        raise ValueError(
            f"shims of one pack move {clearance.name} by different amounts: {sorted(moves)}"
        )
    return moves.pop()


def list_rests(
    clearances: Sequence[MeasuredClearance],
    name: str,
    found: MeasuredGap | None = None,
    pack_variance_mm2: float = 0.0,
) -> tuple[Rest, ...]:
    """List what all but the shims gives of each clearance that they move, the one to set first.

    A measured clearance is what it was, less the pack that was in: of it only the gauge is in doubt. Of one
    that was not, all is known that the drawing says, and the pack that was in may be off by its own tolerance.

    Args:
        clearances: all of the build.
        name: the one to set.
        found: what was measured, and the pack that was in.
        pack_variance_mm2: of the thickness of that pack.

    Raises:
        RefusalError: unknown clearance, one that shims do not move, or limits that nothing can be inside.
    """
    known = {one.name: one for one in clearances}
    read = {} if found is None else _list_readings(found, name)
    for asked in (name, *read):
        if asked not in known:
            raise RefusalError(f"no clearance is called {asked!r}; {say_near(asked, known)}")
        find_shim_sensitivity(known[asked])
    moved = [one for one in clearances if is_moved(one)]
    moved.sort(key=lambda one: one.name != name)
    pack_mm = sum(found.pack_mm) if found else 0.0
    return tuple(
        _rest_as_read(one, read[one.name], pack_mm)
        if one.name in read
        else _rest_as_drawn(one, math.sqrt(pack_variance_mm2))
        for one in moved
    )


def _list_readings(found: MeasuredGap, name: str) -> dict[str, GapReading]:
    target = GapReading(name, found.gap_mm, found.gauge_mm)
    return {reading.name: reading for reading in (*found.others, target)}


def _rest_as_drawn(one: MeasuredClearance, pack_sigma_mm: float) -> Rest:
    s, off = find_shim_sensitivity(one), 3.0 * pack_sigma_mm
    pack = Contributor(Distribution.NORMAL, -off, 0.0, off, 0.0, pack_sigma_mm)
    present = sum(link.value_mm for link in one.service_chain if is_shim(link))
    return Rest(
        one.name,
        one.in_service_mm - s * present,
        s,
        one.aim_mm,
        check_required(one),
        tuple(
            ((link.piece, link.dimension), make_own(link), link.sensitivity)
            for link in one.service_chain
            if not is_shim(link)
        )
        + (((FOUND_PACK, pack, s),) if off > 0.0 else ()),
    )


def _rest_as_read(one: MeasuredClearance, reading: GapReading, pack_mm: float) -> Rest:
    """Take a reading for what it says; its gauge is rectangular (JCGM 100:2008 4.3.7, from memory)."""
    s, off = find_shim_sensitivity(one), reading.gauge_mm
    gauge = Contributor(Distribution.RECTANGULAR, -off, 0.0, off, 0.0, off / 3.0**0.5)
    return Rest(
        one.name,
        reading.gap_mm - s * pack_mm,
        s,
        one.aim_mm,
        check_required(one),
        (((GAUGE, one.name), gauge, 1.0),) if off > 0.0 else (),
    )
