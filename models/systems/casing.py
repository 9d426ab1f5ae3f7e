"""Casing: volute with clean-out and drain, suction cover and wear ring; what closes the pump round the impeller."""

from __future__ import annotations

from models.parts import (
    blank_cover,
    flat_gasket,
    hex_screw,
    nut,
    seal_ring,
    stud,
    suction_cover,
    volute,
    wear_ring,
)
from models.spec.build import Build
from models.spec.clearance import Clearance, ClearanceGroup, ClearanceKind
from models.spec.family import System
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.rule import Rule
from models.spec.seat import AsOne, LeftOut, Option, Place, Rows, Seat, Without
from models.spec.work import Work
from models.systems.effects import WEAR_RING, make_closing
from models.systems.limits import limit_ring
from models.systems.shared import TAKEN_UP, WET_END, put_o_ring
from models.systems.thermal import make_growth


def hangs_below(build: Build) -> tuple[str, ...]:
    """Name the volute when something of the casing would hang below the soles of its feet."""
    row = build.numbers_at("volute")
    return () if volute.lowest_mm(row) > -row["centre-height"] else ("volute",)


RULES = (Rule(11, "casing-above-soles", hangs_below),)

CLEAN_OUT_STUDS = ("volute", "clean-out-studs")

DRAIN = (
    Place("casing-drain-ring", seal_ring.PART, Seat("upper", "volute", "drain-pad"), mounts=("volute", "drain"), group=WET_END),
    Place("casing-drain-plug", hex_screw.PLUG, Seat("under-head", "casing-drain-ring", "lower"), mounts=("volute", "drain"), group=WET_END),
)  # fmt: skip
DRAIN_JOINTS = (
    Joint("casing-drain", JointKind.THREADED, ("volute", "casing-drain-plug"), wet=True, sealed_by=("casing-drain-ring",)),
    Joint("casing-drain-seal", JointKind.SEALED, ("volute", "casing-drain-ring", "casing-drain-plug")),
)  # fmt: skip

PLACES = (
    Place("volute", volute.PART, group=WET_END),
    Place("suction-cover", suction_cover.PART, Seat("mounting-face", "volute", "casing-face"), group=WET_END),
    put_o_ring("cover-o-ring", "suction-cover", ("volute", "bore-front"), WET_END),
    Place("wear-ring", wear_ring.PART, Seat("suction-end", "suction-cover", "ring-shoulder"), group=WET_END),
    Place("cover-stud", stud.PART, Seat("inner-end", "volute", "cover-stud-bottom"), mounts=("volute", "cover-studs"), group=WET_END),
    Place("cover-nut", nut.PART, Seat("bearing-face", "suction-cover", "nut-face"), row="casing-nut", mounts=("volute", "cover-studs"), group=WET_END),
    Place("casing-gasket", flat_gasket.PART, Seat("suction-end", "volute", "rear-face"), group=WET_END),
    Place("clean-out-stud", stud.PART, Seat("inner-end", "volute", "clean-out-stud-bottom"), mounts=CLEAN_OUT_STUDS, group=WET_END),
    Place("clean-out-gasket", flat_gasket.PART, Seat("suction-end", "volute", "clean-out-pad"), mounts=("volute", "clean-out"), group=WET_END),
    Place("clean-out-cover", blank_cover.PART, Seat("underside", "clean-out-gasket", "drive-end"), mounts=("volute", "clean-out"), group=WET_END),
    Place("clean-out-nut", nut.PART, Seat("bearing-face", "clean-out-cover", "nut-face"), mounts=CLEAN_OUT_STUDS, group=WET_END),
    *DRAIN,
)  # fmt: skip

