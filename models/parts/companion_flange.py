"""Companion flange: bolted to the casing, it carries the pipe's flange. Origin at its foot, x away from the casing."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

FLARE_SHARE = 0.5
"""Slope of the neck where it meets foot and flange, as a share of the wall."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the foot, where its nuts bear, both sides of the flange, and the bore."""
    foot, length = row["foot-thickness"], row["length"]
    return {
        "foot": plane(0.0, -1),
        "nut-face": plane(foot, +1, near=(float(foot), float(row["foot-stud-circle"]) / 2)),
        "flange-back": plane(length - row["flange-thickness"], -1),
        "flange-face": plane(length, +1),
        "bore": bore(row["bore"], float(length) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn foot, neck and flange in one, and drill both circles."""
    from models.parts import forms

    hole, neck = row["bore"] / 2, row["bore"] / 2 + row["wall"]
    foot, back, face = at["nut-face"], at["flange-back"], at["flange-face"]
    rim, flange, slope = row["foot-outside"] / 2, row["outside"] / 2, FLARE_SHARE * row["wall"]
    body: Solid = forms.turn(
        [
            (0, hole), (face, hole), (face, flange), (back, flange), (back, neck + slope),
            (back - slope, neck), (foot + slope, neck), (foot, neck + slope), (foot, rim), (0, rim),
        ]
    )  # fmt: skip
    studs, holes = round(row["foot-stud-count"]), round(row["holes"])
    spots = forms.circle_spots(studs, row["foot-stud-circle"], 180.0 / studs)
    body = forms.drill(body, row["foot-stud-hole"], 0, foot, spots)
    spots = forms.circle_spots(holes, row["bolt-circle"], 180.0 / holes)
    return forms.one_solid(forms.drill(body, row["hole"], back, face, spots))


PART = Part("companion-flange", faces, shape, Material.CAST_IRON)
