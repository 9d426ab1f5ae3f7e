"""Self-priming casing: what keeps the priming charge, and what is bolted to it: flanges, flap valve, fill cover, drains."""

from __future__ import annotations

from models.parts import (
    companion_flange,
    fill_cover,
    flap_leaf,
    flat_gasket,
    hand_knob,
    hex_screw,
    nut,
    priming_casing,
    seal_ring,
    stud,
    washer,
)
from models.spec.build import Build
from models.spec.family import System
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.rule import Rule
from models.spec.seat import AsOne, LeftOut, Option, Place, Rows, Seat
from models.spec.work import Work
from models.systems import casing
from models.systems.shared import WET_END

SUCTION, SUCTION_STUDS = ("casing", "suction"), ("casing", "suction-studs")
DISCHARGE, DISCHARGE_STUDS = ("casing", "discharge"), ("casing", "discharge-studs")
FILL, FILL_STUDS = ("casing", "fill"), ("casing", "fill-studs")

PLACES = (
    Place("casing", priming_casing.PART, group=WET_END),
    Place("flap-leaf", flap_leaf.PART, Seat("inner", "casing", "suction-pad"), mounts=SUCTION, group=WET_END),
    Place("flap-weight-inner", washer.PART, Seat("drive-end", "flap-leaf", "inner"), mounts=SUCTION, group=WET_END),
    Place("flap-weight-outer", washer.PART, Seat("drive-end", "flap-leaf", "outer"), mounts=("casing", "flap-outside"), group=WET_END),
    Place("flap-screw", hex_screw.PART, Seat("under-head", "flap-weight-inner", "suction-end"), mounts=SUCTION, group=WET_END),
    Place("flap-nut", nut.PART, Seat("bearing-face", "flap-weight-outer", "suction-end"), mounts=SUCTION, group=WET_END),
    Place("suction-companion-flange", companion_flange.PART, Seat("foot", "flap-leaf", "outer"), mounts=SUCTION, group=WET_END),
    Place("suction-companion-stud", stud.PART, Seat("inner-end", "casing", "suction-stud-bottom"), row="companion-stud", mounts=SUCTION_STUDS, group=WET_END),
    Place("suction-companion-nut", nut.PART, Seat("bearing-face", "suction-companion-flange", "nut-face"), row="companion-nut", mounts=SUCTION_STUDS, group=WET_END),
    Place("discharge-companion-gasket", flat_gasket.PART, Seat("suction-end", "casing", "discharge-pad"), mounts=DISCHARGE, group=WET_END),
    Place("discharge-companion-flange", companion_flange.PART, Seat("foot", "discharge-companion-gasket", "drive-end"), mounts=DISCHARGE, group=WET_END),
    Place("discharge-companion-stud", stud.PART, Seat("inner-end", "casing", "discharge-stud-bottom"), row="companion-stud", mounts=DISCHARGE_STUDS, group=WET_END),
    Place("discharge-companion-nut", nut.PART, Seat("bearing-face", "discharge-companion-flange", "nut-face"), row="companion-nut", mounts=DISCHARGE_STUDS, group=WET_END),
    Place("fill-gasket", seal_ring.PART, Seat("lower", "casing", "fill-pad"), mounts=FILL, group=WET_END),
    Place("fill-cover", fill_cover.PART, Seat("underside", "fill-gasket", "upper"), mounts=FILL, group=WET_END),
    Place("fill-stud", stud.PART, Seat("inner-end", "casing", "fill-stud-bottom"), mounts=FILL_STUDS, group=WET_END),
    Place("hand-knob", hand_knob.PART, Seat("bearing-face", "fill-cover", "knob-face"), mounts=FILL_STUDS, group=WET_END),
    *casing.DRAIN,
)  # fmt: skip

