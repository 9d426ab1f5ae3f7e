"""Read a clearance off the Lengths that place the parts: its value, its limits, and what contributes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from models.spec.build import Build
from models.spec.clearance import Clearance, ClearanceKind
from models.spec.dimension import Dimension
from models.spec.length import Length, Term


@dataclass(frozen=True, slots=True)
class Link:
    """One contributor of a chain: whose dimension, its value and limits in mm, and its sensitivity."""

    piece: str
    dimension: str
    value_mm: float
    nominal_mm: float
    lower_mm: float
    upper_mm: float
    sensitivity: float
    sigma_mm: float
    source: str
    measured: bool


@dataclass(frozen=True, slots=True)
class EffectValue:
    """What something beyond geometry adds to a clearance, in mm at the build's values."""

    name: str
    value_mm: float


@dataclass(frozen=True, slots=True)
class MeasuredClearance:
    """One clearance of one build.

    nominal_mm: at the drawing's nominals. value_mm: at the build's values (measured, else middle of
    limits), geometry only. worst_mm: with every contributor at the limit that hurts. required_mm:
    least and most allowed. sigma_mm: root-sum-square of the contributors' standard deviations.
    """

    name: str
    kind: ClearanceKind
    taken_up: str
    nominal_mm: float
    value_mm: float
    worst_mm: tuple[float, float]
    aim_mm: float
    required_mm: tuple[float, float]
    sigma_mm: float
    chain: tuple[Link, ...]
    effects: tuple[EffectValue, ...]

    @property
    def in_service_mm(self) -> float:
        """The value with all effects added."""
        return self.value_mm + sum(effect.value_mm for effect in self.effects)

    @property
    def is_inside(self) -> bool:
        """Is the value, effects included, inside the requirement?"""
        return self.required_mm[0] <= self.in_service_mm <= self.required_mm[1]


def read_chain(build: Build, clearance: Clearance) -> Length:
    """Give a clearance as one Length: position (or diameter) of its high face less that of its low face."""
    at = build.diameter if clearance.kind is ClearanceKind.DIAMETRAL else build.position
    return at(*clearance.high) - at(*clearance.low)


def measure_clearance(build: Build, clearance: Clearance) -> MeasuredClearance:
    """Measure one clearance by its chain. Raises KeyError when the size table has no requirement for it."""
    length = read_chain(build, clearance)
    links = tuple(_link(build, term, sensitivity) for term, sensitivity in length.terms.items())
    value = float(length)
    low = value + sum(
        min(link.sensitivity * (limit - link.value_mm) for limit in _limits(link)) for link in links
    )
    high = value + sum(
        max(link.sensitivity * (limit - link.value_mm) for limit in _limits(link)) for link in links
    )
    nominal = value + sum(link.sensitivity * (link.nominal_mm - link.value_mm) for link in links)
    wanted = find_requirement(build, clearance)
    return MeasuredClearance(
        clearance.name,
        clearance.kind,
        clearance.taken_up,
        nominal,
        value,
        (low, high),
        wanted.nominal,
        (wanted.lower, wanted.upper),
        math.sqrt(sum((link.sensitivity * link.sigma_mm) ** 2 for link in links)),
        links,
        tuple(EffectValue(effect.key, float(effect.change(build))) for effect in clearance.effects),
    )


def measure_clearances(build: Build) -> tuple[MeasuredClearance, ...]:
    """Measure every clearance of the family, in its order."""
    return tuple(measure_clearance(build, clearance) for clearance in build.clearances)


def find_requirement(build: Build, clearance: Clearance) -> Dimension:
    """Find the table row that says what a clearance must be: nominal is the aim, its limits the least and most."""
    return build.size.parts["clearance"][clearance.name]


def _limits(link: Link) -> tuple[float, float]:
    return link.lower_mm, link.upper_mm


def _link(build: Build, term: Term, sensitivity: float) -> Link:
    drawn = build.dimension(term)
    measured = term in build.measured
    value = build.measured.get(term, drawn.middle)
    return Link(
        *term,
        value,
        drawn.nominal,
        value if measured else drawn.lower,
        value if measured else drawn.upper,
        sensitivity,
        0.0 if measured else drawn.sigma,
        str(drawn.source),
        measured,
    )
