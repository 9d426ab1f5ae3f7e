"""What mounting does to a rolling bearing: the clearance left in it between a tight shaft and its housing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from models.formulas.bearing_clearance import find_axial_play, find_residual_clearance
from models.formulas.press_fit import PressFit
from models.parts import bearing, bearing_roller
from models.spec.build import TABLES, Build, PlacedPiece
from models.spec.errors import ContentError, Fault, RefusalError, say_near
from models.spec.length import Length
from models.spec.materials import read_metals
from models.spec.part import Numbers

Raceways = Callable[[Numbers], tuple[float, float]]
"""Gives the diameters in mm of the inner and the outer raceway from a bearing's row."""


def _roller_raceways_mm(row: Numbers) -> tuple[float, float]:
    return row["inner-race"], row["outer-race"]


RACEWAYS: Mapping[str, Raceways] = {
    bearing.PART.kind: bearing.raceways_mm,
    bearing.BACK_DRIVE.kind: bearing.raceways_mm,
    bearing.DOUBLE.kind: bearing.double_raceways_mm,
    bearing_roller.INNER.kind: _roller_raceways_mm,
    bearing_roller.OUTER.kind: _roller_raceways_mm,
}
"""By kind of bearing, or of one of its rings."""
OWN_CLEARANCE = "internal-clearance"
"""Row of a bearing with a radial clearance of its own. That of angular contact bearings is set by the pair, or by their maker."""
HOUSINGS = {
    "bearing-inboard": ("bearing-inboard", "inboard-bore"),
    "roller-inner-ring": ("roller-outer-ring", "inboard-bore"),
    "bearing-outboard": ("bearing-outboard", "outboard-bore"),
}
"""Place of the outer ring and bore of the bearing housing it sits in, by place of the inner ring."""


@dataclass(frozen=True, slots=True)
class MountedBearing:
    """One bearing in its place: the piece on the shaft, its raceways in mm, the two fits (interference above zero)."""

    piece: PlacedPiece
    raceways_mm: tuple[float, float]
    on_shaft: Length
    inner: PressFit
    in_housing: Length
    outer_share: float

    def find_residual(self, inner_warmer_k: float = 0.0) -> Length:
        """Find the radial clearance left in it, in mm, with the inner ring warmer by so much."""
        return find_residual_clearance(
            self.piece.row[OWN_CLEARANCE],
            self.on_shaft,
            self.in_housing,
            inner_share=self.inner.outside_growth_share,
            outer_share=self.outer_share,
            outer_raceway_mm=self.raceways_mm[1],
            expansion_per_k=self.inner.outer.expansion_per_k,
            inner_warmer_k=inner_warmer_k,
        )

    def find_axial_play(self) -> Length:
        """Find how far its rings shift along the shaft, in mm. Raises RefusalError for a bearing without grooves."""
        if self.piece.part.kind != bearing.PART.kind:
            raise RefusalError(
                f"{self.piece.name} is no deep groove bearing: nothing in it stops the shaft"
            )
        row = {key: float(value) for key, value in self.piece.row.items()}
        return find_axial_play(self.find_residual(), bearing.ball_diameter_mm(row))


def list_mounted(build: Build) -> tuple[str, ...]:
    """List the places whose bearing has a radial clearance of its own, and a shaft under it."""
    return tuple(
        place
        for place in build.places
        if OWN_CLEARANCE in build.piece_at(place).row and _find_seat(build, place)
    )


def _find_seat(build: Build, place: str) -> tuple[str, str] | None:
    """Find the place and the face of the shaft that a bearing is pressed on."""
    return next(
        (
            (joint.members[0], joint.fit[0])
            for joint in build.joints
            if joint.fit and joint.members[-1] == place
        ),
        None,
    )


def find_mounted(build: Build, place: str) -> MountedBearing:
    """Find how a bearing is mounted, and what reaches its raceways of the two fits.

    The rings are taken as plain cylinders from their seat to the floor of the groove. A real ring is thicker
    beside the groove and gives less, so the clearance found errs towards too little. The housing round the
    outer ring is taken as a plain cylinder of its wall.

    Raises:
        RefusalError: no such bearing there, with near matches.
        ContentError: its row is of another bore's step of the clearance table.
    """
    known = list_mounted(build)
    seat_at = _find_seat(build, place)
    if place not in known or seat_at is None:
        raise RefusalError(
            f"{build.name} has no bearing {place!r} with a radial clearance of its own; {say_near(place, known)}"
        )
    piece = build.piece_at(place)
    row = build.numbers_at(place)
    _check_step(piece)
    inside_mm, outside_mm = RACEWAYS[piece.part.kind](row)
    metals, seat = read_metals(TABLES), build.diameter(*seat_at)
    ring, core = metals[piece.part.material], metals[build.piece_at(seat_at[0]).part.material]
    return MountedBearing(
        piece,
        (inside_mm, outside_mm),
        seat - piece.row["bore"],
        PressFit(float(seat), 0.0, inside_mm, core, ring),
        *_find_housing(build, place, outside_mm),
    )


def _find_housing(build: Build, place: str, raceway_mm: float) -> tuple[Length, float]:
    """Find the interference in mm of the outer ring in its housing, and what of it reaches the raceway; none without housing."""
    if place not in HOUSINGS or not build.has("bearing-housing"):
        return Length(0.0), 0.0
    ring, face = HOUSINGS[place]
    outer, housing = build.piece_at(ring), build.piece_at("bearing-housing")
    bore, metals = housing.faces[face].at, read_metals(TABLES)
    outside_mm = float(bore) + 2.0 * float(housing.row["wall"])
    ring_metal, casting = metals[outer.part.material], metals[housing.part.material]
    fit = PressFit(float(bore), raceway_mm, outside_mm, ring_metal, casting)
    return outer.faces["outside"].at - bore, fit.bore_closing_share


def _check_step(piece: PlacedPiece) -> None:
    """Check that the clearance is that of the bearing's own bore, as drawn. Raises ContentError."""
    over, to, bore = (piece.dimensions[key].nominal for key in ("over-bore", "to-bore", "bore"))
    if not over < bore <= to:
        source = piece.dimensions[OWN_CLEARANCE].source
        what = f"is for bores over {over:g} up to {to:g} mm, {piece.name} has {bore:g} mm"
        remedy = "Name the row of its bore in the size table"
        raise ContentError([Fault(source.file, source.line, 0, what, remedy)])
