"""What stands around a shank, a ring or a key: the holes it runs through, the groove, the shaft and the hub."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from models.spec.step import StepPiece
from trainer.core.order.fasteners import (
    FULL_DEG,
    SAME_WAY,
    Form,
    Look,
    find_look,
    find_span_mm,
    is_on_axis,
    make_shank_look,
)

TIGHT = 1.04
"""A hole up to this many times as wide as the shank is taken as tapped; wider is a clearance hole."""
SNUG = 1.005
"""A hole hardly wider than what is in it: a nut's thread, a pin's seat."""
NARROW, LOOSE = 0.7, 1.6
"""A hole narrower or wider than these, in shank radii, is none of this shank's."""
LEAST_GRIP = 0.2
"""A hole counts when the shank lies in it for at least this many of its radii."""
SMALL_SHARE = 0.02
"""Pins and keys are small: at most this share of the volume of all parts."""


@dataclass(frozen=True, slots=True)
class Hole:
    """A bore of another piece that a shank runs through, with its ends along the shank's axis, mm."""

    piece: str
    low_mm: float
    high_mm: float
    radius_mm: float


class Surroundings:
    """Hold every piece's look and the holes of every shank; `shanks` names pieces said to be screws, studs or pins."""

    def __init__(self, pieces: Sequence[StepPiece], shanks: Iterable[str] = ()) -> None:
        self.pieces = {piece.name: piece for piece in pieces}
        self.looks = {p.name: find_look(p.facts, p.mesh.points) for p in pieces}
        for name in shanks:
            piece = self.pieces[name]
            if self.looks[name].form not in (Form.SCREW, Form.ROD):
                self.looks[name] = make_shank_look(piece.facts, piece.mesh.points)
        self.whole_mm3 = sum(piece.facts.volume_mm3 for piece in pieces)
        self.holes = {
            name: self._find_holes(look)
            for name, look in self.looks.items()
            if look.form in (Form.SCREW, Form.ROD)
        }

    def is_small(self, name: str) -> bool:
        """Is the piece small among all of them?"""
        return self.pieces[name].facts.volume_mm3 <= SMALL_SHARE * self.whole_mm3

    def _find_holes(self, look: Look) -> list[Hole]:
        """Find the bores that a shank runs through, from its head to its tip."""
        found: dict[str, Hole] = {}
        for name, piece in self.pieces.items():
            for one in piece.facts.rounds:
                if not one.hollow or one.turn_deg < FULL_DEG:
                    continue
                size = one.radius_mm / look.radius_mm
                off = 0.15 * look.radius_mm + max(0.0, one.radius_mm - look.radius_mm)
                if not NARROW <= size <= LOOSE or not is_on_axis(look.at, look.axis, one, off):
                    continue
                low, high = find_span_mm(look.at, look.axis, one)
                low, high = max(low, look.low_mm), min(high, look.seat_mm)
                if high - low < LEAST_GRIP * look.radius_mm:
                    continue
                before = found.get(name)
                if before is not None:
                    low, high = min(low, before.low_mm), max(high, before.high_mm)
                radius = min(one.radius_mm, before.radius_mm if before else np.inf)
                found[name] = Hole(name, low, high, radius)
        return sorted(found.values(), key=lambda hole: -hole.high_mm)

    def shanks_of(self, name: str) -> list[tuple[str, Hole]]:
        """Find the shanks that run through a piece, each with its hole."""
        return [
            (shank, hole) for shank, holes in self.holes.items() for hole in holes
            if hole.piece == name
        ]  # fmt: skip

    def is_on_shank(self, name: str) -> bool:
        """Does any shank run through the piece?"""
        return bool(self.shanks_of(name))

    def is_tight(self, name: str) -> bool:
        """Is its hole hardly wider than the shank in it?"""
        return any(
            hole.radius_mm <= SNUG * self.looks[shank].radius_mm
            for shank, hole in self.shanks_of(name)
        )

    def is_last_on_shank(self, name: str) -> bool:
        """Is it the outermost at the tip of a screw, or at either end of a rod, with something between?"""
        for shank, hole in self.shanks_of(name):
            holes = self.holes[shank]
            if len(holes) < 2 or hole.radius_mm > TIGHT * self.looks[shank].radius_mm:
                continue
            ends = [holes[-1]] if self.looks[shank].form is Form.SCREW else [holes[0], holes[-1]]
            if any(end.piece == name for end in ends):
                return True
        return False

    def find_groove(self, name: str) -> str:
        """Find the piece whose groove a ring sits in: its bottom fits the ring's inside, or else its outside."""
        look = self.looks[name]
        thick = max(look.widest_mm - look.radius_mm, 1e-9)
        for hollow, radius in ((False, look.radius_mm), (True, look.widest_mm)):
            for other, piece in self.pieces.items():
                for one in piece.facts.rounds:
                    if other == name or one.hollow is not hollow:
                        continue
                    if abs(one.radius_mm - radius) > 0.45 * thick or not is_on_axis(
                        look.at, look.axis, one, 0.25 * thick
                    ):
                        continue
                    low, high = find_span_mm(look.at, look.axis, one)
                    middle = (look.low_mm + look.high_mm) / 2.0
                    # a groove is hardly longer than the ring; a plain shaft is no groove
                    if low <= middle <= high and high - low <= 3.0 * look.length_mm:
                        return other
        return ""

    def find_keyed(self, name: str) -> tuple[str, str] | None:
        """Find the shaft and the hub between which a key lies: half in the one, half in the other."""
        look = self.looks[name]
        middle = look.at + look.axis * (look.low_mm + look.high_mm) / 2.0
        shafts: list[tuple[str, float]] = []
        hubs: list[tuple[str, float]] = []
        for other, piece in self.pieces.items():
            for one in piece.facts.rounds:
                axis = np.array(one.axis)
                if other == name or abs(axis @ look.axis) < SAME_WAY:
                    continue
                off = middle - np.array(one.at)
                along = float(off @ axis)
                out = float(np.linalg.norm(off - along * axis))
                inside = one.low_mm <= along <= one.high_mm
                if inside and abs(out - one.radius_mm) < 0.95 * look.widest_mm:
                    (hubs if one.hollow else shafts).append((other, one.radius_mm))
        for shaft, radius in shafts:
            for hub, bore in hubs:
                if shaft != hub and abs(bore - radius) < 0.06 * radius:
                    return shaft, hub
        return None
