"""Bearing frame: housing, bearings and shaft; how the rotating element is held and kept in oil."""

from __future__ import annotations

from models.parts import (
    bearing,
    bearing_housing,
    bearing_roller,
    breather,
    grease_nipple,
    hex_screw,
    lock_nut,
    lock_washer,
    seal_ring,
    shaft,
    sight_glass,
    snap_ring,
)
from models.spec.clearance import Clearance, ClearanceGroup, ClearanceKind
from models.spec.family import System
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.seat import Fill, LeftOut, Option, Place, Reseated, Rows, Seat, Span, Without
from models.spec.work import Work
from models.systems.bearing_rules import RULES
from models.systems.limits import limit
from models.systems.lip_seals import join_garter, put_lip_seal
from models.systems.shared import FRAME, ROTATING, TAKEN_UP, put_o_ring

FILL, DRAIN = ("bearing-housing", "fill"), ("bearing-housing", "drain")
AIR, SIGHT = ("bearing-housing", "breather"), ("bearing-housing", "sight")

OIL_BATH = (
    Place("fill-plug-seal-ring", seal_ring.PART, Seat("upper", "bearing-housing", "fill-pad"), row="plug-seal-ring", mounts=FILL, group=FRAME),
    Place("oil-fill-plug", hex_screw.PLUG, Seat("under-head", "fill-plug-seal-ring", "lower"), mounts=FILL, group=FRAME),
    Place("drain-plug-seal-ring", seal_ring.PART, Seat("upper", "bearing-housing", "drain-pad"), row="plug-seal-ring", mounts=DRAIN, group=FRAME),
    Place("drain-plug", hex_screw.PLUG, Seat("under-head", "drain-plug-seal-ring", "lower"), mounts=DRAIN, group=FRAME),
    Place("breather-seal-ring", seal_ring.PART, Seat("lower", "bearing-housing", "fill-pad"), mounts=AIR, group=FRAME),
    Place("breather", breather.PART, Seat("shoulder", "breather-seal-ring", "upper"), mounts=AIR, group=FRAME),
    Place("sight-glass-seal-ring", seal_ring.PART, Seat("lower", "bearing-housing", "sight-pad"), mounts=SIGHT, group=FRAME),
    Place("sight-glass-body", sight_glass.BODY, Seat("shoulder", "sight-glass-seal-ring", "upper"), mounts=SIGHT, group=FRAME),
    Place("sight-glass-gasket", seal_ring.PART, Seat("lower", "sight-glass-body", "recess-floor"), mounts=SIGHT, group=FRAME),
    Place("sight-glass", sight_glass.DISC, Seat("inner", "sight-glass-gasket", "upper"), mounts=SIGHT, group=FRAME),
    Place("sight-glass-ring", sight_glass.RING, Seat("inner", "sight-glass", "outer"), mounts=SIGHT, group=FRAME),
)  # fmt: skip
"""What fills, drains, airs and shows the oil of the bearing housing."""

PLACES = (
    Place("bearing-housing", bearing_housing.PART, Seat("bracket-face", "bracket", "housing-end"), group=FRAME),
    put_o_ring("housing-o-ring", "bearing-housing", ("bracket", "housing-register"), FRAME),
    Place("housing-screw", hex_screw.PART, Seat("under-head", "bearing-housing", "screw-face"), mounts=("bracket", "housing-screws"), group=FRAME),
    *OIL_BATH,
    Place("bearing-outboard", bearing.PART, Seat("outer-suction-end", "bearing-housing", "thrust-shoulder"), group=ROTATING),
    Place("shaft", shaft.PART, Seat("thrust-shoulder", "bearing-outboard", "inner-suction-end"), group=ROTATING),
    Place("bearing-inboard", bearing.PART, Seat("inner-drive-end", "shaft", "inboard-shoulder"), group=ROTATING),
    Place("lock-washer", lock_washer.PART, Seat("suction-end", "bearing-outboard", "inner-drive-end"), group=ROTATING),
    Place("lock-nut", lock_nut.PART, Seat("suction-end", "lock-washer", "drive-end"), group=ROTATING),
    *put_lip_seal(
        "oil-seal-inboard", Seat("lip-side", "bearing-housing", "oil-seal-shoulder"),
        ("bearing-housing", "oil-seal-bore"), ("shaft", "inboard-journal"), FRAME,
    ),
)  # fmt: skip

NIPPLES = ("grease-nipple-inboard", "grease-nipple-outboard")


def _screw_in(place: str, ring: str) -> tuple[Joint, Joint]:
    """Screw a plug or fitting into the bearing housing on its seal ring."""
    thread = Joint(
        f"{place}-thread",
        JointKind.THREADED,
        ("bearing-housing", place),
        wet=True,
        sealed_by=(ring,),
    )
    return thread, Joint(f"{place}-seal", JointKind.SEALED, ("bearing-housing", ring, place))


