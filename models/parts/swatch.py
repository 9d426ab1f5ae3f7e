"""Swatch of a material: a slab with round corners, laid in a pocket of its board. Origin at its back, thickness along +x.

All slabs of a board are equal, so that their weights in the hand tell the materials apart.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Axis, Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name the back, the front and the two ends that say how high it is."""
    half = row["height"] * 0.5
    return {
        "back": plane(0.0, -1),
        "front": plane(row["thickness"], +1),
        "foot": plane(-half, -1, Axis.Z),
        "head": plane(half, +1, Axis.Z),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the slab and round its corners."""
    import cadquery as cq

    from models.parts import forms

    half = row["width"] / 2
    slab = forms.box((0, at["front"]), (-half, half), (at["foot"], at["head"]))
    return cq.Workplane(obj=slab).edges("|X").fillet(row["corner"]).val()


def make_part(material: Material) -> Part:
    """Make the part for a swatch of one material."""
    return Part("swatch", faces, shape, material)
