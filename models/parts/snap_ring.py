"""Internal snap ring: sprung into a groove of the housing's bore. Origin at its suction end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

GAP_SHARE = 0.12
"""Gap between the ring's ends as a share of its outside."""
EAR_SHARE, EYE_SHARE = 1.7, 0.6
"""Across each ear, and its eye for the pliers, as shares of the ring's radial width."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides and the outside in its groove."""
    thick = row["thickness"]
    return {
        "suction-end": plane(0.0, -1),
        "drive-end": plane(thick, +1),
        "outside": journal(row["groove"], float(thick) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Cut the ring open at the top and give its ends ears with eyes for the pliers."""
    from models.parts import forms

    thick, outside, wide = at["drive-end"], at["outside"], row["radial-width"]
    gap, ear = GAP_SHARE * outside / 2, EAR_SHARE * wide
    whole = forms.tube(outside, outside - 2 * wide, 0, thick)
    ring = whole.cut(forms.box((0, thick), (-gap, gap), (0, outside)))
    middle = outside / 2 - ear / 2 - wide * 0.3
    spots = [(side * (gap + ear / 2 - wide * 0.3), middle) for side in (-1, 1)]
    eared = ring.fuse(*[forms.rod(ear, 0, thick, y, z) for y, z in spots]).clean()
    return forms.one_solid(forms.drill(eared, EYE_SHARE * wide, 0, thick, spots))


PART = Part("snap-ring", faces, shape, Material.CARBON_STEEL, flexible=True)
