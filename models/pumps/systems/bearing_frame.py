"""Bearing frame: housing, bearings and shaft; how the rotating element is held and kept in oil."""

from __future__ import annotations

from models.parts import (
    bearing,
    bearing_housing,
    bearing_roller,
    hex_screw,
    lock_nut,
    lock_washer,
    oil_seal,
    shaft,
    snap_ring,
)
from models.pumps.systems.bearing_rules import RULES
from models.pumps.systems.shared import FRAME, ROTATING, TAKEN_UP, put_o_ring
from models.spec.clearance import Clearance, ClearanceKind
from models.spec.family import System
from models.spec.joint import Joint, JointKind
from models.spec.seat import Option, Place, Rows, Seat, Span, Without
from models.spec.work import Work

PLACES = (
    Place("bearing-housing", bearing_housing.PART, Seat("bracket-face", "bracket", "housing-end"), group=FRAME),
    put_o_ring("housing-o-ring", "bearing-housing", ("bracket", "housing-register"), FRAME),
    Place("housing-screw", hex_screw.PART, Seat("under-head", "bearing-housing", "screw-face"), mounts=("bracket", "housing-screws"), group=FRAME),
    Place("oil-fill-plug", hex_screw.PLUG, Seat("under-head", "bearing-housing", "fill-pad"), mounts=("bearing-housing", "fill"), group=FRAME),
    Place("drain-plug", hex_screw.PLUG, Seat("under-head", "bearing-housing", "drain-pad"), mounts=("bearing-housing", "drain"), group=FRAME),
    Place("bearing-outboard", bearing.PART, Seat("outer-suction-end", "bearing-housing", "thrust-shoulder"), group=ROTATING),
    Place("shaft", shaft.PART, Seat("thrust-shoulder", "bearing-outboard", "inner-suction-end"), group=ROTATING),
    Place("bearing-inboard", bearing.PART, Seat("inner-drive-end", "shaft", "inboard-shoulder"), group=ROTATING),
    Place("lock-washer", lock_washer.PART, Seat("suction-end", "bearing-outboard", "inner-drive-end"), group=ROTATING),
    Place("lock-nut", lock_nut.PART, Seat("suction-end", "lock-washer", "drive-end"), group=ROTATING),
    Place(
        "oil-seal-inboard", oil_seal.PART, Seat("lip-side", "bearing-housing", "oil-seal-shoulder"), group=FRAME,
        spans={"housing-bore": Span(("bearing-housing", "oil-seal-bore")), "shaft-diameter": Span(("shaft", "inboard-journal"))},
    ),
)  # fmt: skip

JOINTS = (
    Joint(
        "housing-joint", JointKind.BOLTED, ("bracket", "bearing-housing"), ("housing-screw",),
        wet=True, sealed_by=("housing-o-ring",),
    ),
    Joint("housing-screws", JointKind.THREADED, ("bracket", "housing-screw")),
    Joint("housing-seal", JointKind.SEALED, ("bearing-housing", "housing-o-ring", "bracket")),
    Joint("fill-plug", JointKind.THREADED, ("bearing-housing", "oil-fill-plug")),
    Joint("drain-plug", JointKind.THREADED, ("bearing-housing", "drain-plug")),
    Joint("inboard-oil-seal", JointKind.PRESS, ("bearing-housing", "oil-seal-inboard"), tool="seal-puller"),
    Joint("inboard-bearing-fit", JointKind.PRESS, ("shaft", "bearing-inboard"), fit=("inboard-journal", "bore"), tool="bearing-puller"),
    Joint("outboard-bearing-fit", JointKind.PRESS, ("shaft", "bearing-outboard"), fit=("outboard-journal", "bore"), tool="bearing-puller"),
    Joint("bearing-clamp", JointKind.BOLTED, ("shaft", "bearing-outboard", "lock-washer"), ("lock-nut",)),
    Joint("inner-ring-fit", JointKind.PRESS, ("shaft", "roller-inner-ring"), fit=("inboard-journal", "bore"), tool="bearing-puller"),
    Joint("roller-running", JointKind.RUNNING, ("roller-inner-ring", "roller-outer-ring")),
    Joint("roller-retention", JointKind.BOLTED, ("bearing-housing", "roller-outer-ring"), ("roller-snap-ring",)),
    Joint("snap-ring-groove", JointKind.KEYED, ("bearing-housing", "roller-snap-ring"), tool="snap-ring-pliers"),
    Joint("paired-bearing-fit", JointKind.PRESS, ("shaft", "bearing-paired"), fit=("outboard-journal", "bore"), tool="bearing-puller"),
    Joint("pair-clamp", JointKind.BOLTED, ("shaft", "bearing-paired", "bearing-outboard"), ("lock-nut",)),
    Joint("lock-tab", JointKind.KEYED, ("shaft", "lock-washer")),
    Joint("lock-thread", JointKind.THREADED, ("shaft", "lock-nut")),
)  # fmt: skip

