"""Impeller and its fixing to the shaft: what drives it, what holds it, what sets its place.

Three designs. Keyed: a screw clamps the hub through washers. Fine thread: the hub is screwed on the
shaft's end against a thrust washer. Acme: the same on a coarse trapezoidal thread, and a sleeve, on
which the seal runs, stands between hub and shoulder. Where there is no sleeve the shaft itself
offers its faces: `shaft-sleeve` then is the shaft.
"""

from __future__ import annotations

from models.parts import (
    centring_washer,
    hex_screw,
    impeller,
    key,
    shaft_sleeve,
    shim,
    tab_washer,
    washer,
)
from models.spec.build import Build
from models.spec.clearance import Clearance, ClearanceKind
from models.spec.family import System
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.practice import Practice
from models.spec.rule import Rule
from models.spec.seat import AsOne, LeftOut, Option, Place, Rows, Seat, Without
from models.spec.work import Work
from models.systems.limits import limit, limit_by_impeller
from models.systems.shared import ROTATING, TAKEN_UP, put_o_ring
from models.systems.thermal import make_growth

CLOCKWISE_FROM_DRIVER = 1.0
"""Rotation of the family, as the row `thread-hand` counts it: a right-hand thread (+1) tightens with it. Common practice."""

CENTRING_PLAY_MM = 0.2
"""Most play on the diameter of what is meant to be centred by hand. Common practice."""

PLACES = (
    Place("impeller-key", key.PART, Seat("bottom", "shaft", "impeller-key-floor"), mounts=("shaft", "impeller-key"), group=ROTATING),
    Place("shim", shim.PART, Seat("drive-end", "shaft", "impeller-shoulder"), pack=True, group=ROTATING),
    Place("impeller", impeller.PART, Seat("hub-seat", "shim", "suction-end"), group=ROTATING),
    Place("retaining-washer", washer.PART, Seat("drive-end", "impeller", "hub-end"), group=ROTATING),
    Place("centring-washer", centring_washer.PART, Seat("shoulder", "retaining-washer", "drive-end"), group=ROTATING),
    Place("tab-washer", tab_washer.PART, Seat("drive-end", "retaining-washer", "suction-end"), group=ROTATING),
    Place("impeller-screw", hex_screw.PART, Seat("under-head", "tab-washer", "suction-end"), group=ROTATING),
)  # fmt: skip

JOINTS = (
    Joint("impeller-keyway", JointKind.KEYED, ("shaft", "impeller-key")),
    Joint("impeller-fixing", JointKind.BOLTED, ("shaft", "impeller", "retaining-washer", "tab-washer"), ("impeller-screw",)),
    Joint("washer-centring", JointKind.PRESS, ("retaining-washer", "centring-washer")),
    Joint("impeller-thread", JointKind.THREADED, ("shaft", "impeller-screw")),
    Joint("thread-seal", JointKind.SEALED, ("impeller", "impeller-o-ring", "shaft")),
    Joint("sleeve-seal", JointKind.SEALED, ("shaft-sleeve", "sleeve-o-ring", "shaft")),
)  # fmt: skip

RUN_OUT = Clearance(
    "thread-run-out", ClearanceKind.AXIAL, ("impeller", "bore-bottom"), ("shaft", "impeller-end"),
    limits=limit("thread-run-out"),
)  # fmt: skip

SCREWED_ON = (
    RUN_OUT,
    Without("impeller-key"),
    Without("retaining-washer"),
    Without("centring-washer"),
    Without("tab-washer"),
    Without("impeller-screw"),
)
"""What an impeller that is itself screwed on does without."""

