"""Vacuum-assisted priming front: spool piece, air-separation chamber with float, linkage, vacuum valve; check valve.

While the pump primes, the vacuum draws air through the port in the chamber's cover. Water that rises
lifts the float, the arm turns about its pivot and pushes the valve against the port, so that no water
reaches the vacuum line. Source of the arrangement: common practice.
"""

from __future__ import annotations

import math

from models.parts import (
    chamber_cover,
    chamber_float,
    flat_gasket,
    float_arm,
    headed_pin,
    hex_screw,
    hose_fitting,
    nut,
    seal_ring,
    separation_chamber,
    spool_piece,
    stud,
    vacuum_valve,
    valve_bush,
    valve_disc,
)
from models.spec.build import Build
from models.spec.clearance import Clearance, ClearanceGroup, ClearanceKind
from models.spec.family import System
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.practice import Practice
from models.spec.rule import Rule
from models.spec.seat import LeftOut, Option, Place, Reseated, Rows, Seat
from models.spec.work import Work
from models.systems import check_valve
from models.systems.shared import WET_END

STROKE_STEPS = 16
"""Positions of the float at which its room is checked."""

BRANCH = ("spool-piece", "branch")

TAPPED_FLANGE = Rows("suction-cover", ("suction-cover-tapped",))

FRONT = (
    Place("suction-gasket", flat_gasket.PART, Seat("drive-end", "suction-cover", "suction-face"), group=WET_END),
    Place("spool-piece", spool_piece.PART, Seat("pump-face", "suction-gasket", "suction-end"), group=WET_END),
    Place("spool-stud", stud.PART, Seat("inner-end", "suction-cover", "flange-stud-bottom"), mounts=("spool-piece", "bolts"), group=WET_END),
    Place("spool-nut", nut.PART, Seat("bearing-face", "spool-piece", "nut-face"), mounts=("spool-piece", "bolts"), group=WET_END),
    Place("chamber-stud", stud.PART, Seat("inner-end", "spool-piece", "stud-bottom"), mounts=("spool-piece", "branch-studs"), group=WET_END),
    Place("chamber-gasket", flat_gasket.PART, Seat("suction-end", "spool-piece", "branch-face"), mounts=BRANCH, group=WET_END),
    Place("separation-chamber", separation_chamber.PART, Seat("foot", "chamber-gasket", "drive-end"), mounts=BRANCH, group=WET_END),
    Place("chamber-nut", nut.PART, Seat("bearing-face", "separation-chamber", "nut-face"), mounts=("spool-piece", "branch-studs"), group=WET_END),
    Place("chamber-cover-gasket", flat_gasket.PART, Seat("suction-end", "separation-chamber", "rim"), mounts=BRANCH, group=WET_END),
    Place("chamber-cover", chamber_cover.PART, Seat("underside", "chamber-cover-gasket", "drive-end"), mounts=BRANCH, group=WET_END),
    Place("chamber-cover-screw", hex_screw.PART, Seat("under-head", "chamber-cover", "top"), mounts=("separation-chamber", "cover-screws"), group=WET_END),
    Place("float-arm", float_arm.PART, Seat("underside", "chamber-cover", "arm-stop"), mounts=("chamber-cover", "arm"), group=WET_END),
    Place("float-pivot", headed_pin.PART, Seat("under-head", "chamber-cover", "cheek"), mounts=("chamber-cover", "pivot"), group=WET_END),
    Place("chamber-float", chamber_float.PART, Seat("shoulder", "float-arm", "underside"), mounts=("chamber-cover", "float"), group=WET_END),
    Place("float-nut", nut.PART, Seat("bearing-face", "float-arm", "top"), mounts=("chamber-cover", "float"), group=WET_END),
    Place("vacuum-valve", vacuum_valve.PART, Seat("slot-roof", "float-arm", "top"), mounts=("chamber-cover", "port"), group=WET_END),
    Place("valve-disc", valve_disc.PART, Seat("back", "vacuum-valve", "recess-floor"), mounts=("chamber-cover", "port"), group=WET_END),
    Place("valve-pin", headed_pin.PART, Seat("under-head", "vacuum-valve", "fork-side"), mounts=("vacuum-valve", "pin"), group=WET_END),
    Place("vacuum-seat", valve_bush.PART, Seat("shoulder", "chamber-cover", "underside"), mounts=("chamber-cover", "port"), group=WET_END),
    Place("fitting-seal-ring", seal_ring.PART, Seat("lower", "chamber-cover", "port-pad"), mounts=("chamber-cover", "port"), group=WET_END),
    Place("vacuum-fitting", hose_fitting.PART, Seat("shoulder", "fitting-seal-ring", "upper"), mounts=("chamber-cover", "port"), group=WET_END),
)  # fmt: skip