WORK = (
    Work("drain-oil", "housing-screw"),
    Work("sling-housing", "bearing-housing", critical=True),
    Work("bend-lock-tab", "lock-nut"),
    Work("pull-inner-ring", "bearing-inboard", critical=True),
    Work("pull-inner-ring", "roller-inner-ring", critical=True),
)  # fmt: skip

ROLLER_INBOARD = (
    Without("bearing-inboard"),
    Rows("bearing-housing", ("bearing-housing-roller",)),
    Place("roller-inner-ring", bearing_roller.INNER, Seat("inner-drive-end", "shaft", "inboard-shoulder"), row="roller-bearing", group=ROTATING),
    Place("roller-outer-ring", bearing_roller.OUTER, Seat("outer-suction-end", "bearing-housing", "inboard-shoulder"), row="roller-bearing", group=FRAME),
    Place(
        "roller-snap-ring", snap_ring.PART, Seat("suction-end", "roller-outer-ring", "outer-drive-end"), group=FRAME,
        spans={"groove": Span(("bearing-housing", "snap-groove"))},
    ),
)  # fmt: skip
"""The inner ring leaves with the shaft; the outer ring, with rollers and cage, stays in the housing."""

OPTIONS = (
    Option(
        "bearings",
        {
            "deep-groove-pair": (),
            "roller-and-angular-pair": (
                *ROLLER_INBOARD,
                Rows("bearing-housing", ("bearing-housing-pair",)),
                Rows("shaft", ("shaft-pair",)),
                Place("bearing-paired", bearing.BACK_DRIVE, Seat("outer-suction-end", "bearing-housing", "thrust-shoulder"), row="angular-contact-bearing", group=ROTATING),
                Place("shaft", shaft.PART, Seat("thrust-shoulder", "bearing-paired", "inner-suction-end"), group=ROTATING),
                Place("bearing-outboard", bearing.BACK_SUCTION, Seat("back", "bearing-paired", "back"), row="angular-contact-bearing", group=ROTATING),
            ),
            "double-row-and-roller": (
                *ROLLER_INBOARD,
                Rows("bearing-housing", ("bearing-housing-double-row",)),
                Rows("shaft", ("shaft-double-row",)),
                Place("bearing-outboard", bearing.DOUBLE, Seat("outer-suction-end", "bearing-housing", "thrust-shoulder"), row="double-row-bearing", group=ROTATING),
            ),
        },
    ),
)  # fmt: skip

CLEARANCES = (
    Clearance(
        "roller-offset", ClearanceKind.OVERLAP, ("roller-outer-ring", "outer-suction-end"),
        ("roller-inner-ring", "inner-suction-end"), TAKEN_UP,
    ),
)  # fmt: skip

SYSTEM = System(
    places=PLACES, joints=JOINTS, options=OPTIONS, clearances=CLEARANCES, rules=RULES, work=WORK
)