OPTIONS = (
    Option(
        "fixing",
        {
            "keyed": (
                AsOne("shaft-sleeve", "shaft"),
                Rows("shaft", ("shaft-keyed",)),
                Rows("impeller", ("impeller-keyed",)),
            ),
            "fine-thread": (
                *SCREWED_ON,
                AsOne("shaft-sleeve", "shaft"),
                Rows("shaft", ("shaft-fine-thread",)),
                Rows("impeller", ("impeller-fine-thread",)),
                Rows("shim", ("shim-fine-thread",)),
                Place("thrust-washer", washer.PART, Seat("drive-end", "shim", "suction-end"), group=ROTATING),
                Place("impeller", impeller.PART, Seat("hub-seat", "thrust-washer", "suction-end"), group=ROTATING),
                put_o_ring("impeller-o-ring", "impeller", ("shaft", "impeller-seat"), ROTATING),
                Joint(
                    "impeller-thread", JointKind.THREADED, ("shaft", "impeller"),
                    wet=True, sealed_by=("impeller-o-ring",),
                ),
            ),
            "acme": (
                *SCREWED_ON,
                Rows("shaft", ("shaft-acme",)),
                Rows("impeller", ("impeller-acme",)),
                Place("shaft-sleeve", shaft_sleeve.PART, Seat("drive-end", "shaft", "impeller-shoulder"), group=ROTATING),
                Place("shim", shim.PART, Seat("drive-end", "shaft-sleeve", "suction-end"), pack=True, group=ROTATING),
                put_o_ring("sleeve-o-ring", "shaft-sleeve", ("shaft", "impeller-seat"), ROTATING, side="drive-end"),
                Joint(
                    "impeller-thread", JointKind.THREADED, ("shaft", "impeller"),
                    wet=True, sealed_by=("sleeve-o-ring",),
                ),
            ),
        },
    ),
)  # fmt: skip

CLEARANCES = (
    Clearance(
        "back-vane", ClearanceKind.AXIAL, ("impeller", "back-vane-tip"), ("back-plate", "wet-face"), TAKEN_UP,
        effects=(make_growth("back-vane"),), limits=limit_by_impeller("back-vane"),
    ),
    Clearance("washer-clamp", ClearanceKind.AXIAL, ("centring-washer", "drive-end"), ("shaft", "impeller-end"), limits=limit("washer-clamp")),
)  # fmt: skip

WORK = (
    Work("bend-tab", "impeller-screw"),
    Work("measure-back-vane", "impeller"),
    Work("unscrew-impeller", "impeller", critical=True, given="impeller-o-ring"),
    Work("unscrew-impeller", "impeller", critical=True, given="sleeve-o-ring"),
)  # fmt: skip

PRACTICES = (  # common practice
    Practice("impeller-left-behind", "bearing-housing", ("impeller",)),
    Practice("impeller-left-behind", "shaft", ("impeller",)),
    Practice("ring-over-key", "seal-face", ("impeller-key",)),
    Practice("ring-over-key", "seal-bellows", ("impeller-key",)),
)


def tab_not_bent(build: Build) -> tuple[str, ...]:
    """Name the tab washer unless one tab stands over a flat of the screw's head and one over the washer's rim."""
    if not build.has("tab-washer"):
        return ()
    tab = build.piece_at("tab-washer").row
    head = build.piece_at("impeller-screw").row["across-flats"]
    rim = build.piece_at("retaining-washer").row["outside"]
    lies = float(tab["across-flats"] - head) == float(tab["rim-diameter"] - rim) == 0.0
    stands = float(tab["tab-length"]) > float(tab["thickness"]) and "flat-tab-length" not in tab
    return () if lies and stands else ("tab-washer",)


def washer_misses_hub(build: Build) -> tuple[str, ...]:
    """Name the retaining washer when the centring washer on it meets the shaft's end before it bears on the hub."""
    if not build.has("retaining-washer", "centring-washer"):
        return ()
    gap = build.position("shaft", "impeller-end") - build.position("centring-washer", "drive-end")
    return () if float(gap) > 0 else ("retaining-washer",)


def washer_not_centred(build: Build) -> tuple[str, ...]:
    """Name the centring washer when it does not stand in the hub's bore, or the retaining washer not on its spigot.

    Without a centring washer it is the retaining washer that nothing centres.
    """
    if not build.has("centring-washer"):
        return build.pieces_at("retaining-washer")
    enters = build.position("centring-washer", "drive-end") - build.position("impeller", "hub-end")
    through = build.position("retaining-washer", "suction-end") - build.position(
        "centring-washer", "suction-end"
    )
    plays = [
        float(build.diameter(*hole) - build.diameter("centring-washer", face))
        for hole, face in (
            (("impeller", "bore"), "outside"),
            (("retaining-washer", "hole"), "spigot"),
        )
    ]
    centred = all(0 < play <= CENTRING_PLAY_MM for play in plays)
    return () if centred and float(enters) > 0 > float(through) else ("centring-washer",)