JOINTS = (
    Joint("spool-joint", JointKind.BOLTED, ("suction-cover", "spool-piece"), ("spool-nut",), wet=True, sealed_by=("suction-gasket",)),
    # studs: behind the flange there is no room to draw a through bolt
    Joint("spool-studs", JointKind.THREADED, ("suction-cover", "spool-stud"), ("spool-nut",)),
    Joint("spool-nuts", JointKind.THREADED, ("spool-stud", "spool-nut")),
    Joint("spool-seal", JointKind.SEALED, ("suction-cover", "suction-gasket", "spool-piece")),
    Joint("chamber-joint", JointKind.BOLTED, ("spool-piece", "separation-chamber"), ("chamber-nut",), wet=True, sealed_by=("chamber-gasket",)),
    Joint("chamber-studs", JointKind.THREADED, ("spool-piece", "chamber-stud"), ("chamber-nut",)),
    Joint("chamber-nuts", JointKind.THREADED, ("chamber-stud", "chamber-nut")),
    Joint("chamber-seal", JointKind.SEALED, ("spool-piece", "chamber-gasket", "separation-chamber")),
    Joint("chamber-cover-joint", JointKind.BOLTED, ("separation-chamber", "chamber-cover"), ("chamber-cover-screw",), wet=True, sealed_by=("chamber-cover-gasket",)),
    Joint("chamber-cover-screws", JointKind.THREADED, ("separation-chamber", "chamber-cover-screw")),
    Joint("chamber-cover-seal", JointKind.SEALED, ("separation-chamber", "chamber-cover-gasket", "chamber-cover")),
    Joint("pivot-fit", JointKind.PRESS, ("chamber-cover", "float-pivot"), tool="pin-punch"),
    Joint("arm-hinge", JointKind.RUNNING, ("float-arm", "float-pivot")),
    Joint("arm-hung", JointKind.BOLTED, ("chamber-cover", "float-arm"), ("float-pivot",)),
    Joint("valve-hung", JointKind.BOLTED, ("float-arm", "vacuum-valve"), ("valve-pin",)),
    Joint("float-nut", JointKind.THREADED, ("chamber-float", "float-nut")),
    Joint("float-joint", JointKind.BOLTED, ("float-arm", "chamber-float"), ("float-nut",)),
    Joint("valve-pin-fit", JointKind.PRESS, ("vacuum-valve", "valve-pin"), tool="pin-punch"),
    Joint("valve-disc-fit", JointKind.PRESS, ("vacuum-valve", "valve-disc")),
    Joint("seat-thread", JointKind.THREADED, ("chamber-cover", "vacuum-seat")),
    Joint("fitting-thread", JointKind.THREADED, ("chamber-cover", "vacuum-fitting"), wet=True, sealed_by=("fitting-seal-ring",)),
    Joint("fitting-seal", JointKind.SEALED, ("chamber-cover", "fitting-seal-ring", "vacuum-fitting")),
)  # fmt: skip

OPTIONS = (
    Option(
        "priming", {"none": (), "vacuum-assisted": (TAPPED_FLANGE, *FRONT, *check_valve.PLACES)}
    ),
)

