"""Inspection cover: closes the front of a self-priming pump and carries the wear plate on posts.

It does not rest on the casing but on adjusting screws, which set the gap between wear plate and
impeller. Turned unequally they tilt cover and plate, and the least gap round the circle is what counts.
"""

from __future__ import annotations

import math

from models.parts import hex_screw, inspection_cover, nut, socket_screw, stud, wear_plate
from models.parts.spots import circle_points
from models.spec.build import Build
from models.spec.clearance import Adjuster, Clearance, ClearanceKind, Effect
from models.spec.family import System
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.length import Length
from models.spec.rule import Rule
from models.spec.seat import LeftOut, Place, Rows, Seat
from models.spec.work import Work
from models.systems import wear_parts
from models.systems.limits import limit
from models.systems.shared import TAKEN_UP, WET_END, put_o_ring
from models.systems.thermal import make_growth

FEELER_SPREAD_MM = 0.15
"""Most that feelers may differ round the circle; beyond it something is crooked. Common practice."""

FLATS = 6
"""Flats of a hexagon head, by which a part of a turn is counted."""

LEVEL = 1e-12
"""Slope below which a cover is level: what rounding leaves of screws that are set alike."""

SCREWS, NUTS = ("casing", "adjusting-screws"), ("inspection-cover", "adjusting-nuts")
STUDS = ("casing", "cover-studs")

PLACES = (
    Place("adjusting-screw", hex_screw.PART, Seat("point", "casing", "cover-face"), mounts=SCREWS, group=WET_END),
    Place(
        "inspection-cover", inspection_cover.PART, group=WET_END,
        seat=Seat("mounting-face", "casing", "cover-face", held_off=("adjusting-screw", "stand-off")),
    ),
    put_o_ring("inspection-o-ring", "inspection-cover", ("casing", "cover-bore"), WET_END),
    Place("adjusting-nut", nut.PART, Seat("bearing-face", "inspection-cover", "nut-face"), mounts=NUTS, group=WET_END),
    Place("inspection-stud", stud.PART, Seat("inner-end", "casing", "cover-stud-bottom"), mounts=STUDS, group=WET_END),
    Place("inspection-nut", nut.PART, Seat("bearing-face", "inspection-cover", "nut-face"), mounts=STUDS, group=WET_END),
    Place("wear-plate", wear_plate.PART, Seat("back", "inspection-cover", "post-end"), group=WET_END),
    put_o_ring("plate-o-ring", "wear-plate", ("casing", "plate-bore"), WET_END),
    Place("wear-plate-screw", socket_screw.PART, Seat("under-head", "wear-plate", "screw-face"), mounts=("wear-plate", "screws"), group=WET_END),
)  # fmt: skip

JOINTS = (
    Joint("inspection-joint", JointKind.BOLTED, ("inspection-cover", "casing"), ("inspection-nut",), wet=True, sealed_by=("inspection-o-ring",)),
    Joint("inspection-seal", JointKind.SEALED, ("inspection-cover", "inspection-o-ring", "casing")),
    Joint("inspection-studs", JointKind.THREADED, ("casing", "inspection-stud"), ("inspection-nut",)),
    Joint("inspection-nuts", JointKind.THREADED, ("inspection-stud", "inspection-nut")),
    Joint("adjusting-thread", JointKind.THREADED, ("inspection-cover", "adjusting-screw")),
    Joint("adjusting-lock", JointKind.THREADED, ("adjusting-screw", "adjusting-nut")),
    Joint("plate-joint", JointKind.BOLTED, ("inspection-cover", "wear-plate"), ("wear-plate-screw",)),
    Joint("plate-screws", JointKind.THREADED, ("inspection-cover", "wear-plate-screw")),
    Joint("plate-seal", JointKind.SEALED, ("wear-plate", "plate-o-ring", "casing")),
    Joint("plate-running", JointKind.RUNNING, ("impeller", "wear-plate")),
)  # fmt: skip


def find_tilt(build: Build) -> tuple[Length, Length]:
    """Give how much the cover stands off more per mm upwards, and per mm to the right, as the screws are set.

    The plane through the ends of equally spaced screws: of three it is exact, of more the one that
    lies nearest to all (least squares).
    """
    screws = [build.pieces[name] for name in build.pieces_at("adjusting-screw")]
    circle = float(build.piece_at("casing").row["cover-stud-circle"])
    share = 8.0 / (len(screws) * circle**2)
    up, right = Length(0.0), Length(0.0)
    for screw, (y, z) in zip(screws, circle_points(len(screws), circle), strict=True):
        up = up + screw.row["stand-off"] * (z * share)
        right = right + screw.row["stand-off"] * (y * share)
    return up, right


