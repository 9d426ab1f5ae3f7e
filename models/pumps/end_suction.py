"""End-suction pump on a bearing frame: enclosed impeller, mechanical seal, oil-filled bearing housing.

Sides are suction end and drive end; axial positions count from the casing face, positive towards
the drive end. The shaft is taken up towards the suction end: the outboard bearing's outer ring
rests on the housing's thrust shoulder, where the impeller's pull holds it in service.
"""

from __future__ import annotations

from models.parts import (
    back_plate,
    bearing,
    bearing_cap,
    bearing_housing,
    bracket,
    flat_gasket,
    hex_screw,
    impeller,
    key,
    lock_nut,
    lock_washer,
    nut,
    o_ring,
    oil_seal,
    seal_face,
    seal_seat,
    seal_spring,
    shaft,
    shim,
    stud,
    suction_cover,
    tab_washer,
    volute,
    washer,
    wear_ring,
)
from models.pumps.end_suction_rules import RULES, ring_bore_closing
from models.spec.clearance import Clearance, ClearanceKind, Effect
from models.spec.family import Family
from models.spec.joint import Joint, JointKind
from models.spec.practice import Practice
from models.spec.seat import Option, Place, Seat, Span
from models.spec.work import Work

WET_END, ROTATING, SEAL, FRAME = "wet-end", "rotating-element", "shaft-seal", "bearing-frame"


def _o_ring(
    name: str, on: str, mate: tuple[str, str], group: str, side: str = "suction-end"
) -> Place:
    """Put an O-ring against the wall of the groove on `on`, squeezed between groove and mate."""
    spans = {"groove": Span((on, "groove-bottom")), "mate": Span(mate)}
    return Place(name, o_ring.PART, Seat(side, on, "groove-wall"), spans=spans, group=group)


BRACKET_SEAT = Seat("casing-end", "back-plate", "bracket-face")

PLACES = (
    Place("volute", volute.TOP_VERTICAL, group=WET_END),
    Place("suction-cover", suction_cover.PART, Seat("mounting-face", "volute", "casing-face"), group=WET_END),
    _o_ring("cover-o-ring", "suction-cover", ("volute", "bore-front"), WET_END),
    Place("wear-ring", wear_ring.PART, Seat("suction-end", "suction-cover", "ring-shoulder"), group=WET_END),
    Place("cover-stud", stud.PART, Seat("inner-end", "volute", "cover-stud-bottom"), mounts=("volute", "cover-studs"), group=WET_END),
    Place("cover-nut", nut.PART, Seat("bearing-face", "suction-cover", "nut-face"), row="casing-nut", mounts=("volute", "cover-studs"), group=WET_END),
    Place("casing-gasket", flat_gasket.PART, Seat("suction-end", "volute", "rear-face"), group=WET_END),
    Place("back-plate", back_plate.PART, Seat("casing-face", "casing-gasket", "drive-end"), group=FRAME),
    Place("bracket", bracket.ENCLOSED, BRACKET_SEAT, group=FRAME),
    _o_ring("bracket-o-ring", "back-plate", ("bracket", "casing-register"), FRAME),
    Place("bracket-stud", stud.PART, Seat("inner-end", "volute", "bracket-stud-bottom"), mounts=("volute", "bracket-studs"), group=WET_END),
    Place("bracket-nut", nut.PART, Seat("bearing-face", "bracket", "nut-face"), row="casing-nut", mounts=("volute", "bracket-studs"), group=WET_END),
    Place("bearing-housing", bearing_housing.PART, Seat("bracket-face", "bracket", "housing-end"), group=FRAME),
    _o_ring("housing-o-ring", "bearing-housing", ("bracket", "housing-register"), FRAME),
    Place("housing-screw", hex_screw.PART, Seat("under-head", "bearing-housing", "screw-face"), mounts=("bracket", "housing-screws"), group=FRAME),
    Place("oil-fill-plug", hex_screw.PLUG, Seat("under-head", "bearing-housing", "fill-pad"), mounts=("bearing-housing", "fill"), group=FRAME),
    Place("drain-plug", hex_screw.PLUG, Seat("under-head", "bearing-housing", "drain-pad"), mounts=("bearing-housing", "drain"), group=FRAME),
    Place("bearing-outboard", bearing.PART, Seat("outer-suction-end", "bearing-housing", "thrust-shoulder"), group=ROTATING),
    Place("shaft", shaft.PART, Seat("thrust-shoulder", "bearing-outboard", "inner-suction-end"), group=ROTATING),
    Place("bearing-inboard", bearing.PART, Seat("inner-drive-end", "shaft", "inboard-shoulder"), group=ROTATING),
    Place("lock-washer", lock_washer.PART, Seat("suction-end", "bearing-outboard", "inner-drive-end"), group=ROTATING),
    Place("lock-nut", lock_nut.PART, Seat("suction-end", "lock-washer", "drive-end"), group=ROTATING),
    Place("cap-gasket", flat_gasket.PART, Seat("suction-end", "bearing-housing", "cap-face"), group=FRAME),
    Place("bearing-cap", bearing_cap.PART, Seat("mounting-face", "cap-gasket", "drive-end"), group=FRAME),
    Place("cap-screw", hex_screw.PART, Seat("under-head", "bearing-cap", "screw-face"), mounts=("bearing-housing", "cap-screws"), group=FRAME),
    Place(
        "oil-seal-inboard", oil_seal.PART, Seat("lip-side", "bearing-housing", "oil-seal-shoulder"), group=FRAME,
        spans={"housing-bore": Span(("bearing-housing", "oil-seal-bore")), "shaft-diameter": Span(("shaft", "inboard-journal"))},
    ),
    Place(
        "oil-seal-drive", oil_seal.PART, Seat("lip-side", "bearing-cap", "oil-seal-shoulder"), group=FRAME,
        mounts=("bearing-cap", "oil-seal"),
        spans={"housing-bore": Span(("bearing-cap", "oil-seal-bore")), "shaft-diameter": Span(("shaft", "drive-seal-journal"))},
    ),
    Place("coupling-key", key.PART, Seat("bottom", "shaft", "coupling-key-floor"), mounts=("shaft", "coupling-key"), group=ROTATING),
    Place("impeller-key", key.PART, Seat("bottom", "shaft", "impeller-key-floor"), mounts=("shaft", "impeller-key"), group=ROTATING),
    Place("shim", shim.PART, Seat("drive-end", "shaft", "impeller-shoulder"), pack=True, group=ROTATING),
    Place("impeller", impeller.PART, Seat("hub-seat", "shim", "suction-end"), group=ROTATING),
    Place("retaining-washer", washer.PART, Seat("drive-end", "impeller", "hub-end"), group=ROTATING),
    Place("tab-washer", tab_washer.PART, Seat("drive-end", "retaining-washer", "suction-end"), group=ROTATING),
    Place("impeller-screw", hex_screw.PART, Seat("under-head", "tab-washer", "suction-end"), group=ROTATING),
    Place("seal-seat", seal_seat.PART, Seat("back", "back-plate", "seat-shoulder"), group=SEAL),
    _o_ring("seat-o-ring", "seal-seat", ("back-plate", "seat-bore"), SEAL),
    Place("seal-face", seal_face.PART, Seat("lapped-face", "seal-seat", "lapped-face"), group=SEAL),
    _o_ring("face-o-ring", "seal-face", ("shaft", "seal-journal"), SEAL, side="drive-end"),
    Place(
        "seal-spring", seal_spring.PART, Seat("suction-end", "impeller", "hub-seat"), group=SEAL,
        spans={"span": Span(("seal-face", "spring-face"), ("impeller", "hub-seat"))},
    ),
)  # fmt: skip

