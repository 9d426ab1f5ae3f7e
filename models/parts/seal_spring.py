"""Seal spring: a coil between the hub and the rotating face, its ends ground flat. Origin at its suction end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both ends; `span` is the length it is squeezed to."""
    return {"suction-end": plane(0.0, -1), "drive-end": plane(row["span"], +1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Sweep the wire round a helix somewhat longer than the span and grind both ends off flat."""
    import cadquery as cq

    from models.parts import forms

    span, wire, turns = at["drive-end"], row["wire-diameter"], row["coils"]
    radius = row["mean-diameter"] / 2
    pitch = span / turns
    helix = cq.Wire.makeHelix(pitch, span, radius, cq.Vector(0, 0, 0), cq.Vector(0, 0, 1))
    section = cq.Workplane("XZ").center(radius, 0).circle(wire / 2)
    coil = section.sweep(cq.Workplane(helix), isFrenet=True).val().rotate((0, 0, 0), (0, 1, 0), 90)
    ends = [forms.tube(2 * radius + wire, 2 * radius - wire, a, a + wire * END_SHARE) for a in (0, span - wire * END_SHARE)]
    reach = 2 * radius + 2 * wire
    kept = coil.intersect(forms.box((0, span), (-reach, reach), (-reach, reach)))
    return forms.one_solid(kept.fuse(*ends).clean())


END_SHARE = 0.55
"""Thickness of the closed, ground end coil as a share of the wire."""

PART = Part("seal-spring", faces, shape, Material.STAINLESS, fitted=True)
