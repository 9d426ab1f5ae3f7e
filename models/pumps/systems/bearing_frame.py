"""Bearing frame: housing, bearings and shaft; how the rotating element is held and kept in oil."""

from __future__ import annotations

from models.parts import bearing, bearing_housing, hex_screw, lock_nut, lock_washer, oil_seal, shaft
from models.pumps.systems.shared import FRAME, ROTATING, put_o_ring
from models.spec.family import System
from models.spec.joint import Joint, JointKind
from models.spec.seat import Place, Seat, Span
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
    Joint("lock-tab", JointKind.KEYED, ("shaft", "lock-washer")),
    Joint("lock-thread", JointKind.THREADED, ("shaft", "lock-nut")),
)  # fmt: skip

WORK = (
    Work("drain-oil", "housing-screw"),
    Work("sling-housing", "bearing-housing", critical=True),
    Work("bend-lock-tab", "lock-nut"),
    Work("pull-inner-ring", "bearing-inboard", critical=True),
)  # fmt: skip

SYSTEM = System(places=PLACES, joints=JOINTS, work=WORK)
