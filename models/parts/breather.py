"""Breather screwed into the top of a housing. Origin at the shoulder under its hexagon; its cap points along +x."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

BORE_SHARE, NECK_SHARE = 0.4, 0.75
"""The air's way and the neck under the cap, as shares of the thread."""
NECK_LENGTH_SHARE, SKIRT_SHARE, CROWN_SHARE = 0.35, 0.3, 0.7
"""Neck, and the skirt's drop, as shares of the cap's height; the flat of the crown as a share of its diameter."""
CAP_WALL_SHARE = 0.2
"""Wall of the cap as a share of its height."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the shoulder and the crown."""
    return {
        "shoulder": plane(0.0, -1),
        "crown": plane(row["hexagon-height"] + row["cap-height"], +1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make thread, hexagon, neck and a cap whose skirt keeps rain off the air holes in the neck."""
    from models.parts import forms

    low, top, tall = row["hexagon-height"], at["crown"], row["cap-height"]
    thread, r = row["thread"], row["cap-diameter"] / 2
    neck, wall = NECK_SHARE * thread / 2, CAP_WALL_SHARE * tall
    skirt = low + NECK_LENGTH_SHARE * tall
    roof = skirt + SKIRT_SHARE * tall
    cap = forms.turn(
        [
            (low / 2, 0), (low / 2, neck), (roof, neck), (roof, r - wall), (skirt, r - wall), (skirt, r),
            (roof + wall, r), (top, CROWN_SHARE * r), (top, 0),
        ]
    )  # fmt: skip
    air, middle = BORE_SHARE * thread, (skirt + roof) / 2
    body = forms.hexagon(row["across-flats"], low, 0).fuse(
        forms.rod(thread, -row["thread-length"], 0), cap
    )
    return forms.one_solid(
        body.cut(
            forms.rod(air, -row["thread-length"], middle),
            forms.post(air / 2, middle, 0, -neck, neck),
        )
    )


PART = Part("breather", faces, shape, Material.BRASS)