JOINTS = (
    Joint("cover-joint", JointKind.BOLTED, ("suction-cover", "volute"), ("cover-nut",), wet=True, sealed_by=("cover-o-ring",)),
    Joint("cover-studs", JointKind.THREADED, ("volute", "cover-stud"), ("cover-nut",)),
    Joint("cover-nuts", JointKind.THREADED, ("cover-stud", "cover-nut")),
    Joint("cover-seal", JointKind.SEALED, ("suction-cover", "cover-o-ring", "volute")),
    Joint("ring-fit", JointKind.PRESS, ("suction-cover", "wear-ring"), fit=("ring-bore", "outside"), tool="ring-puller"),
    Joint("ring-running", JointKind.RUNNING, ("impeller", "wear-ring")),
    Joint("clean-out-joint", JointKind.BOLTED, ("clean-out-cover", "volute"), ("clean-out-nut",), wet=True, sealed_by=("clean-out-gasket",)),
    Joint("clean-out-studs", JointKind.THREADED, ("volute", "clean-out-stud"), ("clean-out-nut",)),
    Joint("clean-out-nuts", JointKind.THREADED, ("clean-out-stud", "clean-out-nut")),
    Joint("clean-out-seal", JointKind.SEALED, ("volute", "clean-out-gasket", "clean-out-cover")),
    *DRAIN_JOINTS,
)  # fmt: skip

CAST_IN = (
    AsOne("suction-cover", "volute"),
    Rows("volute", ("volute-cast-in",)),
    Without("cover-o-ring"),
    Without("cover-stud"),
    Without("cover-nut"),
)

CLASS_150 = tuple(
    Rows(place, (f"{place}-class-150",))
    for place in (
        "volute",
        "suction-cover",
        "spool-piece",
        "suction-gasket",
        "spool-stud",
        "spool-nut",
        "discharge-gasket",
        "check-valve",
        "check-valve-stud",
        "check-valve-nut",
        "discharge-nut",
    )
)
"""Every piece on a suction or discharge flange has rows of its own for the other drilling; the priming front's count when it is there."""

OPTIONS = (
    Option(
        "discharge",  # common practice: positions named as seen from the driver
        {
            "top-vertical": (Rows("volute", ("volute-top-vertical",)),),
            "top-horizontal": (Rows("volute", ("volute-top-horizontal",)),),
            "bottom-horizontal": (Rows("volute", ("volute-bottom-horizontal",)),),
        },
    ),
    Option(
        "suction-cover",
        {"separate": (), "cast-in": CAST_IN},
        excludes=(
            (
                "cast-in",
                "impeller",
                "semi-open",
                "the casting with the suction side cast in is machined for a wear ring; a wear plate is screwed to a suction cover",
            ),
            (
                "cast-in",
                "priming",
                "vacuum-assisted",
                "the priming front hangs on studs in a tapped suction flange; the flange of the casting is drilled through for a pipe",
            ),
        ),
    ),
    Option("flanges", {"pn16": (), "class-150": CLASS_150}),
)  # fmt: skip

CLEARANCES = (
    Clearance(
        "wear-ring", ClearanceKind.DIAMETRAL, ("impeller", "nose"), ("wear-ring", "bore"),
        effects=(make_closing(WEAR_RING),), limits=limit_ring("wear-ring", "nose"), group=ClearanceGroup.RUNNING,
    ),
    Clearance("ring-overlap", ClearanceKind.OVERLAP, ("impeller", "nose-end"), ("wear-ring", "drive-end"), TAKEN_UP, effects=(make_growth("ring-overlap"),)),
)  # fmt: skip

WORK = (
    Work("lock-out", critical=True),
    Work("vent-and-drain", critical=True),
    Work("match-marks"),
    Work("sling-cover", "suction-cover", critical=True),
    Work("sling-volute", "volute", critical=True),
)  # fmt: skip

FAULTS = (
    SeededFault("casing-gasket-left-out", 1, (LeftOut("casing-gasket"),)),
    SeededFault("cover-o-ring-left-out", 1, (LeftOut("cover-o-ring"),), needs=(("suction-cover", "separate"),)),
    SeededFault("casing-drain-ring-left-out", 1, (LeftOut("casing-drain-ring"),)),
    SeededFault("wear-ring-tight", 22, (Rows("wear-ring", ("wear-ring-tight",)),), needs=(("impeller", "enclosed"),), near=("wear-ring", "bore")),
    SeededFault("wear-ring-left-out", 21, (LeftOut("wear-ring"),), needs=(("impeller", "enclosed"),)),
)  # fmt: skip

SYSTEM = System(
    places=PLACES,
    joints=JOINTS,
    options=OPTIONS,
    clearances=CLEARANCES,
    rules=RULES,
    faults=FAULTS,
    work=WORK,
)
