"""Headed pin. Origin under the head; the shank points along +x."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

HEAD_SHARE, HEIGHT_SHARE, POINT_SHARE = 1.5, 0.35, 0.12
"""Head diameter, head height and chamfer at the point as shares of the diameter."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the face under the head and the point."""
    return {"under-head": plane(0.0, +1), "point": plane(row["length"], +1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn head and shank."""
    from models.parts import forms

    d, end = row["diameter"], at["point"]
    r, cut, high = d / 2, POINT_SHARE * d, HEIGHT_SHARE * d
    return forms.turn(
        [
            (-high, 0), (-high, r * HEAD_SHARE - cut), (-high + cut, r * HEAD_SHARE), (0, r * HEAD_SHARE),
            (0, r), (end - cut, r), (end, r - cut), (end, 0),
        ]
    )  # fmt: skip


PART = Part("headed-pin", faces, shape, Material.STAINLESS)
