"""Seal spring: a coil between the hub and the rotating face, its ends ground flat. Origin at its suction end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both ends; `span` is the length it is squeezed to."""
    return {"suction-end": plane(0.0, -1), "drive-end": plane(row["span"], +1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Sweep the wire round a helix just inside the span and close both ends with flat, ground end coils."""
    import cadquery as cq

    from models.parts import forms

    span, wire, radius = at["drive-end"], row["wire-diameter"], row["mean-diameter"] / 2
    start, rise = wire / 2 + INSET_MM, span - wire - 2 * INSET_MM
    helix = cq.Wire.makeHelix(
        rise / row["coils"], rise, radius, cq.Vector(0, 0, start), cq.Vector(0, 0, 1)
    )
    section = cq.Wire.makeCircle(wire / 2, cq.Vector(radius, 0, start), cq.Vector(0, 1, 0))
    coil = cq.Solid.sweep(section, [], helix, True, True).rotate(
        cq.Vector(), cq.Vector(0, 1, 0), 90
    )
    thick = wire * END_SHARE
    ends = [
        forms.tube(2 * radius + wire, 2 * radius - wire, x, x + thick) for x in (0, span - thick)
    ]
    return forms.one_solid(ends[0].fuse(coil).fuse(ends[1]))


END_SHARE = 0.4
"""Thickness of the closed, ground end coil as a share of the wire."""
INSET_MM = 0.02
"""The round wire stays this far inside the ground ends, so that only flats touch."""

PART = Part("seal-spring", faces, shape, Material.STAINLESS, fitted=True)
