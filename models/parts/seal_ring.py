"""Flat seal ring under the shoulder of a plug or fitting. Origin at its lower face."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides."""
    return {"lower": plane(0.0, -1), "upper": plane(row["thickness"], +1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Punch the ring."""
    from models.parts import forms

    return forms.tube(row["outside"], row["bore"], 0, at["upper"])


PART = Part("seal-ring", faces, shape, Material.GASKET_FIBRE, flexible=True)
