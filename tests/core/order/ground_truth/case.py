"""An assembly whose every relation is known by formula, and how the program's table is held against it.

The law of tolerance (`trainer.core.order.rays`), with which cases are drawn outside its grey band:

- sides that overlap by less than 2 x SHIFT_MM x cos(45 deg), interference and twice the sag of the
  facets taken together, never meet: cases stay below NEVER_MM;
- a shoulder is seen above 2 x SHIFT_MM + 2 x sag: cases have SEEN_MM + 2 x sag at least.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from models.spec.assembly import Assembly, AssemblyPiece
from tests.bench.bodies import Block, Body, Form, Round, Vector, find_sag_mm
from trainer.core.order.blocking import find_blocking
from trainer.core.order.directions import Direction
from trainer.core.order.spacing import SHIFT_MM

NEVER_MM = 2 * SHIFT_MM * math.cos(math.pi / 4) - 0.02
SEEN_MM = 2 * SHIFT_MM + 0.06
AXIAL_MM, RADIAL_MM = 0.1, 0.5
"""Travel must be right within this along the shaft, and across it."""

FORWARD, BACK = Direction.DRIVE, Direction.SUCTION
ACROSS = (Direction.LEFT, Direction.RIGHT, Direction.DOWN, Direction.UP)
Span = tuple[float, float]
Key = tuple[str, str, Vector]


@dataclass
class Case:
    """Bodies about the x axis, and what meets; all that is not said never meets.

    spans: (moved, other, way) to the least and the greatest travel that is right, mm.
    """

    bodies: dict[str, Body] = field(default_factory=dict)
    spans: dict[Key, Span] = field(default_factory=dict)

    def meet(
        self,
        moved: str,
        other: str,
        way: Direction,
        travel_mm: float,
        sag_mm: float = 0.0,
        within_mm: float | None = None,
    ) -> None:
        """Say that a body meets another along a way, and so the other it the opposite way; the least of several counts.

        within_mm: how late it may be told, by the direction if not given. It is never told early but for
        the sag of facets, and half as early as late.
        """
        if within_mm is None:
            within_mm = AXIAL_MM if way.is_along_shaft else RADIAL_MM
        span = max(0.0, travel_mm - within_mm / 2 - sag_mm), travel_mm + within_mm + sag_mm
        for key in ((moved, other, way.along), (other, moved, way.back.along)):
            self.spans[key] = min(span, self.spans.get(key, span))

    def meet_across(self, one: str, other: str, travel_mm: float, sag_mm: float = 0.0) -> None:
        """Say that two bodies meet across the shaft whichever way either is moved."""
        for way in ACROSS:
            self.meet(one, other, way, travel_mm, sag_mm)

    def roll(self, turns: int) -> Case:
        """Turn all about the diagonal, so that what lay along x lies along y (1) or z (2)."""
        bodies = {name: _roll_body(body, turns) for name, body in self.bodies.items()}
        spans = {
            (one, other, _roll(way, turns)): span for (one, other, way), span in self.spans.items()
        }
        return Case(bodies, spans)

    def assemble(self) -> Assembly:
        """Make the meshes."""
        return Assembly("made-up", tuple(
            AssemblyPiece(name, name, "made-up", "carbon-steel", "", body.make_mesh(), body.flexible, body.axis)
            for name, body in self.bodies.items()
        ))  # fmt: skip


def _roll(vector: Vector, turns: int) -> Vector:
    x, y, z = np.roll(vector, turns).tolist()
    return x, y, z


def _roll_form(form: Form, turns: int) -> Form:
    if isinstance(form, Block):
        return Block(_roll(form.low, turns), _roll(form.high, turns))
    ends = _roll(form.start, turns), _roll(form.end, turns)
    return Round(*ends, form.start_radius, form.end_radius)


def _roll_body(body: Body, turns: int) -> Body:
    steps = tuple((adds, _roll_form(form, turns)) for adds, form in body.steps)
    axis = None if body.axis is None else _roll(body.axis, turns)
    return Body(steps, body.facets, axis, body.flexible)


def find_wrong(case: Case) -> list[str]:
    """Hold every relation that is tried against the case; tell those that are wrong."""
    found = find_blocking(case.assemble())
    told = []
    for d, way in enumerate(found.directions):
        for a, b in itertools.permutations(range(len(found.names)), 2):
            if found.asked is not None and not found.asked[d, a]:
                continue
            moved, other = found.names[a], found.names[b]
            travel_mm = float(found.travel_mm[d, a, b])
            span = _find_span(case.spans, moved, other, way)
            low, high = span or (math.inf, math.inf)
            if not low <= travel_mm <= high:
                told.append(
                    f"{moved} {way.name} {way.along} to {other}: {travel_mm:.4f} mm, right is {low:.4f} to {high:.4f}"
                )
    return told


def _find_span(spans: Mapping[Key, Span], moved: str, other: str, way: Direction) -> Span | None:
    near = (
        span
        for (one, two, along), span in spans.items()
        if (one, two) == (moved, other) and np.dot(along, way.along) > 0.99999
    )
    return next(near, None)


def find_facets(radius: float, sag_mm: float) -> tuple[int, float]:
    """Find a number of facets for about this sag, from 8 to 720, and the sag it gives."""
    share = 1.0 - min(1.0, sag_mm / radius)
    facets = min(720, max(8, 4 * math.ceil(math.pi / math.acos(share) / 4)))
    return facets, find_sag_mm(radius, facets)
