"""Shaft seal: what keeps the liquid in where the shaft leaves the casing."""

from __future__ import annotations

from models.parts import seal_face, seal_seat, seal_spring
from models.pumps.systems.shared import SEAL, TAKEN_UP, put_o_ring
from models.spec.clearance import Clearance, ClearanceKind
from models.spec.family import System
from models.spec.joint import Joint, JointKind
from models.spec.seat import Place, Seat, Span
from models.spec.work import Work

PLACES = (
    Place("seal-seat", seal_seat.PART, Seat("back", "back-plate", "seat-shoulder"), group=SEAL),
    put_o_ring("seat-o-ring", "seal-seat", ("back-plate", "seat-bore"), SEAL),
    Place("seal-face", seal_face.PART, Seat("lapped-face", "seal-seat", "lapped-face"), group=SEAL),
    put_o_ring("face-o-ring", "seal-face", ("shaft", "seal-journal"), SEAL, side="drive-end"),
    Place(
        "seal-spring", seal_spring.PART, Seat("suction-end", "impeller", "hub-seat"), group=SEAL,
        spans={"span": Span(("seal-face", "spring-face"), ("impeller", "hub-seat"))},
    ),
)  # fmt: skip

JOINTS = (
    Joint("seat-fit", JointKind.PRESS, ("back-plate", "seal-seat")),
    Joint("seat-seal", JointKind.SEALED, ("seal-seat", "seat-o-ring", "back-plate")),
    Joint("face-seal", JointKind.SEALED, ("seal-face", "face-o-ring", "shaft")),
    Joint("seal-faces", JointKind.RUNNING, ("seal-face", "seal-seat")),
)  # fmt: skip

CLEARANCES = (
    Clearance("seal-length", ClearanceKind.AXIAL, ("impeller", "hub-seat"), ("seal-seat", "lapped-face"), TAKEN_UP),
)  # fmt: skip

WORK = (
    Work("seal-spring-pushes", "impeller", critical=True),
)  # fmt: skip

SYSTEM = System(places=PLACES, joints=JOINTS, clearances=CLEARANCES, work=WORK)
