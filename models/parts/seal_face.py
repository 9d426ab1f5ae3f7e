"""Rotating face of the mechanical seal. Origin at its lapped face; the body lies towards the suction end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name the lapped face, the spring's landing, the groove and the bore."""
    start = -row["groove-start"]
    return {
        "lapped-face": plane(0.0, +1),
        "spring-face": plane(-row["length"], -1),
        "groove-bottom": bore(row["groove-diameter"], float(start) - 1),
        "groove-wall": plane(start, -1),
        "bore": bore(row["bore"], -float(row["length"]) + 0.5),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the body with its raised running nose and the inside groove of its O-ring."""
    from models.parts import forms

    end, inner, outer, groove = (
        at["spring-face"],
        row["bore"] / 2,
        row["outside"] / 2,
        row["groove-diameter"] / 2,
    )
    nose_in, nose_out, rise = row["nose-bore"] / 2, row["nose-outside"] / 2, row["nose-height"]
    start, stop = at["groove-wall"], at["groove-wall"] - row["groove-width"]
    return forms.turn(
        [
            (0, nose_in), (-rise, nose_in), (-rise, inner), (start, inner), (start, groove), (stop, groove),
            (stop, inner), (end, inner), (end, outer), (-rise, outer), (-rise, nose_out), (0, nose_out),
        ]
    )  # fmt: skip


PART = Part("seal-face", faces, shape, Material.CARBON)
