"""Garter spring: a closely wound coil joined into a ring, which presses a seal's lip on the shaft. Origin at its back.

The wire's turns are drawn as ridges, each a round of twelve flats, so that one lies on the groove's wall and one on its floor.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.spec.face import Face, bore, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

FLATS = 12
"""Sides of the drawn section: with twelve, two are square to the axis and two along it."""
CORE_SHARE = 0.86
"""Size of the section between two ridges as a share of the section: how closely wound turns look."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the back and the cylinder it stands on; `groove` is the diameter it is stretched over."""
    section = row["section"]
    return {
        "back": plane(0.0, -1, near=(0.0, float(row["groove"] + section) / 2)),
        "inside": bore(row["groove"], float(section) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the core and set the ridges round it."""
    import cadquery as cq

    from models.parts import forms

    section, middle = row["section"], (at["inside"] + row["section"]) / 2
    count = round(row["ridges"])
    core = forms.turn(_section(section, middle, CORE_SHARE))
    points = [cq.Vector(x, r, 0) for x, r in _section(section, middle, 1.0)]
    wire = cq.Wire.makePolygon(points, close=True)
    ridge = cq.Solid.revolve(wire, [], 180 / count, *forms.X_AXIS)
    ridges = [ridge.rotate((0, 0, 0), (1, 0, 0), 360 * i / count) for i in range(count)]
    return forms.one_solid(core.fuse(*ridges))


def _section(section: float, middle: float, share: float) -> list[tuple[float, float]]:
    """Give the corners of the section about its own middle, a flat on each side of it."""
    corner = share * section / 2 / math.cos(math.pi / FLATS)
    angles = [2 * math.pi * (i + 0.5) / FLATS for i in range(FLATS)]
    return [(section / 2 + corner * math.cos(a), middle + corner * math.sin(a)) for a in angles]


PART = Part("garter-spring", faces, shape, Material.CARBON_STEEL, fitted=True, flexible=True)