def _is_screwed_on(build: Build) -> bool:
    return "thread-hand" in build.piece_at("impeller").row


def thread_bottoms(build: Build) -> tuple[str, ...]:
    """Name the impeller when its thread or bore meets the shaft before its hub bears on what it should."""
    if not _is_screwed_on(build):
        return ()
    left = [
        float(build.position("shaft", there) - build.position("impeller", here))
        for here, there in (("bore-bottom", "impeller-end"), ("register-end", "register-end"))
    ]
    return () if min(left) > 0 else ("impeller",)


def thread_loosens(build: Build) -> tuple[str, ...]:
    """Name the shaft when its thread is of the hand that the rotation loosens."""
    hand = build.piece_at("shaft").row.get("thread-hand")
    return () if hand is None or float(hand) == CLOCKWISE_FROM_DRIVER else ("shaft",)


def impeller_not_driven(build: Build) -> tuple[str, ...]:
    """Name the impeller when it is not screwed on and has no key that turns it."""
    return () if _is_screwed_on(build) or build.has("impeller-key") else ("impeller",)


def back_vanes_ill_set(build: Build) -> tuple[str, ...]:
    """Name the shims when the gap that they set behind the impeller lies outside its limits."""
    needed = build.find_requirement(build.clearance("back-vane"))
    gap = build.position("back-plate", "wet-face") - build.position("impeller", "back-vane-tip")
    return () if needed.lower <= float(gap) <= needed.upper else build.pieces_at("shim")


def threads_differ(build: Build) -> tuple[str, ...]:
    """Name the impeller when its thread is of another hand, size or pitch than the shaft's."""
    if not _is_screwed_on(build):
        return ()
    hub, end = build.piece_at("impeller").row, build.piece_at("shaft").row
    keys = ("thread-hand", "thread-major", "thread-pitch")
    return () if all(float(hub[key]) == float(end[key]) for key in keys) else ("impeller",)


RULES = (
    Rule(5, "washer-bears-on-hub", washer_misses_hub),
    Rule(31, "tab-bent", tab_not_bent),
    Rule(32, "washer-centred-in-hub", washer_not_centred),
    Rule(33, "thread-run-out-left", thread_bottoms),
    Rule(34, "thread-hand-fits-rotation", thread_loosens),
    Rule(35, "threads-match", threads_differ),
    Rule(36, "back-vanes-set", back_vanes_ill_set),
    Rule(37, "impeller-driven", impeller_not_driven),
)

KEYED, FINE, ACME = (("fixing", value) for value in ("keyed", "fine-thread", "acme"))

FAULTS = (
    SeededFault("impeller-key-left-out", 37, (LeftOut("impeller-key"),), needs=(KEYED,)),
    SeededFault("tab-not-bent", 31, (Rows("tab-washer", ("tab-washer-not-bent",)),), needs=(KEYED,)),
    SeededFault("centring-washer-left-out", 32, (LeftOut("centring-washer"),), needs=(KEYED,)),
    SeededFault("shims-left-out", 36, shims_left_out=2),
    SeededFault(
        "thread-left-hand", 34, (Rows("shaft", ("shaft-left-hand",)), Rows("impeller", ("impeller-left-hand",))), needs=(ACME,),
        near=("shaft", "register-end"),
    ),
    SeededFault("impeller-o-ring-left-out", 1, (LeftOut("impeller-o-ring"),), needs=(FINE,)),
    SeededFault("sleeve-o-ring-left-out", 1, (LeftOut("sleeve-o-ring"),), needs=(ACME,)),
)  # fmt: skip

SYSTEM = System(
    places=PLACES,
    joints=JOINTS,
    options=OPTIONS,
    clearances=CLEARANCES,
    rules=RULES,
    faults=FAULTS,
    work=WORK,
    practices=PRACTICES,
)
