"""How far to turn the screws that set a clearance."""

from __future__ import annotations

from dataclasses import dataclass

from models.spec.build import Build
from models.spec.clearance import Clearance
from trainer.core.measure.chain import MeasuredClearance


@dataclass(frozen=True, slots=True)
class Turning:
    """How a clearance follows its adjusting screws, all turned alike, and how far they are from its aim.

    per_turn_mm: what one turn opens it by. flats: of the screw's head, to count parts of a turn. to_aim:
    turns that bring it to its aim, below zero the other way.
    """

    place: str
    per_turn_mm: float
    flats: int
    to_aim: float

    @property
    def per_flat_mm(self) -> float:
        """What a turn by one flat of the head opens it by."""
        return self.per_turn_mm / self.flats

    @property
    def flats_to_aim(self) -> float:
        """The same as `to_aim`, counted in flats."""
        return self.to_aim * self.flats


def find_turning(
    build: Build, clearance: Clearance, measured: MeasuredClearance, felt_mm: float | None = None
) -> Turning | None:
    """Find how far to turn the screws that set a clearance; None when no screw sets it.

    felt_mm: the gap as it was measured, to turn from there and not from what the build's values give.

    A turn moves a screw by the pitch of its single-start thread, and the clearance by its sensitivity to all screws together.
    """
    by = clearance.adjusted_by
    if by is None:
        return None
    screws = build.pieces_at(by.place)
    along = sum(
        link.sensitivity
        for link in measured.chain
        if link.piece in screws and link.dimension == by.dimension
    )
    per_turn_mm = along * build.numbers_at(by.place)[by.pitch]
    now_mm = measured.in_service_mm if felt_mm is None else felt_mm
    return Turning(by.place, per_turn_mm, by.flats, (measured.aim_mm - now_mm) / per_turn_mm)
