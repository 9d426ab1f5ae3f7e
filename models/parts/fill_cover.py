"""Fill cover: closes the opening above the suction flap valve. Origin at its underside, x outwards."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

RAISED_SHARE, BAR_SHARE = 0.6, 0.9
"""Width and height of the raised middle, as shares of the cover's radius and thickness."""

SLOPE_SHARE = 2 / 7
"""How far the raised middle slopes out to the plate, as a share of the cover's thickness."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the underside and the lugs' upper side, on which the hand knobs bear."""
    thick, half = row["thickness"], row["stud-spacing"] / 2
    return {
        "underside": plane(0.0, -1),
        "knob-face": plane(thick, +1, near=(float(thick), float(half))),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the disc with its two lugs and its raised middle, and drill the lugs."""
    from models.parts import forms

    thick, radius, reach = at["knob-face"], row["outside"] / 2, row["stud-spacing"] / 2
    lug, middle = row["lug-width"], RAISED_SHARE * radius
    top = thick * (1 + BAR_SHARE)
    disc = forms.turn(
        [
            (0, 0),
            (0, radius),
            (thick, radius),
            (thick, middle + SLOPE_SHARE * thick),
            (top, middle),
            (top, 0),
        ]
    )
    arm = forms.box((0, thick), (-reach, reach), (-lug / 2, lug / 2))
    ends = [forms.rod(lug, 0, thick, y) for y in (-reach, reach)]
    body = disc.fuse(arm, *ends)
    return forms.one_solid(forms.drill(body, row["stud-hole"], 0, thick, [(-reach, 0), (reach, 0)]))


PART = Part("fill-cover", faces, shape, Material.CAST_IRON)
