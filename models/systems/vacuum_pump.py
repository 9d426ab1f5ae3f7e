"""Vacuum pump of the priming system: on the bearing housing or beside it, driven from the shaft by a wedge belt under a guard.

It draws the air out of the separation chamber through a hose. Source of the arrangement: common practice.
"""

from __future__ import annotations

from models.parts import (
    belt,
    belt_guard,
    hex_screw,
    hose_clip,
    hose_fitting,
    key,
    pipe,
    seal_ring,
    set_screw,
    sheave,
    vacuum_bracket,
    vacuum_pump,
    vented_cap,
)
from models.spec.clearance import Clearance, ClearanceGroup, ClearanceKind
from models.spec.family import System
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.practice import Practice
from models.spec.seat import Fill, LeftOut, Option, Place, Reseated, Rows, Seat, Without
from models.spec.work import Work
from models.systems import vacuum_pump_rules
from models.systems.limits import limit
from models.systems.shared import DRIVE, ROTATING, TAKEN_UP

INLET, OUTLET = ("vacuum-pump", "inlet"), ("vacuum-pump", "outlet")
HOSE_ENDS = {"chamber": "vacuum-fitting", "pump": "vacuum-inlet-fitting"}
"""The ends of the hose, with the fitting that each is pushed over."""
OTHER_SHEAVE = {"sheave": ("vacuum-pump", "sheave")}

DRIVEN: tuple[Fill, ...] = (
    Rows("shaft", ("shaft-sheave-seat",)),
    Rows("coupling-hub", ("coupling-hub-past-sheave",)),
    Rows("bearing-housing", ("bearing-housing-belt-drive",)),
    Place("vacuum-pump-screw", hex_screw.PART, Seat("under-head", "vacuum-pump", "screw-face"), mounts=("vacuum-pump", "foot-screws"), group=DRIVE),
    Place("vacuum-inlet-ring", seal_ring.PART, Seat("lower", "vacuum-pump", "port-pad"), row="fitting-seal-ring", mounts=INLET, group=DRIVE),
    Place("vacuum-inlet-fitting", hose_fitting.PART, Seat("shoulder", "vacuum-inlet-ring", "upper"), mounts=INLET, group=DRIVE),
    Place("vacuum-silencer", vented_cap.PART, Seat("under-rim", "vacuum-pump", "port-pad"), mounts=OUTLET, group=DRIVE),
    Place(
        "vacuum-hose", pipe.HOSE, Seat("start", "vacuum-fitting", "hexagon-top"), mounts=("chamber-cover", "port"),
        reaches={"end": ("vacuum-inlet-fitting", "hose")}, group=DRIVE,
    ),
    *(
        Place(f"hose-clip-{end}", hose_clip.PART, row="hose-clip", mounts=(fitting, "clip"), group=DRIVE)
        for end, fitting in HOSE_ENDS.items()
    ),
    Place("guard-back", belt_guard.BACK, Seat("back", "bearing-housing", "lug-face"), reaches=OTHER_SHEAVE, group=DRIVE),
    Place("guard-back-screw", hex_screw.PART, Seat("under-head", "guard-back", "front"), mounts=("guard-back", "lug-screws"), group=DRIVE),
    Place("shaft-sheave-key", key.PART, Seat("bottom", "shaft", "sheave-key-floor"), mounts=("shaft", "sheave-key"), group=ROTATING),
    Place("shaft-sheave", sheave.PART, Seat("suction-end", "shaft", "sheave-shoulder"), group=DRIVE),
    Place("shaft-sheave-screw", set_screw.PART, Seat("point", "shaft-sheave-key", "top"), row="sheave-set-screw", mounts=("shaft-sheave", "set-screw"), group=DRIVE),
    Place("vacuum-sheave-key", key.PART, Seat("bottom", "vacuum-pump", "key-floor"), mounts=("vacuum-pump", "sheave-key"), group=DRIVE),
    Place("vacuum-sheave", sheave.PART, Seat("suction-end", "vacuum-pump", "shaft-shoulder"), mounts=("vacuum-pump", "sheave"), group=DRIVE),
    Place("vacuum-sheave-screw", set_screw.PART, Seat("point", "vacuum-sheave-key", "top"), row="sheave-set-screw", mounts=("vacuum-sheave", "set-screw"), group=DRIVE),
    Place("vacuum-belt", belt.PART, mounts=("shaft-sheave", "groove"), reaches=OTHER_SHEAVE, group=DRIVE),
    Place("belt-guard", belt_guard.COVER, Seat("edge", "guard-back", "front"), reaches=OTHER_SHEAVE, group=DRIVE),
    Place("belt-guard-screw", hex_screw.PART, Seat("under-head", "belt-guard", "screw-face"), mounts=("guard-back", "guard-screws"), group=DRIVE),
)  # fmt: skip
"""What both places have in common: belt drive, guard and hose."""


