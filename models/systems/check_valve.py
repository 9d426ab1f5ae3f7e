"""Check valve on the discharge flange: shuts while the front primes, so that the vacuum acts on casing and suction line.

It stands on the spot `discharge` of the volute and turns with it. The flap hangs from the cover on its
pin and comes out with it. Source of the arrangement: common practice.
"""

from __future__ import annotations

import itertools
import math

from models.parts import (
    check_cover,
    check_flap,
    check_valve,
    flat_gasket,
    headed_pin,
    hex_screw,
    nut,
    stud,
    valve_disc,
)
from models.spec.build import Build
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.rule import Rule
from models.spec.seat import LeftOut, Place, Reseated, Seat
from models.spec.turning import find_facing
from models.spec.work import Work
from models.systems.shared import WET_END

SWING_STEPS, RIM_POINTS = 12, 24
"""Positions of the flap, and points on its rim, at which its room is checked."""

DISCHARGE, NECK = ("volute", "discharge"), ("check-valve", "neck")

PLACES = (
    Place("discharge-gasket", flat_gasket.PART, Seat("suction-end", "volute", "discharge-face"), mounts=DISCHARGE, group=WET_END),
    Place("check-valve", check_valve.PART, Seat("inlet-face", "discharge-gasket", "drive-end"), mounts=DISCHARGE, group=WET_END),
    Place("discharge-nut", nut.PART, Seat("bearing-face", "volute", "discharge-flange-back"), mounts=("volute", "discharge-flange-nuts"), group=WET_END),
    Place("check-valve-stud", stud.PART, mounts=("volute", "discharge-flange-studs"), group=WET_END),
    Place("check-valve-nut", nut.PART, Seat("bearing-face", "check-valve", "nut-face"), mounts=("volute", "discharge-flange-studs"), group=WET_END),
    Place("flap-facing", valve_disc.PART, Seat("front", "check-valve", "seat"), mounts=("check-valve", "facing"), group=WET_END),
    Place("check-flap", check_flap.PART, Seat("recess-floor", "flap-facing", "back"), mounts=("check-valve", "flap"), group=WET_END),
    Place("check-cover-gasket", flat_gasket.PART, Seat("suction-end", "check-valve", "neck-face"), mounts=NECK, group=WET_END),
    Place("check-cover", check_cover.PART, Seat("underside", "check-cover-gasket", "drive-end"), mounts=NECK, group=WET_END),
    Place("check-cover-screw", hex_screw.PART, Seat("under-head", "check-cover", "top"), mounts=("check-valve", "cover-screws"), group=WET_END),
    Place("flap-pin", headed_pin.PART, Seat("under-head", "check-cover", "cheek"), mounts=("check-cover", "pin"), group=WET_END),
)  # fmt: skip

JOINTS = (
    Joint("check-valve-joint", JointKind.BOLTED, ("volute", "check-valve"), ("check-valve-nut",), wet=True, sealed_by=("discharge-gasket",)),
    # studs with a nut at each end: under the flange there is no room to draw a bolt; a stud is lifted out once the valve is off
    Joint("check-valve-studs", JointKind.THREADED, ("volute", "check-valve-stud"), ("check-valve-nut",)),
    Joint("check-valve-nuts", JointKind.THREADED, ("check-valve-stud", "check-valve-nut")),
    Joint("discharge-nuts", JointKind.THREADED, ("check-valve-stud", "discharge-nut")),
    Joint("check-valve-seal", JointKind.SEALED, ("volute", "discharge-gasket", "check-valve")),
    Joint("check-cover-joint", JointKind.BOLTED, ("check-valve", "check-cover"), ("check-cover-screw",), wet=True, sealed_by=("check-cover-gasket",)),
    Joint("check-cover-screws", JointKind.THREADED, ("check-valve", "check-cover-screw")),
    Joint("check-cover-seal", JointKind.SEALED, ("check-valve", "check-cover-gasket", "check-cover")),
    Joint("flap-pin-fit", JointKind.PRESS, ("check-cover", "flap-pin"), tool="pin-punch"),
    Joint("flap-hinge", JointKind.RUNNING, ("check-flap", "flap-pin")),
    Joint("flap-hung", JointKind.BOLTED, ("check-cover", "check-flap"), ("flap-pin",)),
    Joint("flap-facing-fit", JointKind.PRESS, ("check-flap", "flap-facing")),
)  # fmt: skip

