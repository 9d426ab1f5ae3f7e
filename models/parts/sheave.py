"""Sheave for one wedge belt: rim with the groove, hub with keyway and set screw. Origin on the axis at the rim's side.

The rim begins at that side, so that a sheave seated on a shoulder has its groove a known distance from it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.spec.face import Axis, Face, bore, journal, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

CHAMFER_SHARE = 0.08
"""Chamfer of the hub's free edge as a share of the wall over the bore."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name both ends, the bore and the rim."""
    return {
        "suction-end": plane(0.0, -1),
        "drive-end": plane(row["length"], +1),
        "bore": bore(row["bore"], float(row["length"]) / 2),
        "rim": journal(row["datum-diameter"] + row["above-datum"] * 2, 1.0),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the middle of the groove, where a belt lies, and the set screw's spot over the key."""
    return {
        "groove": (Mount(x=row["edge"]),),
        "set-screw": (Mount(x=row["set-screw-position"], axis=Axis.Z),),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn rim, groove and hub, broach the keyway, drill for the set screw."""
    from models.parts import forms

    hole, rim, hub, end = at["bore"] / 2, at["rim"] / 2, row["hub-diameter"] / 2, at["drive-end"]
    middle, root = row["edge"], row["datum-diameter"] / 2 - row["below-datum"]
    flank = math.tan(math.radians(row["groove-angle"] / 2))
    wide = row["datum-width"] / 2 + row["above-datum"] * flank
    narrow = row["datum-width"] / 2 - row["below-datum"] * flank
    cut = CHAMFER_SHARE * (hub - hole)
    body = forms.turn(
        [
            (0, hole), (0, rim), (middle - wide, rim), (middle - narrow, root), (middle + narrow, root), (middle + wide, rim),
            (2 * middle, rim), (2 * middle, hub), (end - cut, hub), (end, hub - cut), (end, hole),
        ]
    )  # fmt: skip
    half = row["key-width"] / 2
    keyway = forms.box((-1.0, end + 1.0), (-half, half), (0.0, hole + row["key-depth"]))
    screw = forms.post(row["set-screw-thread"], row["set-screw-position"], 0.0, hole, hub + 1.0)
    return forms.one_solid(body.cut(keyway, screw))


PART = Part("sheave", faces, shape, Material.CAST_IRON, mounts)
