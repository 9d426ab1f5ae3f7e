"""Three radial shaft seals on one shaft: a lip seal, a bearing isolator and a cassette seal, each in its own housing.

The liquid to be kept stands at the drive end of each housing, the outside at its suction end.
"""

from __future__ import annotations

from models.exhibits import radial_shaft_seal_rules
from models.parts import (
    cassette_case,
    cassette_lips,
    cassette_sleeve,
    garter_spring,
    isolator_rotor,
    isolator_stator,
    running_track,
    seal_stand,
    stub_shaft,
    unitising_ring,
)
from models.spec.clearance import Clearance, ClearanceGroup, ClearanceKind
from models.spec.family import System, join_systems
from models.spec.fault import SeededFault
from models.spec.joint import Joint, JointKind
from models.spec.seat import LeftOut, Place, Reseated, Rows, Seat, Span
from models.spec.view import View
from models.systems.lip_seals import join_garter, put_lip_seal
from models.systems.shared import put_o_ring

STAND, LIP, ISOLATOR, CASSETTE = "seal-stand", "lip-seal", "isolator", "cassette-seal"
"""What is shown as one when the exhibit is shown in large pieces."""

STAND_SYSTEM = System(
    places=(
        Place("seal-stand", seal_stand.PART, group=STAND),
        Place("stub-shaft", stub_shaft.PART, group=STAND),
    ),
)

LIP_SYSTEM = System(
    places=(
        Place("hardened-track", running_track.PART, Seat("suction-end", "stub-shaft", "shoulder-3"), group=LIP),
        *put_lip_seal(
            "track-lip-seal", Seat("back", "seal-stand", "lip-shoulder"), ("seal-stand", "lip-bore"),
            ("hardened-track", "track"), LIP,
        ),
    ),
    joints=(
        Joint("track-fit", JointKind.PRESS, ("stub-shaft", "hardened-track"), fit=("journal-4", "bore"), tool="sleeve-puller"),
        Joint("track-lip-fit", JointKind.PRESS, ("seal-stand", "track-lip-seal"), tool="seal-puller"),
        Joint("track-lip", JointKind.RUNNING, ("track-lip-seal", "hardened-track")),
        join_garter("track-lip-seal"),
    ),
)  # fmt: skip
"""A lip seal whose lip runs on a hardened ring, which is renewed in place of the shaft."""

ISOLATOR_SYSTEM = System(
    places=(
        Place("isolator-stator", isolator_stator.PART, Seat("seat", "seal-stand", "isolator-air-side"), group=ISOLATOR),
        Place(
            "unitising-ring", unitising_ring.PART, Seat("suction-end", "isolator-stator", "ring-wall"), group=ISOLATOR,
            spans={"groove": Span(("isolator-stator", "ring-bottom"))},
        ),
        Place("isolator-rotor", isolator_rotor.PART, Seat("ring-wall", "unitising-ring", "drive-end"), group=ISOLATOR),
        put_o_ring("drive-o-ring", "isolator-rotor", ("stub-shaft", "journal-3"), ISOLATOR),
    ),
    joints=(
        Joint("stator-fit", JointKind.PRESS, ("seal-stand", "isolator-stator"), fit=("isolator-bore", "outside")),
        Joint("unitised-stator", JointKind.PRESS, ("isolator-stator", "unitising-ring")),
        Joint("unitised-rotor", JointKind.PRESS, ("isolator-rotor", "unitising-ring")),
        Joint("rotor-drive", JointKind.SEALED, ("isolator-rotor", "drive-o-ring", "stub-shaft")),
    ),
    clearances=(
        Clearance("labyrinth-radial", ClearanceKind.DIAMETRAL, ("isolator-rotor", "tooth-2-outside"), ("isolator-stator", "groove-2-outside"), group=ClearanceGroup.SEALS),
        Clearance("labyrinth-face", ClearanceKind.AXIAL, ("isolator-rotor", "disc-face"), ("isolator-stator", "front"), "suction-end", group=ClearanceGroup.SEALS),
    ),
)  # fmt: skip
"""Rotor and stator touch nowhere but through the unitising ring; the rotor is drawn pulled out as far as that ring lets it."""