B, P, T, S, K, R = (
    JointKind.BOLTED,
    JointKind.PRESS,
    JointKind.THREADED,
    JointKind.SEALED,
    JointKind.KEYED,
    JointKind.RUNNING,
)

JOINTS = (
    Joint("cover-joint", B, ("suction-cover", "volute"), ("cover-nut",), wet=True, sealed_by=("cover-o-ring",)),
    Joint("cover-studs", T, ("volute", "cover-stud"), ("cover-nut",)),
    Joint("cover-nuts", T, ("cover-stud", "cover-nut")),
    Joint("cover-seal", S, ("suction-cover", "cover-o-ring", "volute")),
    Joint("ring-fit", P, ("suction-cover", "wear-ring"), fit=("ring-bore", "outside"), tool="ring-puller"),
    Joint(
        "casing-joint", B, ("volute", "back-plate", "bracket"), ("bracket-nut",),
        wet=True, sealed_by=("casing-gasket", "bracket-o-ring"),
    ),
    Joint("bracket-studs", T, ("volute", "bracket-stud"), ("bracket-nut",)),
    Joint("bracket-nuts", T, ("bracket-stud", "bracket-nut")),
    Joint("casing-seal", S, ("back-plate", "casing-gasket", "volute")),
    Joint("bracket-seal", S, ("back-plate", "bracket-o-ring", "bracket")),
    Joint(
        "housing-joint", B, ("bracket", "bearing-housing"), ("housing-screw",),
        wet=True, sealed_by=("housing-o-ring",),
    ),
    Joint("housing-screws", T, ("bracket", "housing-screw")),
    Joint("housing-seal", S, ("bearing-housing", "housing-o-ring", "bracket")),
    Joint("fill-plug", T, ("bearing-housing", "oil-fill-plug")),
    Joint("drain-plug", T, ("bearing-housing", "drain-plug")),
    Joint("cap-joint", B, ("bearing-housing", "bearing-cap"), ("cap-screw",), wet=True, sealed_by=("cap-gasket",)),
    Joint("cap-screws", T, ("bearing-housing", "cap-screw")),
    Joint("cap-seal", S, ("bearing-housing", "cap-gasket", "bearing-cap")),
    Joint("inboard-oil-seal", P, ("bearing-housing", "oil-seal-inboard"), tool="seal-puller"),
    Joint("drive-oil-seal", P, ("bearing-cap", "oil-seal-drive"), tool="seal-puller"),
    Joint("inboard-bearing-fit", P, ("shaft", "bearing-inboard"), fit=("inboard-journal", "bore"), tool="bearing-puller"),
    Joint("outboard-bearing-fit", P, ("shaft", "bearing-outboard"), fit=("outboard-journal", "bore"), tool="bearing-puller"),
    Joint("bearing-clamp", B, ("shaft", "bearing-outboard", "lock-washer"), ("lock-nut",)),
    Joint("lock-tab", K, ("shaft", "lock-washer")),
    Joint("lock-thread", T, ("shaft", "lock-nut")),
    Joint("coupling-keyway", K, ("shaft", "coupling-key")),
    Joint("impeller-keyway", K, ("shaft", "impeller-key")),
    Joint("impeller-fixing", B, ("shaft", "impeller", "retaining-washer", "tab-washer"), ("impeller-screw",)),
    Joint("impeller-thread", T, ("shaft", "impeller-screw")),
    Joint("seat-fit", P, ("back-plate", "seal-seat")),
    Joint("seat-seal", S, ("seal-seat", "seat-o-ring", "back-plate")),
    Joint("face-seal", S, ("seal-face", "face-o-ring", "shaft")),
    Joint("seal-faces", R, ("seal-face", "seal-seat")),
    Joint("ring-running", R, ("impeller", "wear-ring")),
)  # fmt: skip

