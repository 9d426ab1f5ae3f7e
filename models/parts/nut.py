"""Hexagon nut. Origin at its bearing face."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name the bearing face and the outer end."""
    return {"bearing-face": plane(0.0, -1), "outer-end": plane(row["nut-height"], +1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the hexagon, chamfered on the outer side, with the thread as a plain hole of its outside diameter."""
    from models.parts import forms

    height = at["outer-end"]
    return forms.one_solid(
        forms.hexagon(row["across-flats"], height, 0).cut(forms.rod(row["thread"], 0, height))
    )


PART = Part("nut", faces, shape, Material.CARBON_STEEL)
