"""What the bearings of a build carry together: neighbours that stand ring to ring count as one."""

from __future__ import annotations

from dataclasses import dataclass

from models.spec.build import Build, PlacedPiece
from models.spec.face import Axis
from models.spec.part import Load

_TURNED = {
    Load.RADIAL: Load.RADIAL,
    Load.AXIAL_FORWARD: Load.AXIAL_BACKWARD,
    Load.AXIAL_BACKWARD: Load.AXIAL_FORWARD,
}


@dataclass(frozen=True, slots=True)
class Bearer:
    """Pieces that act as one bearing, and the loads they carry; FORWARD here is towards the drive end."""

    pieces: tuple[str, ...]
    carries: frozenset[Load]


def find_bearers(build: Build) -> tuple[Bearer, ...]:
    """Find the bearings of a build from suction to drive end, a pair that seats on each other as one."""
    groups: list[list[PlacedPiece]] = []
    for piece in build.pieces.values():
        if not piece.part.carries:
            continue
        beside = next(
            (
                group
                for group in groups
                if any(_seat_on_each_other(build, piece, one) for one in group)
            ),
            None,
        )
        if beside is None:
            groups.append([piece])
        else:
            beside.append(piece)
    groups.sort(key=lambda group: float(group[0].pose.origin[0]))
    return tuple(
        Bearer(
            tuple(piece.name for piece in group),
            frozenset(load for piece in group for load in _find_loads(piece)),
        )
        for group in groups
    )


def _seat_on_each_other(build: Build, piece: PlacedPiece, other: PlacedPiece) -> bool:
    return any(
        one.place.seat is not None and two.name in build.pieces_at(one.place.seat.on)
        for one, two in ((piece, other), (other, piece))
    )


def _find_loads(piece: PlacedPiece) -> frozenset[Load]:
    """Give what one piece carries, seen along the shaft."""
    if piece.pose.axis is not Axis.X:
        raise ValueError(f"{piece.name} does not stand on the shaft's axis")
    carries = piece.part.carries
    return carries if piece.pose.sign > 0 else frozenset(_TURNED[load] for load in carries)
