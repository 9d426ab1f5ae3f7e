"""Impeller and the wear parts it runs on: enclosed in a wear ring or semi-open along a wear plate; the hub ring.

Common practice throughout: a semi-open impeller relieves its thrust by back vanes alone; with a hub
ring the back vanes begin outside it and keep grit away from it.
"""

from __future__ import annotations

import math

from models.parts import socket_screw, wear_plate, wear_ring
from models.parts.impeller import balance_hole_angle_rad, vane_angle_rad
from models.spec.build import Build
from models.spec.clearance import Clearance, ClearanceGroup, ClearanceKind
from models.spec.family import System
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.rule import Rule
from models.spec.seat import Option, Place, Rows, Seat, Without
from models.systems import balance_line, effects
from models.systems.limits import limit, limit_ring
from models.systems.shared import FRAME, TAKEN_UP, WET_END
from models.systems.thermal import make_growth

ENCLOSED = (
    Clearance("front-gap", ClearanceKind.AXIAL, ("suction-cover", "ring-shoulder"), ("impeller", "nose-end"), TAKEN_UP, effects=(make_growth("front-gap"),), limits=limit("front-gap")),
)  # fmt: skip

SEMI_OPEN = (
    Without("wear-ring"),
    Rows("impeller", ("impeller-semi-open",)),
    Rows("suction-cover", ("suction-cover-plate",)),
    Place("wear-plate", wear_plate.PART, Seat("back", "suction-cover", "wet-face"), group=WET_END),
    Place("wear-plate-screw", socket_screw.PART, Seat("under-head", "wear-plate", "screw-face"), mounts=("wear-plate", "screws"), group=WET_END),
    Joint("plate-joint", JointKind.BOLTED, ("suction-cover", "wear-plate"), ("wear-plate-screw",)),
    Joint("plate-screws", JointKind.THREADED, ("suction-cover", "wear-plate-screw")),
    Joint("plate-running", JointKind.RUNNING, ("impeller", "wear-plate")),
    Clearance("wear-plate", ClearanceKind.AXIAL, ("wear-plate", "running-face"), ("impeller", "vane-edge"), TAKEN_UP, effects=(make_growth("wear-plate"),), limits=limit("wear-plate")),
)  # fmt: skip

HUB_RING = (
    Rows("impeller", ("impeller-hub-rim",)),
    Rows("back-plate", ("back-plate-hub-ring",)),
    Place("hub-ring", wear_ring.PART, Seat("suction-end", "back-plate", "ring-shoulder"), mounts=("back-plate", "hub-ring"), group=FRAME),
    Joint("hub-ring-fit", JointKind.PRESS, ("back-plate", "hub-ring"), fit=("ring-bore", "outside"), tool="ring-puller"),
    Joint("hub-ring-running", JointKind.RUNNING, ("impeller", "hub-ring")),
    Clearance(
        "hub-ring", ClearanceKind.DIAMETRAL, ("impeller", "hub-rim"), ("hub-ring", "bore"),
        effects=(effects.make_closing(effects.HUB_RING),), limits=limit_ring("hub-ring", "hub-rim"),
        group=ClearanceGroup.RUNNING,
    ),
)  # fmt: skip

OPTIONS = (
    Option("impeller", {"enclosed": ENCLOSED, "semi-open": SEMI_OPEN}),
    Option(
        "hub-ring",
        {
            "none": (),
            "balance-holes": (*HUB_RING, Rows("impeller", ("impeller-balance-holes",))),
            "balance-line": (*HUB_RING, *balance_line.LINE),
        },
        requires=(
            ("balance-line", "bracket", "open", "the line leaves the back plate through the bracket's window; a closed bracket is the oil bath of the seal"),
        ),
        excludes=(
            *(
                row
                for value in ("balance-holes", "balance-line")
                for row in (
                    (value, "impeller", "semi-open", "a semi-open impeller has its thrust relieved by the back vanes, and its axial setting leaves no place for a rear ring"),
                    (value, "shaft-seal", "packed", "the stuffing box's flushing line starts in the back plate where the hub ring's boss stands"),
                )
            ),
            ("balance-line", "suction-cover", "cast-in", "the line ends on a boss of the suction cover's neck, which the casting with the suction side cast in has not"),
        ),
    ),
)  # fmt: skip


