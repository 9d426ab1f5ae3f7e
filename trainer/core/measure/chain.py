"""Read a clearance off the Lengths that place the parts: its value, its limits, and what contributes."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from models.spec.build import Build
from models.spec.clearance import Clearance, ClearanceKind, Curve
from models.spec.dimension import Dimension, Distribution
from models.spec.length import Length, Term


@dataclass(frozen=True, slots=True)
class Link:
    """One contributor of a chain: whose dimension, what is known of it, and how the clearance follows it.

    value_mm: what the build takes (measured, else the middle of the limits). lower_mm, upper_mm: the
    drawing's limits, or of a measured value how far its gauge may be off. sensitivity: change of the
    clearance for each mm (or degree). share: of the clearance's variance, 0 to 1.
    """

    piece: str
    dimension: str
    value_mm: float
    nominal_mm: float
    lower_mm: float
    upper_mm: float
    distribution: Distribution
    mean_mm: float
    sigma_mm: float
    sensitivity: float
    share: float
    source: str
    measured: bool


@dataclass(frozen=True, slots=True)
class EffectValue:
    """What something beyond geometry adds to a clearance, in mm at the build's values."""

    name: str
    value_mm: float


@dataclass(frozen=True, slots=True)
class Bend:
    """A part of a clearance that follows a chain of its own, but curved.

    value_mm: of that chain, at the build's values. links: its contributors. of: gives the part in mm for a
    value of the chain in mm, and never falls as that rises.
    """

    value_mm: float
    links: tuple[Link, ...]
    of: Callable[[float], float]


@dataclass(frozen=True, slots=True)
class MeasuredClearance:
    """One clearance of one build, in mm (a share without unit).

    nominal_mm: at the drawing's nominals. value_mm: at the build's values (measured, else middle of
    limits), geometry only. worst_mm: in service, with every contributor at the limit that hurts. required_mm:
    least and most allowed, as `required_by` says. sigma_mm: root-sum-square of the contributors'
    standard deviations. chain: the geometric links. service_chain: the links of geometry and effects
    together, about in_service_mm; what both depend on stands there once. bends: the parts that it is the sum
    of where it does not follow its chain in a straight line; its links then have the slope at the build's values.
    """

    name: str
    kind: ClearanceKind
    taken_up: str
    nominal_mm: float
    value_mm: float
    worst_mm: tuple[float, float]
    aim_mm: float
    required_mm: tuple[float, float]
    required_by: str
    sigma_mm: float
    chain: tuple[Link, ...]
    effects: tuple[EffectValue, ...]
    service_chain: tuple[Link, ...]
    bends: tuple[Bend, ...] = ()

    @property
    def in_service_mm(self) -> float:
        """The value with all effects added."""
        return self.value_mm + sum(effect.value_mm for effect in self.effects)

    @property
    def is_inside(self) -> bool:
        """Is the value, effects included, inside the requirement?"""
        return self.required_mm[0] <= self.in_service_mm <= self.required_mm[1]


def measure_clearance(build: Build, clearance: Clearance) -> MeasuredClearance:
    """Measure one clearance by its chain. Raises ContentError when nothing says what it must be."""
    length = build.read_chain(clearance)
    links = list_links(build, length)
    value = float(length)
    effects = [(effect.key, effect.change(build)) for effect in clearance.effects]
    in_service = sum((change for _, change in effects), length)
    service_links = list_links(build, in_service) if effects else links
    wanted = build.find_requirement(clearance)
    return MeasuredClearance(
        clearance.name,
        clearance.kind,
        clearance.taken_up,
        _find_nominal(build, clearance, length),
        value,
        _find_bent_worst(build, clearance)
        if clearance.curves
        else find_worst(float(in_service), service_links),
        wanted.nominal,
        (wanted.lower, wanted.upper),
        str(wanted.source),
        math.sqrt(sum((link.sensitivity * link.sigma_mm) ** 2 for link in links)),
        links,
        tuple(EffectValue(key, float(change)) for key, change in effects),
        service_links,
        _list_bends(build, clearance),
    )


def measure_clearances(build: Build) -> tuple[MeasuredClearance, ...]:
    """Measure every clearance of the family, in its order."""
    return tuple(measure_clearance(build, clearance) for clearance in build.clearances)


def find_worst(value_mm: float, links: tuple[Link, ...]) -> tuple[float, float]:
    """Find the least and the most in mm, with every contributor at the limit that hurts."""
    moves = [
        [link.sensitivity * (end - link.value_mm) for end in (link.lower_mm, link.upper_mm)]
        for link in links
    ]
    return value_mm + sum(map(min, moves)), value_mm + sum(map(max, moves))


def _find_nominal(build: Build, clearance: Clearance, length: Length) -> float:
    """Give a clearance in mm at the drawing's nominals."""
    if not clearance.curves:
        return build.find_nominal(length)
    inner = [build.find_nominal(curve.inner(build)) for curve in clearance.curves]
    bent = zip(clearance.curves, inner, strict=True)
    return sum(float(curve.of(build, Length(value))) for curve, value in bent)


def _find_bent_worst(build: Build, clearance: Clearance) -> tuple[float, float]:
    """Find the least and the most of what is a sum of bent parts, each from the worst cases of its own chain."""
    worst = []
    for curve in clearance.curves:
        inner = curve.inner(build)
        ends = find_worst(float(inner), list_links(build, inner))
        worst.append([float(curve.of(build, Length(end))) for end in ends])
    return sum(low for low, _ in worst), sum(high for _, high in worst)


def _list_bends(build: Build, clearance: Clearance) -> tuple[Bend, ...]:
    """List the bent parts of a clearance; what its effects add, which is straight, is one more."""
    if not clearance.curves:
        return ()
    bends = []
    for curve in clearance.curves:
        inner = curve.inner(build)
        bends.append(Bend(float(inner), list_links(build, inner), partial(_bend, build, curve)))
    effects = sum((effect.change(build) for effect in clearance.effects), Length(0.0))
    if clearance.effects:
        bends.append(Bend(float(effects), list_links(build, effects), float))
    return tuple(bends)


def _bend(build: Build, curve: Curve, value_mm: float) -> float:
    return float(curve.of(build, Length(value_mm)))


def list_links(build: Build, length: Length) -> tuple[Link, ...]:
    """List the contributors of a length of a build, in the order in which they came to it."""
    known = {term: _know(build, term) for term in length.terms}
    parts = {term: (s * known[term].sigma) ** 2 for term, s in length.terms.items()}
    whole = sum(parts.values()) or 1.0
    return tuple(
        Link(
            *term,
            build.measured.get(term, known[term].middle),
            build.dimension(term).nominal,
            known[term].lower,
            known[term].upper,
            known[term].distribution,
            known[term].mean,
            known[term].sigma,
            sensitivity,
            parts[term] / whole,
            str(known[term].source),
            term in build.measured,
        )
        for term, sensitivity in length.terms.items()
    )


def _know(build: Build, term: Term) -> Dimension:
    """Give what is known of a dimension: the drawing's row, or a measured value with how far its gauge may be off.

    Source: a gauge of which only limits are known is taken as rectangular between them, JCGM 100:2008
    (GUM) 4.3.7, from memory.
    """
    drawn = build.dimension(term)
    if term not in build.measured:
        return drawn
    value, off = build.measured[term], build.gauges.get(term, 0.0)
    return Dimension(
        drawn.key,
        value,
        value - off,
        value + off,
        drawn.unit,
        Distribution.RECTANGULAR,
        drawn.source,
    )
