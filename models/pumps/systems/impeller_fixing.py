"""Impeller and its fixing to the shaft: what drives it, what holds it, what sets its place."""

from __future__ import annotations

from models.parts import hex_screw, impeller, key, shim, tab_washer, washer
from models.pumps.systems.shared import ROTATING, TAKEN_UP
from models.spec.clearance import Clearance, ClearanceKind
from models.spec.family import System
from models.spec.joint import Joint, JointKind
from models.spec.practice import Practice
from models.spec.seat import Place, Seat
from models.spec.work import Work

PLACES = (
    Place("impeller-key", key.PART, Seat("bottom", "shaft", "impeller-key-floor"), mounts=("shaft", "impeller-key"), group=ROTATING),
    Place("shim", shim.PART, Seat("drive-end", "shaft", "impeller-shoulder"), pack=True, group=ROTATING),
    Place("impeller", impeller.PART, Seat("hub-seat", "shim", "suction-end"), group=ROTATING),
    Place("retaining-washer", washer.PART, Seat("drive-end", "impeller", "hub-end"), group=ROTATING),
    Place("tab-washer", tab_washer.PART, Seat("drive-end", "retaining-washer", "suction-end"), group=ROTATING),
    Place("impeller-screw", hex_screw.PART, Seat("under-head", "tab-washer", "suction-end"), group=ROTATING),
)  # fmt: skip

JOINTS = (
    Joint("impeller-keyway", JointKind.KEYED, ("shaft", "impeller-key")),
    Joint("impeller-fixing", JointKind.BOLTED, ("shaft", "impeller", "retaining-washer", "tab-washer"), ("impeller-screw",)),
    Joint("impeller-thread", JointKind.THREADED, ("shaft", "impeller-screw")),
)  # fmt: skip

CLEARANCES = (
    Clearance("back-vane", ClearanceKind.AXIAL, ("impeller", "back-vane-tip"), ("back-plate", "wet-face"), TAKEN_UP),
    Clearance("washer-clamp", ClearanceKind.AXIAL, ("retaining-washer", "drive-end"), ("shaft", "impeller-end")),
)  # fmt: skip

WORK = (
    Work("bend-tab", "impeller-screw"),
    Work("measure-back-vane", "impeller"),
)  # fmt: skip

PRACTICES = (  # common practice
    Practice("impeller-left-behind", "bearing-housing", ("impeller",)),
    Practice("impeller-left-behind", "shaft", ("impeller",)),
    Practice("ring-over-key", "seal-face", ("impeller-key",)),
)

SYSTEM = System(places=PLACES, joints=JOINTS, clearances=CLEARANCES, work=WORK, practices=PRACTICES)
