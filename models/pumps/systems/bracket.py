"""Back plate and bracket: what closes the casing behind the impeller and carries the bearing housing."""

from __future__ import annotations

from models.parts import (
    back_plate,
    bracket,
    frame_casting,
    nut,
    stud,
)
from models.pumps.systems import seal_oil
from models.pumps.systems.shared import FRAME, WET_END, put_o_ring
from models.spec.family import System
from models.spec.joint import Joint, JointKind
from models.spec.seat import AsOne, Option, Place, Rows, Seat, Without
from models.spec.work import Work

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
    *seal_oil.JOINTS,
)  # fmt: skip

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
            "open": (Rows("bracket", ("bracket-open",)), *seal_oil.GRAVITY_FEED),
        },
    ),
    Option("back-plate", {"separate": (), "one-casting": ONE_CASTING}),
)  # fmt: skip

WORK = (
    Work("support-frame", "bracket-nut", critical=True),
)  # fmt: skip

SYSTEM = System(places=PLACES, joints=JOINTS, options=OPTIONS, rules=seal_oil.RULES, work=WORK)