AXIAL = ClearanceKind.AXIAL
TAKEN_UP = "suction-end"

CLEARANCES = (
    Clearance("back-vane", AXIAL, ("impeller", "back-vane-tip"), ("back-plate", "wet-face"), TAKEN_UP),
    Clearance(
        "wear-ring", ClearanceKind.DIAMETRAL, ("impeller", "nose"), ("wear-ring", "bore"),
        effects=(Effect("ring-bore-closing", ring_bore_closing),),
    ),
    Clearance("washer-clamp", AXIAL, ("retaining-washer", "drive-end"), ("shaft", "impeller-end")),
    Clearance("end-float", AXIAL, ("bearing-outboard", "outer-drive-end"), ("bearing-cap", "spigot-end"), TAKEN_UP),
    Clearance("front-gap", AXIAL, ("suction-cover", "ring-shoulder"), ("impeller", "nose-end"), TAKEN_UP),
    Clearance("ring-overlap", ClearanceKind.OVERLAP, ("impeller", "nose-end"), ("wear-ring", "drive-end"), TAKEN_UP),
    Clearance("seal-length", AXIAL, ("impeller", "hub-seat"), ("seal-seat", "lapped-face"), TAKEN_UP),
)  # fmt: skip

OPTIONS = (
    Option(
        "bracket",
        {
            "enclosed": (Place("bracket", bracket.ENCLOSED, BRACKET_SEAT, group=FRAME),),
            "open": (Place("bracket", bracket.OPEN, BRACKET_SEAT, group=FRAME),),
        },
    ),
    Option(
        "discharge",  # common practice: positions named as seen from the driver
        {
            "top-vertical": (Place("volute", volute.TOP_VERTICAL, group=WET_END),),
            "top-horizontal": (Place("volute", volute.TOP_HORIZONTAL, group=WET_END),),
            "bottom-horizontal": (Place("volute", volute.BOTTOM_HORIZONTAL, group=WET_END),),
        },
    ),
)

WORK = (
    Work("lock-out", critical=True),
    Work("vent-and-drain", critical=True),
    Work("match-marks"),
    Work("sling-cover", "suction-cover", critical=True),
    Work("bend-tab", "impeller-screw"),
    Work("measure-back-vane", "impeller"),
    Work("seal-spring-pushes", "impeller", critical=True),
    Work("support-frame", "bracket-nut", critical=True),
    Work("drain-oil", "housing-screw"),
    Work("sling-housing", "bearing-housing", critical=True),
    Work("sling-volute", "volute", critical=True),
    Work("bend-lock-tab", "lock-nut"),
    Work("pull-inner-ring", "bearing-inboard", critical=True),
)

PRACTICES = (  # common practice
    Practice("impeller-left-behind", "bearing-housing", ("impeller",)),
    Practice("impeller-left-behind", "shaft", ("impeller",)),
    Practice("ring-over-key", "seal-face", ("impeller-key",)),
)

FAMILY = Family("end-suction", PLACES, JOINTS, OPTIONS, CLEARANCES, RULES, WORK, PRACTICES)
