"""Lip seal: keeps the oil, lip and garter spring towards the oil. Origin at its back, lip towards +x of its own axis."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides, the outside in its housing and the lip on the shaft."""
    width = row["width"]
    return {
        "back": plane(0.0, -1),
        "lip-side": plane(width, +1),
        "outside": journal(row["housing-bore"], float(width) / 2),
        "lip": bore(row["shaft-diameter"], float(width) * LIP_AT_SHARE),
    }


LIP_AT_SHARE = 0.66
"""Where the lip touches the shaft, as a share of the width from the back."""
LIP_LAND_SHARE = 0.08
"""Width of the lip's contact as a share of the seal's width."""
WALL_SHARE = 0.16
"""Wall of the case as a share of the width."""


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the case, the membrane and the lip as one section."""
    from models.parts import forms

    width, outer, shaft = at["lip-side"], at["outside"] / 2, at["lip"] / 2
    wall = WALL_SHARE * width
    lip, land = LIP_AT_SHARE * width, LIP_LAND_SHARE * width / 2
    web = shaft + 0.22 * (outer - shaft)
    return forms.turn(
        [
            (0, outer), (0, web), (lip - land, shaft), (lip + land, shaft), (width - wall, web - wall * 0.4),
            (width - wall, web + wall), (lip, web + wall), (wall * 1.2, web + wall * 2), (wall * 1.2, outer - wall),
            (width, outer - wall), (width, outer),
        ]
    )  # fmt: skip


PART = Part("oil-seal", faces, shape, Material.NITRILE, fitted=True)
