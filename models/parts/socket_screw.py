"""Socket head cap screw. Origin under the head; the shank points along +x."""

from __future__ import annotations

from models.parts.hex_screw import POINT_SHARE, faces
from models.spec.part import Material, Numbers, Part, Solid

HEAD_CHAMFER_SHARE = 0.1
"""Chamfer of the head's top edge as a share of its height."""


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn head and shank, and sink the hexagon socket into the head."""
    from models.parts import forms

    end, r, cut = at["point"], row["thread"] / 2, POINT_SHARE * row["thread"]
    top, wide = at["head-top"], row["head-diameter"] / 2
    edge = HEAD_CHAMFER_SHARE * row["head-height"]
    body = forms.turn(
        [
            (top, 0), (top, wide - edge), (top + edge, wide), (0, wide), (0, r),
            (end - cut, r), (end, r - cut), (end, 0),
        ]
    )  # fmt: skip
    socket = forms.hexagon(row["socket-across-flats"], top + row["socket-depth"], top - 1)
    return forms.one_solid(body.cut(socket))


PART = Part("socket-screw", faces, shape, Material.STAINLESS)
