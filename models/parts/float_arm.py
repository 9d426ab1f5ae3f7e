"""Float arm: lever between pivot, valve and float. Origin under its pivot at the underside, x upwards, z along it."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

END_SHARE = 0.8
"""How far the bar reaches past its outermost holes, as a share of its height."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name underside and top."""
    return {"underside": plane(0.0, -1), "top": plane(row["height"], +1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the bar with holes for pivot, valve pin and the float's stem."""
    import cadquery as cq

    from models.parts import forms

    height, half, past = at["top"], row["width"] / 2, END_SHARE * row["height"]
    bar = forms.box((0, height), (-half, half), (-past, row["float-arm"] + past))
    cross = [
        cq.Solid.makeCylinder(
            size / 2, 2 * half, cq.Vector(row["pivot-height"], -half, z), cq.Vector(0, 1, 0)
        )
        for size, z in ((row["pivot-hole"], 0.0), (row["pin-hole"], row["port-arm"]))
    ]
    stem = forms.rod(row["stem-hole"], 0, height, 0, row["float-arm"])
    return forms.one_solid(bar.cut(*cross, stem))


PART = Part("float-arm", faces, shape, Material.STAINLESS)
