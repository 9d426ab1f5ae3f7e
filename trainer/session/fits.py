"""Answer what sits on what and how tight: the fits of a build, what pressing does, how a bearing is mounted."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from models.formulas.iso_286 import (
    UM_PER_MM,
    Fit,
    Limits,
    find_chance_of_interference,
    find_fit,
    find_limits,
    recognise_class,
)
from models.formulas.mounting import Heating, find_heating
from models.formulas.press_fit import PressFit
from models.spec.build import TABLES, Build, PlacedPiece
from models.spec.errors import RefusalError, say_near
from models.spec.face import FaceKind
from models.spec.materials import read_metals
from models.systems.mounted_bearings import RACEWAYS, find_mounted, list_mounted
from trainer.core.measure.chain import Link, find_worst, list_links
from trainer.core.measure.fits import CylindricalFit, FittedFace, find_fits

SIGMAS_IN_TOLERANCE = 6.0
"""Standard deviations that fill a tolerance. Source: common practice."""
WARM_K = 10.0
"""By how much an inner ring runs warmer than the outer one. Source: common practice, 5 to 10 K at usual speeds."""

Range = tuple[float, float]
"""Least and most."""


@dataclass(frozen=True, slots=True)
class Side:
    """One face of a fit: whose, its tolerance class ("" when its limits are its own), its limit deviations in um."""

    face: FittedFace
    nominal_mm: float
    tolerance_class: str
    limits_um: Range
    measured_mm: float | None


@dataclass(frozen=True, slots=True)
class Pressed:
    """What interference does, at the least and the most that the fit can have (none when it is loose).

    closing_um: how far the inner piece's bore closes, growth_um: how far the outer piece's outside grows.
    hoop_mpa: the largest tensile stress in the outer piece at the most; strength_mpa: at which its metal
    yields or breaks. warm_outer_c: how warm the outer piece must be to slip over the inner one.
    """

    pressure_mpa: Range
    force_n: Range
    torque_nm: Range
    closing_um: Range
    growth_um: Range
    hoop_mpa: float
    strength_mpa: float
    warm_outer_c: float


@dataclass(frozen=True, slots=True)
class Residual:
    """Radial clearance left in a mounted bearing, in um: least, at the build's values, most; chance of none, 0 to 1."""

    least_um: float
    likely_um: float
    most_um: float
    chance_tight: float


@dataclass(frozen=True, slots=True)
class Mounted:
    """A bearing on its shaft: how it is heated, and what clearance is then left in it.

    at_rest, warm: the latter with the inner ring WARM_K warmer. Both None where the bearing has no radial
    clearance of its own.
    """

    heating: Heating
    at_rest: Residual | None
    warm: Residual | None

    @property
    def may_run_tight(self) -> bool:
        """Can it be left without clearance, at rest or warm?"""
        return any(one is not None and one.least_um < 0.0 for one in (self.at_rest, self.warm))


@dataclass(frozen=True, slots=True)
class FitAnswer:
    """One fit of a build. between: the least and the most there can be; chance: of interference, 0 to 1.

    likely_um: at the build's values. pressed: None when the fit is never tight, or when what is round it is
    not known.
    """

    fit: CylindricalFit
    bore: Side
    journal: Side
    between: Fit
    likely_um: float
    chance: float
    pressed: Pressed | None
    mounted: Mounted | None


@dataclass(frozen=True, slots=True)
class FreeFit:
    """A fit by itself, of no build: hole and shaft class at one size."""

    hole: Limits
    shaft: Limits
    between: Fit
    chance: float


def answer_free_fit(size_mm: float, hole: str, shaft: str) -> FreeFit:
    """Answer what a hole class and a shaft class leave between them at a size.

    Raises:
        RefusalError: unknown class, size out of range, or a shaft's class given for a hole.
    """
    for name, is_hole in ((hole, True), (shaft, False)):
        if name[:1].isalpha() and name[0].isupper() is not is_hole:
            kind, case = (
                ("hole", "capitals, like H7") if is_hole else ("shaft", "small letters, like k6")
            )
            raise RefusalError(f"{name!r} is no class of a {kind}: those are written in {case}")
    limits = [find_limits(size_mm, name) for name in (hole, shaft)]
    between = find_fit(*limits)
    widths = [one.upper_um - one.lower_um for one in limits]
    mean = (between.least_um + between.most_um) / 2.0
    chance = find_chance_of_interference(mean, math.hypot(*widths) / SIGMAS_IN_TOLERANCE)
    return FreeFit(limits[0], limits[1], between, chance)