CASSETTE_SYSTEM = System(
    places=(
        Place("cassette-sleeve", cassette_sleeve.PART, Seat("back", "stub-shaft", "shoulder-1"), group=CASSETTE),
        Place("cassette-case", cassette_case.PART, Seat("fluid-end", "seal-stand", "cassette-shoulder"), group=CASSETTE),
        Place(
            "cassette-lips", cassette_lips.PART, Seat("back", "cassette-case", "web-fluid-face"), group=CASSETTE,
            spans={
                "shaft-diameter": Span(("cassette-sleeve", "track")),
                "web-bore": Span(("cassette-case", "web-bore")),
                "web-thickness": Span(("cassette-case", "web-fluid-face"), ("cassette-case", "web-air-face")),
                "flange-reach": Span(("cassette-case", "web-fluid-face"), ("cassette-sleeve", "flange-face")),
            },
        ),
        Place(
            "garter-of-cassette-lips", garter_spring.PART, Seat("back", "cassette-lips", "groove-wall"),
            row="garter-spring", spans={"groove": Span(("cassette-lips", "groove-bottom"))}, group=CASSETTE,
        ),
    ),
    joints=(
        Joint("cassette-sleeve-fit", JointKind.PRESS, ("cassette-sleeve", "stub-shaft"), fit=("bore", "journal-2")),
        Joint("cassette-case-fit", JointKind.PRESS, ("seal-stand", "cassette-case"), fit=("cassette-bore", "outside"), tool="seal-puller"),
        Joint("cassette-moulding", JointKind.PRESS, ("cassette-case", "cassette-lips")),
        Joint("cassette-snap", JointKind.PRESS, ("cassette-sleeve", "cassette-lips")),
        join_garter("cassette-lips"),
    ),
    clearances=(
        Clearance("cassette-lead", ClearanceKind.AXIAL, ("cassette-sleeve", "flange-face"), ("cassette-case", "web-fluid-face"), group=ClearanceGroup.SEALS),
        Clearance("cassette-case-fit", ClearanceKind.DIAMETRAL, ("cassette-case", "outside"), ("seal-stand", "cassette-bore"), group=ClearanceGroup.SEALS),
        Clearance("cassette-sleeve-fit", ClearanceKind.DIAMETRAL, ("stub-shaft", "journal-2"), ("cassette-sleeve", "bore"), group=ClearanceGroup.SEALS),
    ),
)  # fmt: skip
"""Sleeve, case and lips are bought as one; the lip has been snapped over the sleeve's rim and keeps them together.

The shaft is drawn out of the sleeve, which stays in the housing with the rest of its seal.
"""

FAULTS = (
    SeededFault(
        "track-lip-reversed", 101,
        (Reseated("track-lip-seal", Seat("lip-side", "seal-stand", "lip-shoulder"), turned=True),),
    ),
    SeededFault("track-garter-left-off", 7, (LeftOut("garter-of-track-lip-seal"),)),
    SeededFault("track-too-short", 102, (Rows("hardened-track", ("hardened-track-short",)),)),
    SeededFault("unitising-ring-left-out", 105, (LeftOut("unitising-ring"),)),
    SeededFault("drive-o-ring-left-out", 106, (LeftOut("drive-o-ring"),)),
    SeededFault("cassette-on-worn-shaft", 107, (Rows("stub-shaft", ("stub-shaft-worn",)),), at=("stub-shaft", "cassette-sleeve"), near=("stub-shaft", "journal-2")),
)  # fmt: skip

IN_LIP = ("track-lip-seal", "garter-of-track-lip-seal", "hardened-track")
IN_ISOLATOR = ("isolator-rotor", "isolator-stator", "unitising-ring", "drive-o-ring")
IN_CASSETTE = ("cassette-sleeve", "cassette-case", "cassette-lips", "garter-of-cassette-lips")

MAIN = ("track-lip-seal", "hardened-track", *IN_ISOLATOR[:3], *IN_CASSETTE[:3])

VIEWS = (
    View("three-shaft-seals", "side", section=True, named=MAIN),
    View("lip-seal-close", "side", section=True, named=IN_LIP, close_to=IN_LIP, above=True),
    View("isolator-close", "side", section=True, named=IN_ISOLATOR, close_to=IN_ISOLATOR, above=True),
    View("cassette-close", "side", section=True, named=IN_CASSETTE, close_to=IN_CASSETTE, above=True),
)  # fmt: skip

FAMILY = join_systems(
    "radial-shaft-seals",
    STAND_SYSTEM,
    LIP_SYSTEM,
    ISOLATOR_SYSTEM,
    CASSETTE_SYSTEM,
    System(rules=radial_shaft_seal_rules.RULES, faults=FAULTS, views=VIEWS),
)
