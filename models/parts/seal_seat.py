"""Stationary seat of the mechanical seal. Origin at its lapped face, which looks towards the suction end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name the lapped face, the back and the groove."""
    return {
        "lapped-face": plane(0.0, -1),
        "back": plane(row["length"], +1),
        "groove-bottom": journal(row["groove-diameter"], float(row["groove-start"]) + 1),
        "groove-wall": plane(row["groove-start"], +1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the seat with its O-ring groove."""
    from models.parts import forms

    end, inner, outer, groove = (
        at["back"],
        row["bore"] / 2,
        row["outside"] / 2,
        row["groove-diameter"] / 2,
    )
    start, stop = at["groove-wall"], at["groove-wall"] + row["groove-width"]
    return forms.turn(
        [
            (0, inner),
            (end, inner),
            (end, outer),
            (stop, outer),
            (stop, groove),
            (start, groove),
            (start, outer),
            (0, outer),
        ]
    )


PART = Part("seal-seat", faces, shape, Material.SILICON_CARBIDE)
