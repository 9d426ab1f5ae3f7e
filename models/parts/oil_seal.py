"""Lip seal: a metal case under rubber, a lip on a thin web, and over the lip the groove of its garter spring.

It keeps the oil the lip looks at. Origin at its back, lip towards +x of its own axis. Source of the section: common practice.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

LIP_AT_SHARE = 0.62
"""Where the lip touches the shaft, as a share of the width from the back."""
LAND_SHARE = 0.04
"""Width of the lip's contact as a share of the seal's width."""
CASE_SHARE = 0.14
"""Thickness of the case with its rubber as a share of the width, at the back and outside."""
AIR_DEG, OIL_DEG = 25.0, 45.0
"""Angles of the lip's two cones to the shaft: the flat one on the side of the air, the steep one on that of the oil."""
LIP_REACH_SHARE = 0.3
"""How far the flat cone of the lip reaches back, as a share of the width."""
BACK_ROOM_SHARE = 0.25
"""Room between shaft and web at the back, as a share of the width."""
SPRING_BEHIND_SHARE = 0.04
"""How far the garter spring stands behind the lip's edge, as a share of the width."""
HEAD_SHARE = 0.28
"""Rubber between shaft and groove as a share of the width."""
RIM_SHARE, SHOULDER_SHARE = 0.55, 0.4
"""Height of the groove's front rim and of its rear shoulder, in sections of the garter spring."""
EDGE_SHARE = 0.08
"""Chamfer of the outer edges, which leads the seal into its bore, as a share of the width."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides, the outside in its housing, the lip on the shaft and the groove of the garter spring."""
    width = row["width"]
    lip = width * LIP_AT_SHARE
    groove = lip - width * SPRING_BEHIND_SHARE - row["garter-section"] * 0.5
    floor = row["shaft-diameter"] + width * (2 * HEAD_SHARE)
    return {
        "back": plane(0.0, -1),
        "lip-side": plane(width, +1),
        "outside": journal(row["housing-bore"], float(width) / 2),
        "lip": bore(row["shaft-diameter"], float(lip)),
        "groove-wall": plane(groove, +1),
        "groove-bottom": journal(floor, float(groove) + float(row["garter-section"]) / 2),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the bent case, the web and the lip with its groove as one section."""
    from models.parts import forms

    width, outer, shaft, spring = (
        at["lip-side"],
        at["outside"] / 2,
        at["lip"] / 2,
        row["garter-section"],
    )
    case, cut = CASE_SHARE * width, EDGE_SHARE * width
    lip, land = LIP_AT_SHARE * width, LAND_SHARE * width / 2
    reach, room = LIP_REACH_SHARE * width, BACK_ROOM_SHARE * width
    wall, floor = at["groove-wall"], at["groove-bottom"] / 2
    front = wall + spring
    nose = front + land + spring / 2
    return forms.turn(
        [
            (0, outer - cut), (0, shaft + room),
            (lip - reach, shaft + (reach - land) * math.tan(math.radians(AIR_DEG))),
            (lip - land, shaft), (lip + land, shaft),
            (nose, shaft + (nose - lip - land) * math.tan(math.radians(OIL_DEG))),
            (nose, floor + RIM_SHARE * spring), (front, floor + RIM_SHARE * spring),
            (front, floor), (wall, floor), (wall, floor + SHOULDER_SHARE * spring),
            (case, shaft + room + case), (case, outer - case), (width, outer - case),
            (width, outer - cut), (width - cut, outer), (cut, outer),
        ]
    )  # fmt: skip


PART = Part("oil-seal", faces, shape, Material.NITRILE, fitted=True)
