"""Oil of the mechanical seal: in an enclosed bracket it stands in a bath, to an open one it is led by gravity.

Either way it is mainly there to carry heat away; it is not under pressure. Source: common practice.
"""

from __future__ import annotations

from models.parts import (
    flat_gasket,
    hex_screw,
    hose_fitting,
    oil_reservoir,
    pipe,
    seal_gland,
    seal_ring,
    vented_cap,
)
from models.spec.build import Build
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.rule import Rule
from models.spec.seat import LeftOut, Place, Reseated, Rows, Seat
from models.systems.lip_seals import join_garter, put_lip_seal
from models.systems.shared import FRAME, SEAL

BATH_RINGS = {
    "bath-fill-plug": "bath-fill-ring",
    "bath-drain-plug": "bath-drain-ring",
    "level-fitting-lower": "level-ring-lower",
    "level-fitting-upper": "level-ring-upper",
}
"""What is screwed into the oil bath, with the ring that seals it."""

BATH_JOINTS = (
    *(
        joint
        for piece, ring in BATH_RINGS.items()
        for joint in (
            Joint(f"{piece}-thread", JointKind.THREADED, ("bracket", piece), wet=True, sealed_by=(ring,)),
            Joint(f"{piece}-seal", JointKind.SEALED, ("bracket", ring, piece)),
        )
    ),
    Joint("level-hose-fit", JointKind.PRESS, ("level-fitting-lower", "level-hose")),
    join_garter("bath-seal"),
    Joint("bath-seal-fit", JointKind.PRESS, ("bearing-housing", "bath-seal"), tool="seal-puller"),
    Joint("bath-seal-lip", JointKind.RUNNING, ("bath-seal", "shaft")),
)  # fmt: skip

OIL_BATH = (
    Place("bath-fill-ring", seal_ring.PART, Seat("lower", "bracket", "fill-pad"), row="bath-plug-ring", mounts=("bracket", "fill-ring"), group=FRAME),
    Place("bath-fill-plug", hex_screw.PLUG, Seat("under-head", "bath-fill-ring", "upper"), mounts=("bracket", "fill"), group=FRAME),
    Place("bath-drain-ring", seal_ring.PART, Seat("lower", "bracket", "drain-pad"), row="bath-plug-ring", mounts=("bracket", "drain-ring"), group=FRAME),
    Place("bath-drain-plug", hex_screw.PLUG, Seat("under-head", "bath-drain-ring", "upper"), mounts=("bracket", "drain"), group=FRAME),
    *(
        place
        for port in ("lower", "upper")
        for place in (
            Place(f"level-ring-{port}", seal_ring.PART, Seat("lower", "bracket", "level-pad"), row="level-ring", mounts=("bracket", f"level-{port}"), group=FRAME),
            Place(f"level-fitting-{port}", hose_fitting.PART, Seat("shoulder", f"level-ring-{port}", "upper"), row="level-fitting", mounts=("bracket", f"level-{port}"), group=FRAME),
        )
    ),
    Place(
        "level-hose", pipe.HOSE, Seat("start", "level-fitting-lower", "hexagon-top"), mounts=("bracket", "level-lower"),
        reaches={"end": ("level-fitting-upper", "hose")}, group=FRAME,
    ),
    *put_lip_seal(
        "bath-seal", Seat("back", "oil-seal-inboard", "back"), ("bearing-housing", "oil-seal-bore"),
        ("shaft", "inboard-journal"), FRAME, mounts=("bearing-housing", "bath-seal"),
    ),
)  # fmt: skip
"""The enclosed bracket is the oil bath of the seal; its lip seal stands back to back with the bearings' own."""