WORK = (
    Work("vent-discharge", "check-cover-screw", critical=True),
    Work("vent-discharge-flange", "check-valve-nut", critical=True),
    Work("sling-check-valve", "check-valve", critical=True),
)  # fmt: skip


def flap_opens_wrong(build: Build) -> tuple[str, ...]:
    """Name body or flap that looks against the flow, and the flap when its pin does not lie beyond its seat."""
    if not build.has("check-flap"):
        return ()
    out = _facing(build, "volute", "discharge-face")
    axis, sign = _facing(build, "check-flap", "recess-floor")
    bad = [] if _facing(build, "check-valve", "outlet-face") == out else ["check-valve"]
    body, flap = build.piece_at("check-valve").row, build.piece_at("check-flap").row
    beyond = float(flap["hinge-height"]) > float(body["seat-outside"]) / 2
    if (axis, -sign) != out or not beyond:
        bad.append("check-flap")
    return tuple(bad)


def _facing(build: Build, place: str, face: str) -> tuple[str, int]:
    piece = build.piece_at(place)
    axis, sign = find_facing(piece.pose, piece.faces[face])
    return axis.value, sign * piece.faces[face].facing


def flap_meets_body(build: Build) -> tuple[str, ...]:
    """Name the flap when it meets the body anywhere between shut and the opening angle of the drawing."""
    if not build.has("check-flap", "flap-facing"):
        return ()
    body = build.numbers_at("check-valve")
    flap = build.numbers_at("check-flap")
    facing = float(build.piece_at("flap-facing").row["thickness"])
    hinge = (body["seat-position"] + facing + flap["hinge-reach"], flap["hinge-height"])
    radius = flap["outside"] / 2
    for step in range(SWING_STEPS + 1):
        turn = math.radians(body["opening-angle"]) * step / SWING_STEPS
        for point in range(RIM_POINTS):
            angle = 2 * math.pi * point / RIM_POINTS
            y, down = radius * math.sin(angle), hinge[1] - radius * math.cos(angle)
            for along in (-flap["recess-depth"], flap["thickness"] / 2):
                back = flap["hinge-reach"] - along
                x = hinge[0] + down * math.sin(turn) - back * math.cos(turn)
                z = hinge[1] - down * math.cos(turn) - back * math.sin(turn)
                if not (_is_in_barrel(body, x, y, z) or _is_in_neck(body, x, y, z)):
                    return ("check-flap",)
    return ()


def _is_in_barrel(row: dict[str, float], x: float, y: float, z: float) -> bool:
    points = check_valve.barrel_points(row)
    for (x0, r0), (x1, r1) in itertools.pairwise(points):
        if x0 <= x <= x1:
            return math.hypot(y, z) < r0 + (r1 - r0) * (x - x0) / (x1 - x0)
    return False


def _is_in_neck(row: dict[str, float], x: float, y: float, z: float) -> bool:
    inside = math.hypot(x - row["neck-position"], y) < row["neck-bore"] / 2
    return inside and 0 <= z < row["neck-height"]


def flap_bare(build: Build) -> tuple[str, ...]:
    """Name the flap when it has no facing and would shut metal on metal."""
    flap = "check-flap"
    return (flap,) if build.has(flap) and not build.has("flap-facing") else ()


RULES = (
    Rule(73, "check-valve-opens-with-flow", flap_opens_wrong),
    Rule(74, "flap-clears-body", flap_meets_body),
    Rule(75, "flap-faced", flap_bare),
)

PRIMED = (("priming", "vacuum-assisted"),)

FAULTS = (
    SeededFault(
        "check-valve-reversed", 73,
        (
            Reseated("check-valve", Seat("outlet-face", "discharge-gasket", "drive-end"), turned=True),
            Reseated("check-valve-nut", Seat("bearing-face", "check-valve", "outlet-nut-face")),
        ),
        needs=PRIMED, at=("check-flap",),
    ),
    SeededFault(
        "flap-facing-left-out", 75,
        (LeftOut("flap-facing"), Reseated("check-flap", Seat("rim", "check-valve", "seat"))),
        needs=PRIMED, at=("flap-facing",),
    ),
)  # fmt: skip
