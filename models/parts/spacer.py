"""Spacer sleeve: keeps two bearings apart on a shaft and bears on their inner rings. Origin at its suction end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both ends, the bore and the outside."""
    length = row["length"]
    return {
        "suction-end": plane(0.0, -1),
        "drive-end": plane(length, +1),
        "bore": bore(row["bore"], float(length) / 2),
        "outside": journal(row["outside"], float(length) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the plain sleeve."""
    from models.parts import forms

    return forms.tube(row["outside"], row["bore"], 0, at["drive-end"])


PART = Part("spacer", faces, shape, Material.CARBON_STEEL)
