"""Unitising ring: stands in a groove of rotor and one of stator and keeps the two together. Origin at its suction end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

CORNER_SHARE = 0.15
"""Broken edge of the inside as a share of the width, by which it snaps over the rotor's hub."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides, the bore and the outside, which lies in the stator's groove."""
    width = row["width"]
    return {
        "suction-end": plane(0.0, -1),
        "drive-end": plane(width, +1),
        "bore": bore(row["bore"], float(width) / 2),
        "outside": journal(row["groove"], float(width) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the ring with its inner edges broken."""
    from models.parts import forms

    width, inner, outer = at["drive-end"], at["bore"] / 2, at["outside"] / 2
    cut = CORNER_SHARE * width
    return forms.turn(
        [(0, outer), (0, inner + cut), (cut, inner), (width - cut, inner), (width, inner + cut), (width, outer)]
    )  # fmt: skip


PART = Part("unitising-ring", faces, shape, Material.PTFE, fitted=True, flexible=True)
