"""Lantern ring: keeps a chamber open between packing rings, so that liquid from its port reaches the shaft.

Origin at its suction end.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

CHEEK_SHARE, WEB_SHARE = 0.22, 0.3
"""Width of each cheek as a share of the ring's width; thickness of the web as a share of its height: how it looks."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides, the bore and the outside."""
    width = row["width"]
    return {
        "suction-end": plane(0.0, -1),
        "drive-end": plane(width, +1),
        "bore": bore(row["bore"], float(width) * 0.1),
        "outside": journal(row["outside"], float(width) * 0.1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn a ring with a channel inside and outside and drill through the web between them."""
    from models.parts import forms

    width, low, high = at["drive-end"], at["bore"] / 2, at["outside"] / 2
    cheek, half, middle = CHEEK_SHARE * width, WEB_SHARE * (high - low) / 2, (low + high) / 2
    inner, outer = middle - half, middle + half
    ring = forms.turn(
        [
            (0, low), (cheek, low), (cheek, inner), (width - cheek, inner), (width - cheek, low), (width, low),
            (width, high), (width - cheek, high), (width - cheek, outer), (cheek, outer), (cheek, high), (0, high),
        ]
    )  # fmt: skip
    count = round(row["hole-count"])
    hole = forms.post(row["hole-diameter"], width / 2, 0, low, high)
    holes = [hole.rotate((0, 0, 0), (1, 0, 0), 360 * i / count) for i in range(count)]
    return forms.one_solid(ring.cut(*holes))


PART = Part("lantern-ring", faces, shape, Material.BRONZE)