def list_fits(build: Build) -> tuple[FitAnswer, ...]:
    """Answer every fit of a build. Measured values count instead of the drawing's limits."""
    metals = frozenset(read_metals(TABLES))
    return tuple(answer_fit(build, fit) for fit in find_fits(build, metals))


def find_named_fit(build: Build, name: str) -> FitAnswer:
    """Answer the fit of that name, or of that number in their list, from 1. Raises RefusalError with near matches."""
    fits = find_fits(build, frozenset(read_metals(TABLES)))
    for number, fit in enumerate(fits, start=1):
        if name in (fit.name, str(number)):
            return answer_fit(build, fit)
    known = [fit.name for fit in fits]
    raise RefusalError(f"{build.name} has no fit {name!r}; {say_near(name, known)}")


def answer_fit(build: Build, fit: CylindricalFit) -> FitAnswer:
    """Answer one fit of a build."""
    links = list_links(build, fit.between)
    least, most = (value * UM_PER_MM for value in find_worst(float(fit.between), links))
    mean, sigma = _spread(float(fit.between), links)
    between = Fit(round(least, 6), round(most, 6))
    return FitAnswer(
        fit,
        _find_side(build, fit.bore, is_hole=True),
        _find_side(build, fit.journal, is_hole=False),
        between,
        float(fit.between) * UM_PER_MM,
        find_chance_of_interference(mean * UM_PER_MM, sigma * UM_PER_MM),
        _press(build, fit, between) if between.least_um < 0.0 else None,
        _mount(build, fit, between),
    )


def _find_side(build: Build, fitted: FittedFace, *, is_hole: bool) -> Side:
    drawn = build.dimension(fitted.term)
    limits = (
        round((drawn.lower - drawn.nominal) * UM_PER_MM, 3),
        round((drawn.upper - drawn.nominal) * UM_PER_MM, 3),
    )
    # a bearing's rings have limits of their own standard, which a class may match by chance
    is_bearing = build.pieces[fitted.piece].part.kind in RACEWAYS
    name = "" if is_bearing else recognise_class(drawn.nominal, *limits, hole=is_hole)
    return Side(fitted, drawn.nominal, name, limits, build.measured.get(fitted.term))


def _press(build: Build, fit: CylindricalFit, between: Fit) -> Pressed | None:
    cylinders = find_cylinders(build, fit)
    if cylinders is None:
        return None
    tight = [max(-um, 0.0) / UM_PER_MM for um in (between.most_um, between.least_um)]
    warm = find_heating(fit.size_mm, tight[1], cylinders.outer.expansion_per_k)
    pressures = _scale(tight, cylinders.pressure_mpa_per_mm)
    return Pressed(
        pressures,
        (cylinders.find_force_n(tight[0], fit.length_mm), cylinders.find_force_n(tight[1], fit.length_mm)),
        (cylinders.find_torque_nm(tight[0], fit.length_mm), cylinders.find_torque_nm(tight[1], fit.length_mm)),
        _scale(tight, cylinders.bore_closing_share * UM_PER_MM),
        _scale(tight, cylinders.outside_growth_share * UM_PER_MM),
        pressures[1] * cylinders.hoop_at_fit_share,
        cylinders.outer.strength_mpa,
        warm.temperature_c,
    )  # fmt: skip


def _scale(ends: list[float], by: float) -> Range:
    return ends[0] * by, ends[1] * by