GRAVITY_FEED = (
    Rows("back-plate", ("back-plate-gland",)),
    Place("gland-gasket", flat_gasket.PART, Seat("suction-end", "back-plate", "gland-face"), group=SEAL),
    Place("seal-gland", seal_gland.PART, Seat("flange-face", "gland-gasket", "drive-end"), group=SEAL),
    Place("gland-screw", hex_screw.PART, Seat("under-head", "seal-gland", "screw-face"), mounts=("back-plate", "gland-screws"), group=SEAL),
    *put_lip_seal(
        "gland-lip-seal", Seat("lip-side", "seal-gland", "seal-shoulder"), ("seal-gland", "seal-bore"),
        ("shaft", "seal-journal"), SEAL, mounts=("seal-gland", "lip-seal"),
    ),
    Place("oil-reservoir", oil_reservoir.PART, Seat("foot", "bracket", "reservoir-pad"), mounts=("bracket", "reservoir"), group=FRAME),
    Place("reservoir-screw", hex_screw.PART, Seat("under-head", "oil-reservoir", "screw-face"), mounts=("bracket", "reservoir-screws"), group=FRAME),
    Place("reservoir-cap", vented_cap.PART, Seat("under-rim", "oil-reservoir", "rim"), mounts=("bracket", "reservoir"), group=FRAME),
    Place(
        "oil-line", pipe.LINE, Seat("start", "oil-reservoir", "outlet-pad"), mounts=("oil-reservoir", "outlet"),
        reaches={"end": ("seal-gland", "oil-port")}, group=FRAME,
    ),
)  # fmt: skip
"""The open bracket carries a reservoir above the shaft; its line ends at the gland, whose lip seal keeps the oil at the seat."""

FEED_JOINTS = (
    Joint("gland-screwed", JointKind.BOLTED, ("back-plate", "seal-gland"), ("gland-screw",), wet=True, sealed_by=("gland-gasket",)),
    Joint("gland-screws", JointKind.THREADED, ("back-plate", "gland-screw")),
    Joint("gland-seal", JointKind.SEALED, ("back-plate", "gland-gasket", "seal-gland")),
    join_garter("gland-lip-seal"),
    Joint("gland-lip-fit", JointKind.PRESS, ("seal-gland", "gland-lip-seal"), tool="seal-puller"),
    Joint("gland-lip", JointKind.RUNNING, ("gland-lip-seal", "shaft")),
    Joint("reservoir-joint", JointKind.BOLTED, ("bracket", "oil-reservoir"), ("reservoir-screw",)),
    Joint("reservoir-screws", JointKind.THREADED, ("bracket", "reservoir-screw")),
    Joint("reservoir-cap-thread", JointKind.THREADED, ("oil-reservoir", "reservoir-cap")),
    Joint("oil-line-fit", JointKind.THREADED, ("oil-reservoir", "oil-line")),
)  # fmt: skip

JOINTS = (*BATH_JOINTS, *FEED_JOINTS)


def oil_lips_look_away(build: Build) -> tuple[str, ...]:
    """Name lip seals of the seal's oil whose lip does not look at the rotating face, where that oil stands."""
    bad = []
    for place in ("bath-seal", "gland-lip-seal"):
        if build.has(place):
            lip, back = (float(build.position(place, face)) for face in ("lip-side", "back"))
            oil = float(build.position("back-plate", "wet-face"))
            if (lip - back) * (oil - back) <= 0:
                bad.append(place)
    return tuple(bad)


def level_hose_hides_level(build: Build) -> tuple[str, ...]:
    """Name the level hose when it does not rise from below the shaft's lowest line to above it."""
    if not build.has("level-hose"):
        return ()
    half = float(build.diameter("shaft", "seal-journal")) / 2
    low, high = (
        float(build.piece_at(f"level-fitting-{port}").pose.origin[2]) for port in ("lower", "upper")
    )
    return () if low < -half < high else ("level-hose",)


def reservoir_too_low(build: Build) -> tuple[str, ...]:
    """Name the oil reservoir when its outlet is not above the gland's port, so that nothing runs down."""
    if not build.has("oil-line"):
        return ()
    fall = float(
        build.piece_at("oil-line").pose.origin[2] - build.piece_at("seal-gland").pose.origin[2]
    )
    return () if fall > 0 else ("oil-reservoir",)


RULES = (
    Rule(44, "oil-lip-faces-oil", oil_lips_look_away),
    Rule(45, "level-hose-shows-level", level_hose_hides_level),
    Rule(46, "reservoir-above-gland", reservoir_too_low),
)

FAULTS = (
    SeededFault(
        "bath-lip-reversed", 44, (Reseated("bath-seal", Seat("lip-side", "oil-seal-inboard", "back"), turned=True),),
        needs=(("bracket", "enclosed"),),
    ),
    SeededFault(
        "gland-lip-reversed", 44, (Reseated("gland-lip-seal", Seat("back", "seal-gland", "seal-shoulder"), turned=True),),
        needs=(("bracket", "open"), ("shaft-seal", "mechanical")),
    ),
    SeededFault("gland-gasket-left-out", 1, (LeftOut("gland-gasket"),), needs=(("bracket", "open"), ("shaft-seal", "mechanical"))),
)  # fmt: skip
