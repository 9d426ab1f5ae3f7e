"""Parallel key with round ends. Its own x axis is its height, bottom at the origin; its length lies along z."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name the bottom and the top."""
    return {"bottom": plane(0.0, -1), "top": plane(row["height"], +1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the block with round ends."""
    from models.parts import forms

    return forms.one_solid(forms.long_slot(row["width"], row["length"], 0, at["top"]))


PART = Part("key", faces, shape, Material.CARBON_STEEL)
