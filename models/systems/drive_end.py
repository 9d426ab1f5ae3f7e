"""Drive end: what closes the bearing housing towards the driver and takes its torque.

A bare shaft end, a coupling hub on it for a motor, or a bell housing for an engine: it joins the bearing
housing to the engine's flywheel housing (SAE J617), and a flexible disc goes on the flywheel (SAE J620).
"""

from __future__ import annotations

from models.parts import (
    bearing_cap,
    bell_housing,
    coupling_hub,
    flat_gasket,
    flexible_disc,
    hex_screw,
    key,
    set_screw,
    window_guard,
)
from models.spec.clearance import Clearance, ClearanceGroup, ClearanceKind
from models.spec.family import System
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.seat import LeftOut, Option, Place, Reseated, Rows, Seat, Without
from models.spec.work import Work
from models.systems import bearing_play, drive_end_rules
from models.systems.lip_seals import join_garter, put_lip_seal
from models.systems.shared import DRIVE, FRAME, ROTATING, TAKEN_UP

PLACES = (
    Place("cap-gasket", flat_gasket.PART, Seat("suction-end", "bearing-housing", "cap-face"), group=FRAME),
    Place("bearing-cap", bearing_cap.PART, Seat("mounting-face", "cap-gasket", "drive-end"), group=FRAME),
    Place("cap-screw", hex_screw.PART, Seat("under-head", "bearing-cap", "screw-face"), mounts=("bearing-housing", "cap-screws"), group=FRAME),
    *put_lip_seal(
        "oil-seal-drive", Seat("lip-side", "bearing-cap", "oil-seal-shoulder"), ("bearing-cap", "oil-seal-bore"),
        ("shaft", "drive-seal-journal"), FRAME, mounts=("bearing-cap", "oil-seal"),
    ),
    Place("coupling-key", key.PART, Seat("bottom", "shaft", "coupling-key-floor"), mounts=("shaft", "coupling-key"), group=ROTATING),
)  # fmt: skip

JOINTS = (
    Joint("cap-joint", JointKind.BOLTED, ("bearing-housing", "bearing-cap"), ("cap-screw",), wet=True, sealed_by=("cap-gasket",)),
    Joint("cap-screws", JointKind.THREADED, ("bearing-housing", "cap-screw")),
    Joint("cap-seal", JointKind.SEALED, ("bearing-housing", "cap-gasket", "bearing-cap")),
    join_garter("oil-seal-drive"),
    Joint("drive-oil-seal", JointKind.PRESS, ("bearing-cap", "oil-seal-drive"), tool="seal-puller"),
    Joint("coupling-keyway", JointKind.KEYED, ("shaft", "coupling-key")),
    Joint("hub-keyway", JointKind.KEYED, ("shaft", "coupling-hub")),
    Joint("hub-grip", JointKind.BOLTED, ("shaft", "coupling-hub"), ("set-screw",)),
    Joint("set-screw-thread", JointKind.THREADED, ("coupling-hub", "set-screw")),
    Joint("bell-joint", JointKind.BOLTED, ("bearing-housing", "bell-housing"), ("bell-screw",)),
    Joint("bell-screws", JointKind.THREADED, ("bearing-housing", "bell-screw")),
    Joint("disc-joint", JointKind.BOLTED, ("coupling-hub", "flexible-disc", "clamp-ring"), ("disc-screw",)),
    Joint("disc-screws", JointKind.THREADED, ("coupling-hub", "disc-screw")),
    *(
        joint
        for side in ("right", "left")
        for joint in (
            Joint(f"guard-{side}", JointKind.BOLTED, ("bell-housing", f"window-guard-{side}"), (f"guard-screw-{side}",)),
            Joint(f"guard-screws-{side}", JointKind.THREADED, ("bell-housing", f"guard-screw-{side}")),
        )
    ),
)  # fmt: skip