def _screw_down(carrier: str) -> tuple[Joint, Joint]:
    """Screw the vacuum pump's feet down on what carries it."""
    return (
        Joint("vacuum-pump-joint", JointKind.BOLTED, (carrier, "vacuum-pump"), ("vacuum-pump-screw",)),
        Joint("vacuum-pump-screws", JointKind.THREADED, (carrier, "vacuum-pump-screw")),
    )  # fmt: skip


ON_HOUSING = (
    Rows("bearing-housing", ("bearing-housing-arms",)),
    Place("vacuum-pump", vacuum_pump.PART, Seat("foot", "bearing-housing", "arm-top"), mounts=("bearing-housing", "vacuum-pump"), group=DRIVE),
    *DRIVEN,
    Rows("guard-back", ("guard-back-arms",)),
    *_screw_down("bearing-housing"),
)  # fmt: skip
BESIDE = (
    Rows("bearing-housing", ("bearing-housing-side",)),
    Place("vacuum-bracket", vacuum_bracket.PART, Seat("base", "bearing-housing", "side-pad"), mounts=("bearing-housing", "vacuum-bracket"), group=DRIVE),
    Place("vacuum-bracket-screw", hex_screw.PART, Seat("under-head", "vacuum-bracket", "screw-face"), mounts=("bearing-housing", "bracket-screws"), group=DRIVE),
    Place("vacuum-pump", vacuum_pump.PART, Seat("foot", "vacuum-bracket", "shelf"), mounts=("vacuum-bracket", "vacuum-pump"), group=DRIVE),
    *DRIVEN,
    Rows("guard-back", ("guard-back-side",)),
    *_screw_down("vacuum-bracket"),
)  # fmt: skip

JOINTS = (
    Joint("vacuum-bracket-joint", JointKind.BOLTED, ("bearing-housing", "vacuum-bracket"), ("vacuum-bracket-screw",)),
    Joint("vacuum-bracket-screws", JointKind.THREADED, ("bearing-housing", "vacuum-bracket-screw")),
    Joint("vacuum-inlet-thread", JointKind.THREADED, ("vacuum-pump", "vacuum-inlet-fitting")),
    Joint("vacuum-inlet-seal", JointKind.SEALED, ("vacuum-pump", "vacuum-inlet-ring", "vacuum-inlet-fitting")),
    Joint("vacuum-silencer-thread", JointKind.THREADED, ("vacuum-pump", "vacuum-silencer")),
    *(
        joint
        for end, fitting in HOSE_ENDS.items()
        for joint in (
            Joint(f"vacuum-hose-{end}", JointKind.BOLTED, (fitting, "vacuum-hose"), (f"hose-clip-{end}",)),
            # opened, a clip is lifted off both
            Joint(f"hose-clip-{end}-round-hose", JointKind.PRESS, ("vacuum-hose", f"hose-clip-{end}")),
            Joint(f"hose-clip-{end}-round-stem", JointKind.PRESS, (fitting, f"hose-clip-{end}")),
        )
    ),
    Joint("guard-back-joint", JointKind.BOLTED, ("bearing-housing", "guard-back"), ("guard-back-screw",)),
    Joint("guard-back-screws", JointKind.THREADED, ("bearing-housing", "guard-back-screw")),
    Joint("belt-guard-joint", JointKind.BOLTED, ("guard-back", "belt-guard"), ("belt-guard-screw",)),
    Joint("belt-guard-screws", JointKind.THREADED, ("guard-back", "belt-guard-screw")),
    *(
        joint
        for carrier, name in (("shaft", "shaft-sheave"), ("vacuum-pump", "vacuum-sheave"))
        for joint in (
            Joint(f"{name}-keyway", JointKind.KEYED, (carrier, f"{name}-key")),
            Joint(f"{name}-driven", JointKind.KEYED, (carrier, name), tool="bearing-puller"),
            Joint(f"{name}-grip", JointKind.BOLTED, (carrier, name), (f"{name}-screw",)),
            Joint(f"{name}-screw-thread", JointKind.THREADED, (name, f"{name}-screw")),
            # the belt is worked over the rim of either sheave once it is slack
            Joint(f"{name}-belt", JointKind.PRESS, (name, "vacuum-belt")),
        )
    ),
)  # fmt: skip

