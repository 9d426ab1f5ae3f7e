"""Flat gasket with bolt holes, at its compressed thickness. Origin at its suction end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides."""
    return {"suction-end": plane(0.0, -1), "drive-end": plane(row["thickness"], +1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Punch the ring and its holes."""
    from models.parts import forms

    count, end = round(row["stud-count"]), at["drive-end"]
    ring = forms.tube(row["outside"], row["bore"], 0, end)
    spots = forms.circle_spots(count, row["stud-circle"], 180 / count)
    return forms.one_solid(forms.drill(ring, row["stud-hole"], 0, end, spots))


PART = Part("flat-gasket", faces, shape, Material.GASKET_FIBRE, flexible=True)
SHIM = Part("flange-shim", faces, shape, Material.STAINLESS)