def find_cylinders(build: Build, fit: CylindricalFit) -> PressFit | None:
    """Find the two plain cylinders of a fit; None when one is of no metal, or nothing says how thick it is.

    Raises:
        RefusalError: measured values leave one of them no wall.
    """
    outer, inner = build.pieces[fit.bore.piece], build.pieces[fit.journal.piece]
    metals = read_metals(TABLES)
    outside, bore = _find_outside(build, outer, fit.size_mm), _find_bore(build, inner, fit.size_mm)
    known = outer.part.material in metals and inner.part.material in metals
    if outside is None or not known or fit.length_mm <= 0.0:
        return None
    ring, core = metals[outer.part.material], metals[inner.part.material]
    try:
        return PressFit(fit.size_mm, bore, outside, core, ring)
    except ValueError as error:
        raise RefusalError(f"{fit.name} as measured: {error}; measure again") from error


def _find_outside(build: Build, piece: PlacedPiece, size_mm: float) -> float | None:
    """Find the outside in mm of a piece round its bore: a raceway, its wall or hub, else its next journal."""
    row = _read_row(piece)
    if piece.part.kind in RACEWAYS:
        return RACEWAYS[piece.part.kind](row)[0]
    if "wall" in row:
        return size_mm + 2.0 * row["wall"]
    if row.get("hub-diameter", 0.0) > size_mm:
        return row["hub-diameter"]
    journals = _list_drawn(build, piece, FaceKind.JOURNAL)
    return min(((drawn, now) for drawn, now in journals if drawn > size_mm), default=(0.0, None))[1]


def _find_bore(build: Build, piece: PlacedPiece, size_mm: float) -> float:
    """Find the bore in mm of a piece inside its journal; 0 when it is solid."""
    row = _read_row(piece)
    if piece.part.kind in RACEWAYS:
        return RACEWAYS[piece.part.kind](row)[1]
    if "wall" in row:
        return size_mm - 2.0 * row["wall"]
    bores = _list_drawn(build, piece, FaceKind.BORE)
    return max(((drawn, now) for drawn, now in bores if drawn < size_mm), default=(0.0, 0.0))[1]


def _list_drawn(build: Build, piece: PlacedPiece, kind: FaceKind) -> Iterator[tuple[float, float]]:
    """List the diameters in mm of the cylinders of a piece: as drawn, and as they are.

    Which one is next is asked of the drawing, so that a measured value can't make another of it.
    """
    for face in piece.faces.values():
        if face.kind is kind:
            now = float(face.at)
            to_drawn = (
                share * (build.dimension(term).nominal - float(build.pieces[term[0]].row[term[1]]))
                for term, share in face.at.terms.items()
            )
            yield now + sum(to_drawn), now


def _read_row(piece: PlacedPiece) -> Mapping[str, float]:
    return {key: float(value) for key, value in piece.row.items()}


def _mount(build: Build, fit: CylindricalFit, between: Fit) -> Mounted | None:
    """Answer how a bearing's inner ring is mounted; None for any other fit."""
    ring = build.pieces[fit.bore.piece]
    if ring.part.kind not in RACEWAYS:
        return None
    steel = read_metals(TABLES)[ring.part.material]
    heating = find_heating(fit.size_mm, -between.least_um / UM_PER_MM, steel.expansion_per_k)
    place = ring.place.name
    if place not in list_mounted(build):
        return Mounted(heating, None, None)
    return Mounted(heating, _leave(build, place, 0.0), _leave(build, place, WARM_K))


def _leave(build: Build, place: str, inner_warmer_k: float) -> Residual:
    """Find what clearance is left in a mounted bearing."""
    left = find_mounted(build, place).find_residual(inner_warmer_k)
    links = list_links(build, left)
    low, high = find_worst(float(left), links)
    mean, sigma = _spread(float(left), links)
    chance = find_chance_of_interference(mean * UM_PER_MM, sigma * UM_PER_MM)
    return Residual(low * UM_PER_MM, float(left) * UM_PER_MM, high * UM_PER_MM, chance)


def _spread(value_mm: float, links: tuple[Link, ...]) -> tuple[float, float]:
    """Find mean and standard deviation in mm of what the links add up to."""
    mean = value_mm + sum(link.sensitivity * (link.mean_mm - link.value_mm) for link in links)
    return mean, math.sqrt(sum((link.sensitivity * link.sigma_mm) ** 2 for link in links))
