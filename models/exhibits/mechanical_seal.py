"""A mechanical seal in its chamber: faces, spring and secondary seals on a stub of shaft, unbalanced or balanced.

The liquid stands round the seal, at the suction end of the gland plate; the open air is at the drive end. Most of
it is the pump's own seal; where that is driven by the impeller's hub, this is by the flange of its sleeve.
"""

from __future__ import annotations

from functools import partial

from models.exhibits import seal_balance
from models.parts import (
    flat_gasket,
    gland_plate,
    nut,
    o_ring,
    seal_chamber,
    seal_face,
    seal_retainer,
    seal_seat,
    seal_sleeve,
    seal_spring,
    stub_shaft,
    stud,
)
from models.spec.clearance import Clearance, ClearanceGroup, ClearanceKind
from models.spec.family import System, join_systems
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.practice import Practice
from models.spec.seat import LeftOut, Option, Place, Rows, Seat, Span
from models.spec.view import View
from models.spec.work import Work
from models.systems import shaft_seal
from models.systems.shared import SEAL, TAKEN_UP, put_o_ring

CHAMBER = "seal-chamber"

HOUSING_SYSTEM = System(
    places=(
        Place("seal-chamber", seal_chamber.PART, group=CHAMBER),
        Place("stub-shaft", stub_shaft.PART, group=CHAMBER),
        Place("gland-plate-stud", stud.PART, Seat("inner-end", "seal-chamber", "stud-bottom"), mounts=("seal-chamber", "studs"), group=CHAMBER),
        Place("gland-plate-gasket", flat_gasket.PART, Seat("suction-end", "seal-chamber", "gland-face"), group=CHAMBER),
        Place("gland-plate", gland_plate.PART, Seat("flange-face", "gland-plate-gasket", "drive-end"), group=CHAMBER),
        Place("gland-plate-nut", nut.PART, Seat("bearing-face", "gland-plate", "nut-face"), mounts=("seal-chamber", "studs"), group=CHAMBER),
    ),
    joints=(
        Joint(
            "gland-plate-joint", JointKind.BOLTED, ("seal-chamber", "gland-plate"), ("gland-plate-nut",),
            wet=True, sealed_by=("gland-plate-gasket",),
        ),
        Joint("gland-plate-seal", JointKind.SEALED, ("seal-chamber", "gland-plate-gasket", "gland-plate")),
        Joint("gland-plate-studs", JointKind.THREADED, ("seal-chamber", "gland-plate-stud"), ("gland-plate-nut",)),
        Joint("gland-plate-nuts", JointKind.THREADED, ("gland-plate-stud", "gland-plate-nut")),
    ),
)  # fmt: skip

SEAL_SYSTEM = System(
    places=(
        Place("seal-seat", seal_seat.PART, Seat("back", "gland-plate", "seat-shoulder"), group=SEAL),
        put_o_ring("seat-o-ring", "seal-seat", ("gland-plate", "seat-bore"), SEAL),
        Place("seal-sleeve", seal_sleeve.PART, Seat("drive-end", "stub-shaft", "shoulder-1"), group=SEAL),
        put_o_ring("sleeve-o-ring", "seal-sleeve", ("stub-shaft", "journal-1"), SEAL, side="drive-end"),
        Place("seal-face", seal_face.PART, Seat("lapped-face", "seal-seat", "lapped-face"), group=SEAL),
        put_o_ring("face-o-ring", "seal-face", ("seal-sleeve", "seal-journal"), SEAL, side="drive-end", part=o_ring.SLIDING),
        Place("seal-retainer", seal_retainer.PART, Seat("back", "seal-sleeve", "flange-face"), group=SEAL),
        Place(
            "seal-spring", seal_spring.PART, Seat("suction-end", "seal-retainer", "spring-land"), group=SEAL,
            spans={"span": Span(("seal-face", "spring-face"), ("seal-retainer", "spring-land"))},
        ),
    ),
    joints=(
        Joint("seat-fit", JointKind.PRESS, ("gland-plate", "seal-seat")),
        Joint("seat-seal", JointKind.SEALED, ("seal-seat", "seat-o-ring", "gland-plate")),
        Joint("sleeve-seal", JointKind.SEALED, ("seal-sleeve", "sleeve-o-ring", "stub-shaft")),
        Joint("face-seal", JointKind.SEALED, ("seal-face", "face-o-ring", "seal-sleeve")),
        Joint("seal-faces", JointKind.RUNNING, ("seal-face", "seal-seat")),
    ),
    always=(Rows("seal-sleeve", ("impeller-seal-drive",)), Rows("seal-face", ("seal-face-coil",))),
    options=(
        Option(
            "seal-balance",
            {
                "unbalanced": (),
                "balanced": (
                    Rows("seal-sleeve", ("seal-sleeve-balanced",)),
                    Rows("seal-face", ("seal-face-balanced",)),
                    Rows("seal-retainer", ("seal-retainer-balanced",)),
                    Rows("face-o-ring", ("face-o-ring-balanced",)),
                ),
            },
        ),
    ),
    clearances=(
        Clearance("seal-length", ClearanceKind.AXIAL, ("seal-sleeve", "flange-face"), ("seal-seat", "lapped-face"), TAKEN_UP, group=ClearanceGroup.SEALS),
        Clearance(
            "seal-line", ClearanceKind.OVERLAP, ("seal-sleeve", "flange-face"), ("seal-chamber", "gland-face"), TAKEN_UP,
            limits=partial(shaft_seal.limit_line, outwards=False), group=ClearanceGroup.SEALS,
        ),
    ),
    rules=seal_balance.RULES,
    work=(
        Work("seal-chamber-empty", critical=True),
        Work("gland-plate-pushed", "gland-plate", critical=True, given="seal-spring"),
    ),
    practices=tuple(
        Practice("seal-still-pressed", moving, ("gland-plate",)) for moving in ("stub-shaft", "seal-sleeve")
    ),
    results=(seal_balance.BALANCE_RATIO,),
)  # fmt: skip

IN_SEAL = ("seal-seat", "seat-o-ring", "seal-face", "face-o-ring", "seal-spring", "seal-retainer", "seal-sleeve", "sleeve-o-ring")  # fmt: skip
TAKEN = ("seat-o-ring-left-out", "face-o-ring-left-out", "seal-spring-left-out")
"""Mistakes of the pump's own seal that can be made here too."""

FAULTS = (
    *(fault for fault in shaft_seal.FAULTS if fault.key in TAKEN),
    SeededFault("gland-plate-gasket-left-out", 1, (LeftOut("gland-plate-gasket"),), needs=(("seal-balance", "unbalanced"),)),
    SeededFault(
        "sleeve-step-too-long", 113, (Rows("seal-sleeve", ("seal-sleeve-long-step",)),),
        needs=(("seal-balance", "balanced"),),
    ),
    SeededFault(
        "wide-face-fitted", 111, (Rows("seal-face", ("seal-face-wide",)),), needs=(("seal-balance", "balanced"),)
    ),
)  # fmt: skip

SHOWN = ("seal-sleeve", "seal-retainer", "seal-face", "seal-seat")

VIEWS = (
    View("mechanical-seal", "side", section=True, named=IN_SEAL, close_to=(*IN_SEAL, "stub-shaft")),
    View("seal-faces", "side", section=True, named=(*SHOWN, "face-o-ring"), close_to=SHOWN, above=True),
)  # fmt: skip

FAMILY = join_systems(
    "mechanical-seal", HOUSING_SYSTEM, SEAL_SYSTEM, System(views=VIEWS, faults=FAULTS)
)
