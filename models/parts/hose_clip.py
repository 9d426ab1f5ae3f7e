"""Worm-drive clip round a hose on its stem. Origin on the hose's axis in the middle of the band; x along the hose."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

HOUSING_LONG, HOUSING_HIGH = 1.4, 0.9
"""Length and height of the worm's housing, in widths of the band."""
WORM_SHARE, HEAD_SHARE = 0.5, 0.85
"""Diameter of the worm and width across the flats of its head, in widths of the band."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the band's bore and both its edges."""
    half = row["width"] / 2
    return {
        "bore": bore(row["bore"], 0.0),
        "lower": plane(-half, -1),
        "upper": plane(half, +1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Bend the band, put the housing with its worm across it at the top."""
    from models.parts import forms

    wide, out = row["width"], at["bore"] / 2 + row["thickness"]
    high, long = HOUSING_HIGH * wide, HOUSING_LONG * wide / 2
    band = forms.tube(2 * out, at["bore"], at["lower"], at["upper"])
    housing = forms.box((at["lower"], at["upper"]), (-long, long), (at["bore"] / 2, out + high))
    middle = out + high / 2
    worm = forms.side_post(WORM_SHARE * wide, 0.0, middle, -long * 1.2, long)
    head = forms.hexagon(HEAD_SHARE * wide, 0.0, HEAD_SHARE * wide)
    head = head.rotate((0, 0, 0), (0, 0, 1), 90).translate((0, long, middle))
    body = band.fuse(housing, worm, head).cut(forms.rod(at["bore"], at["lower"], at["upper"]))
    return forms.one_solid(body)


PART = Part("hose-clip", faces, shape, Material.STAINLESS, flexible=True)