def plate_tilt(build: Build) -> Length:
    """Give by how much in mm unequal adjusting screws make the gap less, at the impeller's rim where it is least."""
    up, right = find_tilt(build)
    tilt = math.hypot(float(up), float(right))
    if tilt < LEVEL:  # it has no direction, then
        return Length(0.0)
    along = up * (float(up) / tilt) + right * (float(right) / tilt)
    return along * (-float(build.diameter("impeller", "outside")) / 2)


CLEARANCES = (
    Clearance(
        "wear-plate", ClearanceKind.AXIAL, ("wear-plate", "running-face"), ("impeller", "vane-edge"),
        TAKEN_UP, effects=(Effect("plate-tilt", plate_tilt), make_growth("wear-plate")), limits=limit("wear-plate"),
        adjusted_by=Adjuster("adjusting-screw", "stand-off", "pitch", FLATS),
    ),
)  # fmt: skip

WORK = (
    Work("sling-inspection-cover", "inspection-cover", critical=True),
    Work("measure-wear-plate", "inspection-nut"),
)


def plate_crooked(build: Build) -> tuple[str, ...]:
    """Name the adjusting screws when they tilt the wear plate by more than feelers may differ."""
    spread = -2.0 * float(plate_tilt(build))
    return () if spread <= FEELER_SPREAD_MM else build.pieces_at("adjusting-screw")


def plate_unsealed(build: Build) -> tuple[str, ...]:
    """Name the wear plate when its rim has no O-ring, or the groove for it does not lie in the bore of the wall."""
    if not build.has("plate-o-ring"):
        return ("wear-plate",)
    row, wall = build.numbers_at("wear-plate"), build.numbers_at("casing")
    low = float(build.position("wear-plate", "groove-wall"))
    within = wall["plate-wall-start"] < low
    high = low + row["groove-width"]
    return () if within and high < wall["plate-wall-end"] else ("wear-plate",)


def front_way_shut(build: Build) -> tuple[str, ...]:
    """Name what would not pass to the front: wear plate through the cover's opening, impeller through the plate's."""
    plate = float(build.diameter("wear-plate", "outside"))
    wheel = float(build.diameter("impeller", "outside"))
    bad = [] if plate < float(build.diameter("casing", "cover-bore")) else ["wear-plate"]
    bad += [] if wheel < float(build.diameter("casing", "plate-bore")) else ["impeller"]
    return tuple(bad)


def cover_rests_on_casing(build: Build) -> tuple[str, ...]:
    """Name the inspection cover when no adjusting screw holds it off, so that nothing sets the gap."""
    apart = build.position("casing", "cover-face") - build.position(
        "inspection-cover", "mounting-face"
    )
    return () if float(apart) > 0 else ("inspection-cover",)


def screws_unlocked(build: Build) -> tuple[str, ...]:
    """Name the adjusting screws when not each has its lock nut."""
    screws, nuts = build.pieces_at("adjusting-screw"), build.pieces_at("adjusting-nut")
    return () if len(nuts) == len(screws) else screws


def room_wrong(build: Build) -> tuple[str, ...]:
    """Name the wear plate when the impeller's two gaps together are more or less than their limits together.

    The shims at the hub share the room out between the gaps; the room itself is set by the adjusting
    screws and by the shims under the frame's flange.
    """
    gaps = [
        build.position("impeller", "vane-edge") - build.position("wear-plate", "running-face"),
        build.position("back-plate", "wet-face") - build.position("impeller", "back-vane-tip"),
    ]
    needed = [build.find_requirement(build.clearance(name)) for name in ("wear-plate", "back-vane")]
    room = sum(float(gap) for gap in gaps)
    fits = sum(one.lower for one in needed) <= room <= sum(one.upper for one in needed)
    return () if fits else ("wear-plate",)


RULES = (
    Rule(85, "plate-square", plate_crooked),
    Rule(86, "plate-rim-sealed", plate_unsealed),
    Rule(87, "front-way-open", front_way_shut),
    Rule(88, "cover-on-screws", cover_rests_on_casing),
    Rule(90, "adjusting-screws-locked", screws_unlocked),
    Rule(91, "room-for-impeller", room_wrong),
    *wear_parts.RULES,
)

FAULTS = (
    SeededFault("plate-tilted", 85, (Rows("adjusting-screw-2", ("adjusting-screw-uneven",)),), at=("adjusting-screw", "wear-plate")),
    SeededFault("adjusting-nuts-left-off", 90, (LeftOut("adjusting-nut"),), at=("adjusting-nut", "adjusting-screw")),
    SeededFault("inspection-o-ring-left-out", 1, (LeftOut("inspection-o-ring"),)),
    SeededFault("plate-o-ring-left-out", 86, (LeftOut("plate-o-ring"),)),
)  # fmt: skip

SYSTEM = System(
    places=PLACES,
    joints=JOINTS,
    clearances=CLEARANCES,
    rules=RULES,
    faults=FAULTS,
    work=WORK,
    always=(Rows("impeller", ("impeller-semi-open",)),),
)