JOINTS = (
    Joint(
        "housing-joint", JointKind.BOLTED, ("bracket", "bearing-housing"), ("housing-screw",),
        wet=True, sealed_by=("housing-o-ring",),
    ),
    Joint("housing-screws", JointKind.THREADED, ("bracket", "housing-screw")),
    Joint("housing-seal", JointKind.SEALED, ("bearing-housing", "housing-o-ring", "bracket")),
    *_screw_in("oil-fill-plug", "fill-plug-seal-ring"),
    *_screw_in("drain-plug", "drain-plug-seal-ring"),
    *_screw_in("breather", "breather-seal-ring"),
    *_screw_in("sight-glass-body", "sight-glass-seal-ring"),
    Joint("glass-joint", JointKind.BOLTED, ("sight-glass-body", "sight-glass"), ("sight-glass-ring",), wet=True, sealed_by=("sight-glass-gasket",)),
    Joint("glass-seal", JointKind.SEALED, ("sight-glass-body", "sight-glass-gasket", "sight-glass")),
    Joint("glass-ring-thread", JointKind.THREADED, ("sight-glass-body", "sight-glass-ring")),
    *(Joint(f"{nipple}-thread", JointKind.THREADED, ("bearing-housing", nipple)) for nipple in NIPPLES),
    Joint("relief-thread", JointKind.THREADED, ("bearing-housing", "relief-plug")),
    join_garter("oil-seal-inboard"),
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
    Work("drain-oil", "housing-screw", given="drain-plug"),
    Work("clean-out-grease", "housing-screw", given="relief-plug"),
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

GREASED: tuple[Fill, ...] = (
    *(Without(place.name) for place in OIL_BATH),
    Rows("bearing-housing", ("bearing-housing-grease",)),
    *(
        Place(f"grease-nipple-{end}", grease_nipple.PART, Seat("shoulder", "bearing-housing", "nipple-pad"), row="grease-nipple", mounts=("bearing-housing", f"nipple-{end}"), group=FRAME)
        for end in ("inboard", "outboard")
    ),
    Place("relief-plug", hex_screw.PLUG, Seat("under-head", "bearing-housing", "relief-pad"), mounts=("bearing-housing", "relief"), group=FRAME),
)  # fmt: skip
"""A nipple beside each bearing, and at the bottom a plug that is taken out while fresh grease goes in."""

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
    Option(
        "lubrication", {"oil": (Rows("bearing-housing", ("bearing-housing-oil",)),), "grease": GREASED}
    ),
)  # fmt: skip

CLEARANCES = (
    Clearance(
        "roller-offset", ClearanceKind.OVERLAP, ("roller-outer-ring", "outer-suction-end"),
        ("roller-inner-ring", "inner-suction-end"), TAKEN_UP,
        limits=limit("roller-offset"), group=ClearanceGroup.BEARINGS,
    ),
)  # fmt: skip

PAIR = (("bearings", "roller-and-angular-pair"),)
ROLLER = (*PAIR, ("bearings", "double-row-and-roller"))

SECOND_TURNED = (
    Reseated("bearing-outboard", Seat("front", "bearing-paired", "back"), turned=True),
    Reseated(
        "lock-washer", Seat("suction-end", "bearing-outboard", "inner-suction-end"), turned=True
    ),
)
BOTH_TURNED = (
    Reseated("bearing-paired", Seat("outer-drive-end", "bearing-housing", "thrust-shoulder"), turned=True),
    Reseated("shaft", Seat("thrust-shoulder", "bearing-paired", "inner-drive-end"), turned=True),
    Reseated("bearing-outboard", Seat("front", "bearing-paired", "front")),
    Reseated("lock-washer", Seat("suction-end", "bearing-outboard", "inner-suction-end"), turned=True),
)  # fmt: skip

FAULTS = (
    SeededFault("housing-o-ring-left-out", 1, (LeftOut("housing-o-ring"),)),
    SeededFault("glass-gasket-left-out", 1, (LeftOut("sight-glass-gasket"),), needs=(("lubrication", "oil"),)),
    SeededFault(
        "inboard-lip-reversed", 6,
        (
            Reseated("oil-seal-inboard", Seat("back", "bearing-housing", "oil-seal-shoulder"), turned=True),
            Reseated("bath-seal", Seat("back", "oil-seal-inboard", "lip-side")),
        ),
        at=("oil-seal-inboard",),
    ),
    SeededFault("garter-left-off", 7, (LeftOut("garter-of-oil-seal-inboard"),)),
    SeededFault("pair-in-tandem", 51, SECOND_TURNED, needs=PAIR, at=("bearing-outboard", "bearing-paired")),
    SeededFault("pair-face-to-face", 51, BOTH_TURNED, needs=PAIR, at=("bearing-paired", "bearing-outboard")),
    SeededFault("lock-tab-not-bent", 56, (Rows("lock-washer", ("lock-washer-not-bent",)),)),
    SeededFault("lock-washer-left-out", 56, (LeftOut("lock-washer"),)),
    SeededFault("snap-ring-left-out", 59, (LeftOut("roller-snap-ring"),), needs=ROLLER),
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
