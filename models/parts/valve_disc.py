"""Rubber disc of a small valve, pressed into the recess of its head. Origin at its back."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name its back and the front that seals."""
    return {"back": plane(0.0, -1), "front": plane(row["thickness"], +1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the disc."""
    from models.parts import forms

    return forms.rod(row["diameter"], 0, at["front"])


PART = Part("valve-disc", faces, shape, Material.NITRILE, flexible=True)
