"""Shaft sleeve between hub and shaft shoulder: the seal runs on it. Origin at its drive end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both ends, the journal of the seal, the bore and the groove of the O-ring inside."""
    end = -row["length"]
    wall = end + row["groove-start"] + row["groove-width"]
    return {
        "drive-end": plane(0.0, +1),
        "suction-end": plane(end, -1),
        "seal-journal": journal(row["outside"], float(end) / 2),
        "bore": bore(row["bore"], -1.0),
        "groove-wall": plane(wall, -1),
        "groove-bottom": bore(row["groove-diameter"], float(wall) - 1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the tube with a lead-in at its suction end and the groove in its bore."""
    from models.parts import forms

    end, inner, outer, cut = at["suction-end"], row["bore"] / 2, row["outside"] / 2, row["lead-in"]
    wall, deep = at["groove-wall"], row["groove-diameter"] / 2
    start = wall - row["groove-width"]
    return forms.turn(
        [
            (0, inner), (wall, inner), (wall, deep), (start, deep), (start, inner), (end, inner),
            (end, outer - cut), (end + cut, outer), (0, outer),
        ]
    )  # fmt: skip


PART = Part("shaft-sleeve", faces, shape, Material.STAINLESS)
