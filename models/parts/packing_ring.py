"""Ring of square braided packing, cut on the slant where its ends meet. Origin at its suction end."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

CORNER_SHARE = 0.1
"""Rounded-off corner of the pressed braid as a share of its width: how it looks."""
SLIT_SHARE, SLANT_DEG = 0.05, 45.0
"""Gap left between the cut ends as a share of the width, and the slant of the cut. Source: common practice."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides and the cylinders it is pressed against: the shaft and the box."""
    width = row["width"]
    return {
        "suction-end": plane(0.0, -1),
        "drive-end": plane(width, +1),
        "inside": bore(row["shaft-diameter"], float(width) / 2),
        "outside": journal(row["box-bore"], float(width) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the pressed section and cut it through once, on the slant, at the top."""
    from models.parts import forms

    width, low, high = row["width"], at["inside"] / 2, at["outside"] / 2
    cut, slit = CORNER_SHARE * width, SLIT_SHARE * width / 2
    ring = forms.turn(
        [
            (0, low + cut), (cut, low), (width - cut, low), (width, low + cut),
            (width, high - cut), (width - cut, high), (cut, high), (0, high - cut),
        ]
    )  # fmt: skip
    middle = width / 2
    knife = forms.box((middle - width, middle + width), (-slit, slit), (low - width, high + width))
    return forms.one_solid(ring.cut(knife.rotate((middle, 0, 0), (middle, 0, 1), SLANT_DEG)))


PART = Part("packing-ring", faces, shape, Material.PACKING, fitted=True)