HUB = (
    Place("coupling-hub", coupling_hub.PART, Seat("suction-end", "shaft", "coupling-shoulder"), group=ROTATING),
    Place("set-screw", set_screw.PART, Seat("point", "coupling-key", "top"), mounts=("coupling-hub", "set-screw"), group=ROTATING),
)  # fmt: skip
BELL = (
    Rows("bearing-housing", ("bearing-housing-bell",)),
    Rows("bearing-cap", ("bearing-cap-register",)),
    Place("bell-housing", bell_housing.PART, Seat("mounting-face", "bearing-housing", "cap-face"), group=DRIVE),
    Place("bell-screw", hex_screw.PART, Seat("under-head", "bell-housing", "screw-face"), mounts=("bell-housing", "screws"), group=DRIVE),
    Place("window-guard-right", window_guard.PART, Seat("inside", "bell-housing", "window-right"), row="window-guard", mounts=("bell-housing", "window-right"), group=DRIVE),
    Place("window-guard-left", window_guard.PART, Seat("inside", "bell-housing", "window-left"), row="window-guard", mounts=("bell-housing", "window-left"), group=DRIVE),
    Place("guard-screw-right", hex_screw.PART, Seat("under-head", "window-guard-right", "outside"), row="guard-screw", mounts=("bell-housing", "guard-screws-right"), group=DRIVE),
    Place("guard-screw-left", hex_screw.PART, Seat("under-head", "window-guard-left", "outside"), row="guard-screw", mounts=("bell-housing", "guard-screws-left"), group=DRIVE),
    Place("flexible-disc", flexible_disc.PART, Seat("hub-face", "coupling-hub", "drive-end"), group=DRIVE),
    Place("clamp-ring", flexible_disc.RING, Seat("disc-side", "flexible-disc", "clamp-face"), group=DRIVE),
    Place("disc-screw", hex_screw.PART, Seat("under-head", "clamp-ring", "screw-face"), mounts=("coupling-hub", "disc-screws"), group=DRIVE),
)  # fmt: skip

OPTIONS = (
    Option(
        "drive-end",  # common practice: what the pump leaves the shop with
        {"bare-shaft": (), "coupling-hub": HUB, "bell-housing": (*HUB, *BELL)},
    ),
)

CLEARANCES = (
    Clearance(
        "cap-gap", ClearanceKind.AXIAL, ("bearing-outboard", "outer-drive-end"), ("bearing-cap", "spigot-end"), TAKEN_UP,
        limits=bearing_play.limit_cap_gap, group=ClearanceGroup.BEARINGS,
    ),
    Clearance(
        "end-float", ClearanceKind.AXIAL, ("bearing-outboard", "outer-drive-end"), ("bearing-cap", "spigot-end"),
        curves=bearing_play.END_FLOAT, limits=bearing_play.limit_end_float, group=ClearanceGroup.BEARINGS,
    ),
    # how far the disc reaches into the engine, measured from the face of its flywheel housing
    Clearance("coupling-reach", ClearanceKind.OVERLAP, ("bell-housing", "engine-face"), ("flexible-disc", "flywheel-face"), TAKEN_UP, group=ClearanceGroup.DRIVE),
    Clearance("bell-register", ClearanceKind.DIAMETRAL, ("bearing-cap", "rim"), ("bell-housing", "register"), group=ClearanceGroup.DRIVE),
)  # fmt: skip

WORK = (
    Work("part-from-engine", "disc-screw", critical=True),
    Work("sling-bell", "bell-housing", critical=True),
    Work("pull-hub", "coupling-hub", critical=True),
)

HUBBED = (("drive-end", "coupling-hub"), ("drive-end", "bell-housing"))
BELLED = (("drive-end", "bell-housing"),)

FAULTS = (
    SeededFault("cap-gasket-left-out", 1, (LeftOut("cap-gasket"),)),
    SeededFault(
        "drive-lip-reversed", 6, (Reseated("oil-seal-drive", Seat("back", "bearing-cap", "oil-seal-shoulder"), turned=True),),
    ),
    SeededFault("coupling-key-left-out", 69, (LeftOut("coupling-key"),), needs=HUBBED),
    SeededFault("window-guard-left-off", 64, (Without("window-guard-left"), Without("guard-screw-left")), needs=BELLED, at=("window-guard-left",)),
    SeededFault("disc-of-another-flywheel", 62, (Rows("flexible-disc", ("flexible-disc-smaller",)),), needs=BELLED),
)  # fmt: skip

SYSTEM = System(
    places=PLACES,
    joints=JOINTS,
    options=OPTIONS,
    clearances=CLEARANCES,
    rules=drive_end_rules.RULES,
    faults=FAULTS,
    work=WORK,
)
