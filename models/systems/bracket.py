"""Back plate and bracket: what closes the casing behind the impeller and carries the bearing housing."""

from __future__ import annotations

from models.parts import (
    back_plate,
    bracket,
    frame_casting,
    hex_screw,
    nut,
    slinger,
    stud,
)
from models.spec.build import Build
from models.spec.family import System
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.rule import Rule
from models.spec.seat import AsOne, LeftOut, Option, Place, Reseated, Rows, Seat, Span, Without
from models.spec.work import Work
from models.systems import seal_oil
from models.systems.shared import FRAME, ROTATING, WET_END, put_o_ring

PLACES = (
    Place("back-plate", back_plate.PART, Seat("casing-face", "casing-gasket", "drive-end"), group=FRAME),
    Place("bracket", bracket.PART, Seat("casing-end", "back-plate", "bracket-face"), group=FRAME),
    put_o_ring("bracket-o-ring", "back-plate", ("bracket", "casing-register"), FRAME),
    Place("bracket-stud", stud.PART, Seat("inner-end", "volute", "bracket-stud-bottom"), mounts=("volute", "bracket-studs"), group=WET_END),
    Place("bracket-nut", nut.PART, Seat("bearing-face", "bracket", "nut-face"), row="casing-nut", mounts=("volute", "bracket-studs"), group=WET_END),
)  # fmt: skip

JOINTS = (
    Joint(
        "casing-joint", JointKind.BOLTED, ("volute", "back-plate", "bracket"), ("bracket-nut",),
        wet=True, sealed_by=("casing-gasket", "bracket-o-ring"),
    ),
    Joint("bracket-studs", JointKind.THREADED, ("volute", "bracket-stud"), ("bracket-nut",)),
    Joint("bracket-nuts", JointKind.THREADED, ("bracket-stud", "bracket-nut")),
    Joint("casing-seal", JointKind.SEALED, ("back-plate", "casing-gasket", "volute")),
    Joint("bracket-seal", JointKind.SEALED, ("back-plate", "bracket-o-ring", "bracket")),
    Joint("slinger-fit", JointKind.PRESS, ("shaft", "slinger")),
    Joint("jacking-thread", JointKind.THREADED, ("back-plate", "jacking-screw")),
    Joint("jacking-lock", JointKind.THREADED, ("jacking-screw", "jacking-nut")),
    *seal_oil.JOINTS,
)  # fmt: skip

SLINGER = Place(
    "slinger", slinger.PART, Seat("drive-end", "shaft", "seal-end"), group=ROTATING,
    spans={"shaft-diameter": Span(("shaft", "seal-journal"))},
)  # fmt: skip
"""In an open bracket what leaks at the gland creeps along the shaft; the slinger throws it off before the bearing's lip seal."""

JACKING = (
    Rows("back-plate", ("back-plate-jacking",)),
    Rows("bracket", ("bracket-jacking",)),
    Place("jacking-nut", nut.PART, Seat("bearing-face", "bracket", "nut-face"), mounts=("bracket", "jacking-nuts"), group=FRAME),
    Place("jacking-screw", hex_screw.PART, Seat("under-head", "jacking-nut", "outer-end"), mounts=("bracket", "jacking-screws"), group=FRAME),
)  # fmt: skip
"""Tapped into the back plate's flange, held back by lock nuts; run home without these they push it off the volute."""

ONE_CASTING = (
    Place("bracket", frame_casting.PART, Seat("casing-face", "casing-gasket", "drive-end"), group=FRAME),
    AsOne("back-plate", "bracket"),
    Rows("bracket", ("bracket-one-casting",)),
    Without("bracket-o-ring"),
    Joint("casing-joint", JointKind.BOLTED, ("volute", "bracket"), ("bracket-nut",), wet=True, sealed_by=("casing-gasket",)),
)  # fmt: skip
"""The casting has no register inside it and needs no ring there: the seal's oil meets no joint but that of the housing."""

OPTIONS = (
    Option(
        "bracket",
        {
            "enclosed": (Rows("bracket", ("bracket-enclosed",)), *seal_oil.OIL_BATH),
            "open": (Rows("bracket", ("bracket-open",)), SLINGER, *seal_oil.GRAVITY_FEED),
        },
    ),
    Option("back-plate", {"separate": (), "one-casting": ONE_CASTING}),
    Option("jacking", {"none": (), "screws": JACKING}),
)  # fmt: skip


def slinger_rubs(build: Build) -> tuple[str, ...]:
    """Name the slinger when it does not turn free between the gland and the spigot of the bearing housing."""
    if not build.has("slinger"):
        return ()
    gland = ("seal-gland", "end") if build.has("seal-gland") else ("gland", "nut-face")
    spigot = build.piece_at("bearing-housing").row["spigot-length"]
    housing = float(build.position("bearing-housing", "bracket-face") - spigot)
    ends = [float(build.position("slinger", face)) for face in ("suction-end", "drive-end")]
    return () if float(build.position(*gland)) < ends[0] < ends[1] < housing else ("slinger",)


def slinger_too_small(build: Build) -> tuple[str, ...]:
    """Name the slinger when it is not wider than the bearing's lip seal that it shades."""
    if not build.has("slinger"):
        return ()
    wide = float(build.piece_at("slinger").row["outside"])
    lip = float(build.diameter("bearing-housing", "oil-seal-bore"))
    return () if wide > lip else ("slinger",)


def jacking_screws_misfit(build: Build) -> tuple[str, ...]:
    """Name the jacking screws when they press on the closed joint, or run home do not open it."""
    if not build.has("jacking-screw"):
        return ()
    point = float(build.position("jacking-screw", "point"))
    if not build.has("jacking-nut"):
        return build.pieces_at("jacking-screw")  # nothing holds them back
    home = point - float(build.piece_at("jacking-nut").row["nut-height"])
    back = point >= float(build.position("back-plate", "casing-face"))
    opens = home < float(build.position("volute", "rear-face"))
    return () if back and opens else build.pieces_at("jacking-screw")


def slinger_lacking(build: Build) -> tuple[str, ...]:
    """Name the bearing's lip seal when the gland before it leaks into the open and no slinger shades it."""
    open_gland = build.has("seal-gland") or build.has("gland")
    return ("oil-seal-inboard",) if open_gland and not build.has("slinger") else ()


RULES = (
    Rule(12, "slinger-runs-free", slinger_rubs),
    Rule(13, "slinger-shades-lip", slinger_too_small),
    Rule(14, "jacking-screws-open-joint", jacking_screws_misfit),
    Rule(15, "slinger-there", slinger_lacking),
    *seal_oil.RULES,
)

OPEN = (("bracket", "open"),)

FAULTS = (
    SeededFault("bracket-o-ring-left-out", 1, (LeftOut("bracket-o-ring"),), needs=(("back-plate", "separate"),)),
    SeededFault("slinger-left-out", 15, (LeftOut("slinger"),), needs=OPEN),
    SeededFault(
        "slinger-on-gland", 12, (Reseated("slinger", Seat("suction-end", "seal-gland", "end")),),
        needs=(*OPEN, ("shaft-seal", "mechanical")),
    ),
    SeededFault("jacking-nuts-left-off", 14, (LeftOut("jacking-nut"),), needs=(("jacking", "screws"),)),
    *seal_oil.FAULTS,
)  # fmt: skip

WORK = (
    Work("support-frame", "bracket-nut", critical=True),
)  # fmt: skip

SYSTEM = System(
    places=PLACES, joints=JOINTS, options=OPTIONS, rules=RULES, faults=FAULTS, work=WORK
)
