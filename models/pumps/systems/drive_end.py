"""Drive end: what closes the bearing housing towards the driver and takes its torque."""

from __future__ import annotations

from models.parts import bearing_cap, flat_gasket, hex_screw, key, oil_seal
from models.pumps.systems.shared import FRAME, ROTATING, TAKEN_UP
from models.spec.clearance import Clearance, ClearanceKind
from models.spec.family import System
from models.spec.joint import Joint, JointKind
from models.spec.seat import Place, Seat, Span

PLACES = (
    Place("cap-gasket", flat_gasket.PART, Seat("suction-end", "bearing-housing", "cap-face"), group=FRAME),
    Place("bearing-cap", bearing_cap.PART, Seat("mounting-face", "cap-gasket", "drive-end"), group=FRAME),
    Place("cap-screw", hex_screw.PART, Seat("under-head", "bearing-cap", "screw-face"), mounts=("bearing-housing", "cap-screws"), group=FRAME),
    Place(
        "oil-seal-drive", oil_seal.PART, Seat("lip-side", "bearing-cap", "oil-seal-shoulder"), group=FRAME,
        mounts=("bearing-cap", "oil-seal"),
        spans={"housing-bore": Span(("bearing-cap", "oil-seal-bore")), "shaft-diameter": Span(("shaft", "drive-seal-journal"))},
    ),
    Place("coupling-key", key.PART, Seat("bottom", "shaft", "coupling-key-floor"), mounts=("shaft", "coupling-key"), group=ROTATING),
)  # fmt: skip

JOINTS = (
    Joint("cap-joint", JointKind.BOLTED, ("bearing-housing", "bearing-cap"), ("cap-screw",), wet=True, sealed_by=("cap-gasket",)),
    Joint("cap-screws", JointKind.THREADED, ("bearing-housing", "cap-screw")),
    Joint("cap-seal", JointKind.SEALED, ("bearing-housing", "cap-gasket", "bearing-cap")),
    Joint("drive-oil-seal", JointKind.PRESS, ("bearing-cap", "oil-seal-drive"), tool="seal-puller"),
    Joint("coupling-keyway", JointKind.KEYED, ("shaft", "coupling-key")),
)  # fmt: skip

CLEARANCES = (
    Clearance("end-float", ClearanceKind.AXIAL, ("bearing-outboard", "outer-drive-end"), ("bearing-cap", "spigot-end"), TAKEN_UP),
)  # fmt: skip

SYSTEM = System(places=PLACES, joints=JOINTS, clearances=CLEARANCES)
