"""Gaskets between two pipe flanges, at their compressed thickness. Origin at the suction end.

A ring lies inside the bolts, which centre it, between raised faces. One as large as flat faces has the bolts' holes.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def ring_faces(row: Row) -> Mapping[str, Face]:
    """Name both sides of a ring, and its outside: as large as the bolts round it let it be."""
    outside = row["bolt-circle"] - row["bolt-thread"] - row["gasket-play"]
    return _sides(row) | {"outside": journal(outside, float(row["thickness"]) / 2)}


def full_faces(row: Row) -> Mapping[str, Face]:
    """Name both sides of one that covers the whole flange, and its outside, which is the flange's."""
    return _sides(row) | {"outside": journal(row["rim"], float(row["thickness"]) / 2)}


def _sides(row: Row) -> dict[str, Face]:
    return {"suction-end": plane(0.0, -1), "drive-end": plane(row["thickness"], +1)}


def ring_shape(at: Numbers, row: Numbers) -> Solid:
    """Cut the ring."""
    from models.parts import forms

    return forms.tube(at["outside"], row["gasket-bore"], 0, at["drive-end"])


def full_shape(at: Numbers, row: Numbers) -> Solid:
    """Cut the sheet and punch the bolts' holes."""
    from models.parts import forms

    holes = round(row["holes"])
    spots = forms.circle_spots(holes, row["bolt-circle"], 180 / holes)
    return forms.one_solid(forms.drill(ring_shape(at, row), row["hole"], 0, at["drive-end"], spots))


RING = Part("flat-gasket", ring_faces, ring_shape, Material.GASKET_FIBRE, flexible=True)
FULL = Part("flat-gasket", full_faces, full_shape, Material.GASKET_FIBRE, flexible=True)