def wear_part_unpaired(build: Build) -> tuple[str, ...]:
    """Name the impeller when it does not run on what its front is made for."""
    is_open = "vane-edge" in build.piece_at("impeller").faces
    paired = build.has("wear-plate") == is_open and build.has("wear-ring") != is_open
    return () if paired else ("impeller",)


def rings_too_tight(build: Build) -> tuple[str, ...]:
    """Name the rings whose clearance is below the least that is required of it."""
    bad = []
    for place, face in (("wear-ring", "nose"), ("hub-ring", "hub-rim")):
        if not build.has(place) or face not in build.piece_at("impeller").faces:
            continue
        gap = build.diameter(place, "bore") - build.diameter("impeller", face)
        if float(gap) < build.find_requirement(build.clearance(place)).lower:
            bad.append(place)
    return tuple(bad)


def holes_outside_ring(build: Build) -> tuple[str, ...]:
    """Name the impeller when a balance hole does not open between its hub and its hub rim."""
    row = build.piece_at("impeller").row
    if "balance-hole-diameter" not in row:
        return ()
    circle, hole = float(row["balance-hole-circle"]), float(row["balance-hole-diameter"])
    rim = float(row["hub-rim-bore"]) if "hub-rim-bore" in row else 0.0
    inside = float(row["hub-diameter"]) < circle - hole and circle + hole < rim
    return () if inside else ("impeller",)


def holes_meet_vanes(build: Build) -> tuple[str, ...]:
    """Name the impeller when a balance hole is so wide that it cuts into a vane."""
    row = build.numbers_at("impeller")
    if "balance-hole-diameter" not in row:
        return ()
    radius = row["balance-hole-circle"] / 2
    apart = balance_hole_angle_rad(row) - vane_angle_rad(row, radius)
    slope = vane_angle_rad(row, math.e) - vane_angle_rad(row, 1.0)
    # a vane crosses the circle at a slant: what counts is the distance square to it
    room = radius * math.sin(apart) / math.hypot(1.0, slope)
    needed = (row["balance-hole-diameter"] + row["vane-thickness"]) / 2
    return () if room > needed else ("impeller",)


def ring_without_relief(build: Build) -> tuple[str, ...]:
    """Name the hub ring when what leaks past it has no way back to suction."""
    holed = "balance-hole-diameter" in build.piece_at("impeller").row
    led = build.has("balance-line")
    return () if holed or led or not build.has("hub-ring") else ("hub-ring",)


def heads_stand_proud(build: Build) -> tuple[str, ...]:
    """Name the wear plate's screws when a head is not sunk below the running face."""
    if not build.has("wear-plate-screw"):
        return ()
    sunk = build.position("wear-plate", "running-face") - build.position(
        "wear-plate-screw", "head-top"
    )
    return () if float(sunk) > 0 else build.pieces_at("wear-plate-screw")


RULES = (
    Rule(21, "wear-part-paired", wear_part_unpaired),
    Rule(22, "least-running-clearance", rings_too_tight),
    Rule(23, "balance-holes-inside-ring", holes_outside_ring),
    Rule(24, "balance-holes-between-vanes", holes_meet_vanes),
    Rule(25, "hub-ring-relieved", ring_without_relief),
    Rule(26, "plate-screws-sunk", heads_stand_proud),
)

SEMI = (("impeller", "semi-open"),)

FAULTS = (
    SeededFault("wear-plate-left-out", 21, (Without("wear-plate"), Without("wear-plate-screw")), needs=SEMI, at=("wear-plate",)),
    SeededFault(
        "balance-line-left-off", 25,
        (*(Without(f"union-ring-{end}") for end in balance_line.ENDS), Without("balance-line")),
        needs=(("hub-ring", "balance-line"),), at=("balance-line",),
    ),
    *balance_line.FAULTS,
)  # fmt: skip

SYSTEM = System(
    joints=balance_line.JOINTS, options=OPTIONS, rules=RULES + balance_line.RULES, faults=FAULTS
)
