"""Hexagon head screw and hexagon plug. Origin under the head; the shank points along +x."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

POINT_SHARE = 0.12
"""Chamfer at the point as a share of the thread diameter."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the face under the head, the head's top and the point."""
    return {
        "under-head": plane(0.0, +1),
        "head-top": plane(-row["head-height"], -1),
        "point": plane(row["length"], +1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the head, chamfered on top, and the shank at the thread's outside diameter."""
    from models.parts import forms

    end, r, cut = at["point"], row["thread"] / 2, POINT_SHARE * row["thread"]
    shank = forms.turn([(0, 0), (0, r), (end - cut, r), (end, r - cut), (end, 0)])
    return forms.one_solid(forms.hexagon(row["across-flats"], at["head-top"], 0).fuse(shank))


PART = Part("hex-screw", faces, shape, Material.CARBON_STEEL)
PLUG = Part("plug", faces, shape, Material.CARBON_STEEL)