JOINTS = (
    Joint("suction-joint", JointKind.BOLTED, ("casing", "suction-companion-flange"), ("suction-companion-nut",), wet=True, sealed_by=("flap-leaf",)),
    Joint("suction-studs", JointKind.THREADED, ("casing", "suction-companion-stud"), ("suction-companion-nut",)),
    Joint("suction-nuts", JointKind.THREADED, ("suction-companion-stud", "suction-companion-nut")),
    Joint("suction-seal", JointKind.SEALED, ("casing", "flap-leaf", "suction-companion-flange")),
    Joint("flap-weights", JointKind.BOLTED, ("flap-leaf", "flap-weight-inner", "flap-weight-outer", "flap-screw"), ("flap-nut",)),
    Joint("flap-thread", JointKind.THREADED, ("flap-screw", "flap-nut")),
    Joint("discharge-joint", JointKind.BOLTED, ("casing", "discharge-companion-flange"), ("discharge-companion-nut",), wet=True, sealed_by=("discharge-companion-gasket",)),
    Joint("discharge-studs", JointKind.THREADED, ("casing", "discharge-companion-stud"), ("discharge-companion-nut",)),
    Joint("discharge-nuts", JointKind.THREADED, ("discharge-companion-stud", "discharge-companion-nut")),
    Joint("discharge-seal", JointKind.SEALED, ("casing", "discharge-companion-gasket", "discharge-companion-flange")),
    Joint("fill-joint", JointKind.BOLTED, ("casing", "fill-cover"), ("hand-knob",), wet=True, sealed_by=("fill-gasket",)),
    Joint("fill-studs", JointKind.THREADED, ("casing", "fill-stud"), ("hand-knob",)),
    Joint("fill-knobs", JointKind.THREADED, ("fill-stud", "hand-knob")),
    Joint("fill-seal", JointKind.SEALED, ("casing", "fill-gasket", "fill-cover")),
    *casing.DRAIN_JOINTS,
)  # fmt: skip

OPTIONS = (
    Option(
        "flanges",
        {
            "pn16": (),
            "class-150": tuple(
                Rows(f"{side}-companion-flange", (f"{side}-companion-flange-class-150",))
                for side in ("suction", "discharge")
            ),
        },
    ),
)

WORK = (
    Work("lock-out", critical=True),
    Work("vent-and-drain", critical=True),
    Work("let-cool", "hand-knob", critical=True),
    Work("match-marks"),
    Work("sling-casing", "casing", critical=True),
)


def charge_too_low(build: Build) -> tuple[str, ...]:
    """Name the casing when what stays in it as the suction line runs empty does not cover the wear plate's eye."""
    charge = priming_casing.find_charge_mm(build.numbers_at("casing"))
    return () if charge > float(build.diameter("wear-plate", "eye")) / 2 else ("casing",)


def flap_does_not_shut(build: Build) -> tuple[str, ...]:
    """Name the flap's leaf when it cannot swing inwards, or is not wider than the bore it must shut."""
    if not build.has("flap-leaf"):
        return ()  # rule 1 says that the flange has no seal
    leaf = float(build.diameter("flap-leaf", "edge"))
    bore = float(build.diameter("suction-companion-flange", "bore"))
    shuts = bore < leaf < build.numbers_at("casing")["mouth-bore"]
    return () if shuts else ("flap-leaf",)


def weight_outside(build: Build) -> tuple[str, ...]:
    """Name the flap's weight on the pump's side of the leaf when it is not the heavier, so that nothing drops the leaf shut."""
    if not build.has("flap-weight-inner", "flap-weight-outer"):
        return ()
    sides = [build.piece_at(f"flap-weight-{side}") for side in ("inner", "outer")]
    outer, inner = sorted(sides, key=lambda piece: float(piece.pose.origin[0]))
    size = [
        float(piece.row["outside"]) ** 2 * float(piece.row["thickness"]) for piece in (outer, inner)
    ]
    return () if size[0] < size[1] else (inner.name,)


def port_shut(build: Build) -> tuple[str, ...]:
    """Name the casing when the recirculation port does not lead from the separation chamber into the spiral."""
    row = build.numbers_at("casing")
    low, high = priming_casing.find_port_mm(row)
    floor = row["wall"] - row["half-width"]
    return () if row["recirculation-bore"] > 0 and floor <= low < high else ("casing",)


RULES = (
    Rule(81, "charge-covers-eye", charge_too_low),
    Rule(82, "flap-shuts", flap_does_not_shut),
    Rule(83, "flap-weight-inside", weight_outside),
    Rule(84, "recirculation-open", port_shut),
)

FAULTS = (
    SeededFault("flap-too-small", 82, (Rows("flap-leaf", ("flap-leaf-small",)),)),
    SeededFault(
        "flap-weights-changed-over", 83,
        (Rows("flap-weight-inner", ("flap-weight-outer",)), Rows("flap-weight-outer", ("flap-weight-inner",))),
        at=("flap-weight-inner", "flap-weight-outer"),
    ),
    SeededFault("fill-gasket-left-out", 1, (LeftOut("fill-gasket"),)),
    SeededFault("discharge-companion-gasket-left-out", 1, (LeftOut("discharge-companion-gasket"),)),
    SeededFault("casing-drain-ring-left-out", 1, (LeftOut("casing-drain-ring"),)),
)  # fmt: skip

SYSTEM = System(
    places=PLACES,
    joints=JOINTS,
    options=OPTIONS,
    rules=RULES,
    faults=FAULTS,
    work=WORK,
    always=(AsOne("volute", "casing"),),
)
"""The volute is cast into the vessel: what other systems seat on the volute they find on the casing."""
