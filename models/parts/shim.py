"""Shim: a thin flat ring between shaft shoulder and hub. Origin at its drive end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides."""
    return {"drive-end": plane(0.0, +1), "suction-end": plane(-row["thickness"], -1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the flat ring."""
    from models.parts import forms

    return forms.tube(row["outside"], row["bore"], at["suction-end"], 0)


PART = Part("shim", faces, shape, Material.STAINLESS)