NEEDS_CHAMBER = "it draws the air out of the separation chamber, and there is none to draw from"
SHAFT_HIDDEN = "the bell housing encloses the shaft end, and the belt cannot come out of it"

OPTIONS = (
    Option(
        "vacuum-pump",
        {"none": (), "on-housing": ON_HOUSING, "beside": BESIDE},
        requires=tuple(
            (value, "priming", "vacuum-assisted", NEEDS_CHAMBER) for value in ("on-housing", "beside")
        ),
        excludes=tuple(
            (value, "drive-end", "bell-housing", SHAFT_HIDDEN) for value in ("on-housing", "beside")
        ),
    ),
)  # fmt: skip

CLEARANCES = (
    # how far one sheave stands before the other; their rims begin equally far from their grooves
    Clearance("sheave-line", ClearanceKind.OVERLAP, ("shaft-sheave", "suction-end"), ("vacuum-sheave", "suction-end"), TAKEN_UP, limits=limit("sheave-line"), group=ClearanceGroup.DRIVE),
)  # fmt: skip

WORK = (
    Work("lock-out-belt", "belt-guard-screw", critical=True),
    Work("slacken-belt", "vacuum-belt", critical=True),
    Work("let-in-air", "hose-clip-chamber", critical=True),
    Work("hold-vacuum-pump", "vacuum-pump", critical=True),
)

PRACTICES = (  # common practice
    Practice("pump-in-belt", "vacuum-pump-screw", ("vacuum-belt",)),
    Practice("sheave-in-belt", "shaft-sheave", ("vacuum-belt",)),
    Practice("guard-by-its-back", "guard-back-screw", ("belt-guard",)),
    Practice("cover-on-hose", "chamber-cover-screw", ("vacuum-hose",)),
)

DRIVEN_BY_BELT = tuple(("vacuum-pump", place) for place in ("on-housing", "beside"))

FAULTS = (
    SeededFault("hose-clip-left-off", 70, (LeftOut("hose-clip-chamber"),), needs=DRIVEN_BY_BELT),
    SeededFault("belt-guard-left-off", 68, (Without("belt-guard"), Without("belt-guard-screw")), needs=DRIVEN_BY_BELT, at=("belt-guard",)),
    SeededFault(
        "sheave-turned", 66, (Reseated("vacuum-sheave", Seat("drive-end", "vacuum-pump", "shaft-shoulder"), turned=True),),
        needs=DRIVEN_BY_BELT,
    ),
    SeededFault("sheave-key-left-out", 69, (LeftOut("shaft-sheave-key"),), needs=DRIVEN_BY_BELT),
)  # fmt: skip

SYSTEM = System(
    joints=JOINTS,
    options=OPTIONS,
    clearances=CLEARANCES,
    rules=vacuum_pump_rules.RULES,
    faults=FAULTS,
    work=WORK,
    practices=PRACTICES,
)