CLEARANCES = (
    Clearance("valve-lift", ClearanceKind.AXIAL, ("valve-disc", "front"), ("vacuum-seat", "seat"), group=ClearanceGroup.PRIMING),
    Clearance("float-travel", ClearanceKind.AXIAL, ("chamber-float", "stem-end"), ("chamber-cover", "underside"), group=ClearanceGroup.PRIMING),
)  # fmt: skip

WORK = (
    Work("vent-priming", "chamber-cover-screw", critical=True),
    Work("sling-chamber", "separation-chamber", critical=True),
    Work("sling-spool", "spool-piece", critical=True),
)  # fmt: skip

PRACTICES = (  # common practice
    Practice("chamber-on-spool", "spool-nut", ("separation-chamber",)),
    Practice("front-on-cover", "cover-nut", ("spool-piece",)),
)


def closing_angle_rad(build: Build) -> float | None:
    """Find by how much the rising float turns the arm until the valve meets its seat; None when it never does.

    The valve hangs `port-arm` from the pivot and lies `valve-lift` below the seat while the arm is level.
    """
    lift = float(build.position("vacuum-seat", "seat") - build.position("valve-disc", "front"))
    arm = build.piece_at("float-arm").row
    valve, at_float = float(arm["port-arm"]), float(arm["float-arm"])
    if lift <= 0 or abs(valve) <= lift:
        return None
    turn = math.asin(lift / valve)
    return turn if turn * at_float > 0 else None


def port_stays_open(build: Build) -> tuple[str, ...]:
    """Name the float and its valve when the rising float does not close the vacuum port before it meets the cover."""
    if not build.has("chamber-float"):
        return ()
    bad = ("chamber-float", "vacuum-valve")
    turn = closing_angle_rad(build)
    if turn is None:
        return bad
    travel = float(
        build.position("chamber-cover", "underside") - build.position("chamber-float", "stem-end")
    )
    reach = abs(float(build.piece_at("float-arm").row["float-arm"]))
    return () if reach * abs(math.sin(turn)) < travel else bad


def float_meets_wall(build: Build) -> tuple[str, ...]:
    """Name the float when it meets the wall of the chamber anywhere between hanging down and closing the port."""
    if not build.has("chamber-float"):
        return ()
    arm, row = build.piece_at("float-arm").row, build.piece_at("chamber-float").row
    offset = float(build.piece_at("chamber-cover").row["pivot-offset"])
    middle, half = float(arm["float-arm"]), float(row["outside"]) / 2
    top = -float(arm["pivot-height"]) - float(row["neck-length"])
    stroke = closing_angle_rad(build) or 0.0
    wall = float(build.diameter("separation-chamber", "wall")) / 2
    for step in range(STROKE_STEPS + 1):
        turn = stroke * step / STROKE_STEPS
        for along in (middle - half, middle + half):
            for below in (top, top - float(row["length"])):
                out = along * math.cos(turn) - below * math.sin(turn) - offset
                if abs(out) >= wall:
                    return ("chamber-float",)
    return ()


RULES = (
    Rule(71, "float-closes-port", port_stays_open),
    Rule(72, "float-clears-wall", float_meets_wall),
)

PRIMED = (("priming", "vacuum-assisted"),)

FAULTS = (
    SeededFault("suction-gasket-left-out", 1, (LeftOut("suction-gasket"),), needs=PRIMED),
    SeededFault("fitting-ring-left-out", 1, (LeftOut("fitting-seal-ring"),), needs=PRIMED),
    SeededFault(
        "float-valve-reversed", 71,
        (
            Reseated("vacuum-valve", Seat("slot-roof", "float-arm", "underside"), turned=True),
            Reseated("valve-disc", Seat("back", "vacuum-valve", "recess-floor"), turned=True),
        ),
        needs=PRIMED,
    ),
)  # fmt: skip

SYSTEM = System(
    joints=JOINTS + check_valve.JOINTS,
    options=OPTIONS,
    clearances=CLEARANCES,
    rules=RULES + check_valve.RULES,
    faults=FAULTS + check_valve.FAULTS,
    work=WORK + check_valve.WORK,
    practices=PRACTICES,
)
