"""Flat cover of an opening in a casting. Origin at the face on its gasket; its own x points outwards."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

BREAK_SHARE = 0.2
"""Chamfer on the outer edge and slope of the raised middle, as a share of the cover's thickness."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the face on the gasket, the flat the nuts bear on and the top of the raised middle."""
    thick, near = row["thickness"], float(row["stud-circle"]) / 2
    return {
        "underside": plane(0.0, -1),
        "nut-face": plane(thick, +1, near=(float(thick), near)),
        "top": plane(thick + row["middle-height"], +1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the plate with its raised middle, which stiffens it, and drill it for the studs."""
    from models.parts import forms

    nut, top, rim = at["nut-face"], at["top"], row["outside"] / 2
    middle, cut = row["middle-diameter"] / 2, BREAK_SHARE * nut
    plate = forms.turn(
        [
            (0, 0), (0, rim), (nut - cut, rim), (nut, rim - cut), (nut, middle + cut),
            (top, middle), (top, 0),
        ]
    )  # fmt: skip
    count = round(row["stud-count"])
    spots = forms.circle_spots(count, row["stud-circle"], 180.0 / count)
    return forms.one_solid(forms.drill(plate, row["stud-hole"], 0, nut, spots))


PART = Part("blank-cover", faces, shape, Material.CAST_IRON)
