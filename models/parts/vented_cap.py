"""Screwed cap with a vent hole, for a vessel that must breathe. Origin under its rim; the thread points along -x."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

GRIPS, GRIP_SHARE = 12, 0.08
"""Hollows round the rim for the fingers, and each one's diameter as a share of the cap's."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the underside of the rim and the top."""
    return {"under-rim": plane(0.0, -1), "top": plane(row["height"], +1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the gripped disc, the thread and the vent hole through both."""
    from models.parts import forms

    high, outside = at["top"], row["outside"]
    disc = forms.drill(
        forms.rod(outside, 0, high),
        GRIP_SHARE * outside,
        0,
        high,
        forms.circle_spots(GRIPS, outside),
    )
    body = disc.fuse(forms.rod(row["thread"], -row["thread-length"], 0))
    return forms.one_solid(body.cut(forms.rod(row["vent"], -row["thread-length"], high)))


PART = Part("vented-cap", faces, shape, Material.BRASS)
