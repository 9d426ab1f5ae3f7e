"""Float of the air-separation chamber: hollow drum with a threaded stem. Origin at its shoulder, x up along the stem."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

CORNER_SHARE, NECK_SHARE = 0.4, 1.6
"""Rounding of the drum's ends as a share of its radius; diameter of the shoulder as a share of the stem's."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the shoulder under the arm, the stem's end and the bottom."""
    return {
        "shoulder": plane(0.0, +1),
        "stem-end": plane(row["stem-length"], +1),
        "bottom": plane(-row["neck-length"] - row["length"], -1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the drum with rounded ends, hollow, its neck and its stem."""
    from models.parts import forms

    def drum(low: float, high: float, radius: float) -> Solid:
        corner = CORNER_SHARE * radius
        slant = corner * (1 - 0.5**0.5)
        return forms.turn_curved(
            [
                ("line", [(high, 0), (low, 0), (low, radius - corner)]),
                ("arc", [(low, radius - corner), (low + slant, radius - slant), (low + corner, radius)]),
                ("line", [(low + corner, radius), (high - corner, radius)]),
                ("arc", [(high - corner, radius), (high - slant, radius - slant), (high, radius - corner)]),
                ("line", [(high, radius - corner), (high, 0)]),
            ]
        )  # fmt: skip

    low, high, wall = at["bottom"], -row["neck-length"], row["wall"]
    stem = row["thread"]
    body = drum(low, high, row["outside"] / 2).cut(
        drum(low + wall, high - wall, row["outside"] / 2 - wall)
    )
    return forms.one_solid(
        body.fuse(
            forms.rod(NECK_SHARE * stem, high - wall / 2, 0), forms.rod(stem, 0, at["stem-end"])
        )
    )


PART = Part("chamber-float", faces, shape, Material.STAINLESS)
