"""How near a ring comes to what turns in it, once everything between the two lies as far off as it can.

The diametral clearance says nothing of where the impeller stands in its ring. Between ring and impeller lie
registers with clearance, bearings with clearance at the end of a lever, an impeller that does not run true and
a ring that is not round: each takes from the gap on one side. Their sum in the worst direction is the least
radial gap; when it is nothing, the ring can be touched.
"""

from __future__ import annotations

from functools import partial

from models.spec.build import Build
from models.spec.clearance import Clearance, ClearanceGroup, ClearanceKind, Effect
from models.spec.dimension import Dimension
from models.spec.family import System
from models.spec.length import Length
from models.systems.bearing_play import find_radial_play
from models.systems.effects import HUB_RING, WEAR_RING, PressedRing

Bore = tuple[str, str]
"""A place and the row that gives a diameter of it."""

TO_HUB_RING: tuple[tuple[Bore, Bore], ...] = (
    (("bracket", "casing-register"), ("back-plate", "register-diameter")),
    (("bracket", "housing-register"), ("bearing-housing", "spigot-diameter")),
)
"""Registers between the bearing housing and the ring in the back plate, hole and spigot."""
TO_WEAR_RING = (
    (("volute", "bore"), ("suction-cover", "spigot-diameter")),
    (("volute", "bore"), ("back-plate", "spigot-diameter")),
    *TO_HUB_RING,
)
"""Registers between the bearing housing and the ring in the suction cover."""

INBOARD = ("bearing-inboard", "roller-outer-ring")
"""What may carry the shaft at the impeller's end."""


def _diametral(build: Build, hole: Bore, spigot: Bore) -> Length | float:
    """Give a register's clearance on the diameter, in mm; none where both are one casting, or there is no such register."""
    outer, inner = build.piece_at(hole[0]), build.piece_at(spigot[0])
    if outer is inner or hole[1] not in outer.row or spigot[1] not in inner.row:
        return 0.0
    return outer.row[hole[1]] - inner.row[spigot[1]]


def _middle(build: Build, place: str) -> Length:
    ends = [build.position(place, f"outer-{end}-end") for end in ("suction", "drive")]
    return (ends[0] + ends[1]) * 0.5


def _bearing_shift(build: Build, at: Length) -> Length:
    """Give how far the shaft can lie off its axis at `at`, in mm: the bearings' clearances through the overhang.

    The inboard bearing goes one way and the outboard the other, which is the worst of it.
    Source: similar triangles over the two bearings.
    """
    inboard = next(place for place in INBOARD if build.has(place))
    first, second = _middle(build, inboard), _middle(build, "bearing-outboard")
    lever = (first - at) / (second - first)
    housing = build.piece_at("bearing-housing").row
    plays = [
        housing[bore] - build.piece_at(place).row["outside"] + find_radial_play(build, place)
        for place, bore in ((inboard, "inboard-bore"), ("bearing-outboard", "outboard-bore"))
    ]  # fmt: skip
    return plays[0] * 0.5 * (lever + 1.0) + plays[1] * 0.5 * lever


def least_radial_gap(build: Build, ring: str, face: str) -> Length:
    """Give the least gap in mm on one side between a ring and the impeller's `face`, all in the worst direction.

    A run-out is a full reading, so half of it is off the axis. An ovality is the most less the least
    diameter, of which a quarter comes off the radius. Source: common practice; the sum is plain geometry.
    """
    turning, still = build.piece_at("impeller"), build.piece_at(ring)
    gap = (still.row["bore"] - build.diameter("impeller", face)) * 0.5
    registers = TO_WEAR_RING if ring == "wear-ring" else TO_HUB_RING
    for hole, spigot in registers:
        gap = gap - _diametral(build, hole, spigot) * 0.5
    seat = build.piece_at("shaft").row["impeller-seat-diameter"]
    gap = gap - (turning.row["bore"] - seat) * 0.5
    gap = gap - _bearing_shift(build, build.position(ring, "drive-end"))
    return gap - turning.row["run-out"] * 0.5 - still.row["ovality"] * 0.25


def _half_closing(build: Build, pressed: PressedRing) -> Length:
    return pressed.find_closing(build) * 0.5


def _limit(build: Build, face: str) -> Dimension:
    return build.find_limit("ring-radial", float(build.diameter("impeller", face)))


def _ask(pressed: PressedRing, face: str) -> Clearance:
    ring = pressed.ring
    return Clearance(
        f"{ring}-radial", ClearanceKind.RADIAL, ("impeller", face), (ring, "bore"),
        compute=partial(least_radial_gap, ring=ring, face=face), limits=partial(_limit, face=face),
        group=ClearanceGroup.RUNNING, effects=(Effect("ring-bore-closing", partial(_half_closing, pressed=pressed)),),
    )  # fmt: skip


SYSTEM = System(clearances=(_ask(WEAR_RING, "nose"), _ask(HUB_RING, "hub-rim")))
