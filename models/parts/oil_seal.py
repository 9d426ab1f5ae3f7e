"""Lip seal: a metal case under rubber, a lip on a thin web, and over the lip the groove of its garter spring.

It keeps the oil the lip looks at. Origin at its back, lip towards +x of its own axis. Source of the section: common practice.
Its `outside` and `lip` are as bought: the case is pressed into a smaller bore, the lip is widened by the shaft.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import partial

from models.spec.build import Build
from models.spec.clearance import Clearance, ClearanceGroup, ClearanceKind
from models.spec.dimension import Dimension
from models.spec.face import Face, bore, journal, plane
from models.spec.length import Length
from models.spec.part import Material, Numbers, Part, Row, Solid
from models.spec.seat import Place

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


def case_fit(build: Build, name: str) -> Length:
    """Give the bore's diameter less that of the case as bought, in mm: below zero it presses."""
    row = build.piece_at(name).row
    return row["housing-bore"] - row["outside"]


def lip_fit(build: Build, name: str) -> Length:
    """Give the lip's diameter as bought, without its spring, less the shaft's, in mm: below zero it grips."""
    row = build.piece_at(name).row
    return row["lip"] - row["shaft-diameter"]


def _limit_case(build: Build, name: str) -> Dimension:
    return build.find_limit("lip-seal-case-fit", float(build.piece_at(name).row["housing-bore"]))


def _limit_lip(build: Build, name: str) -> Dimension:
    return build.find_limit("lip-seal-lip-fit", float(build.piece_at(name).row["shaft-diameter"]))


def list_clearances(place: Place) -> tuple[Clearance, ...]:
    """List the two fits of a lip seal: its case in the bore, its lip on the shaft."""
    name, mates = place.name, place.spans
    return (
        Clearance(
            f"{name}.case-fit", ClearanceKind.DIAMETRAL, (name, "outside"), mates["housing-bore"].high,
            compute=partial(case_fit, name=name), limits=partial(_limit_case, name=name), group=ClearanceGroup.SEALS,
        ),
        Clearance(
            f"{name}.lip-fit", ClearanceKind.DIAMETRAL, mates["shaft-diameter"].high, (name, "lip"),
            compute=partial(lip_fit, name=name), limits=partial(_limit_lip, name=name), group=ClearanceGroup.SEALS,
        ),
    )  # fmt: skip


PART = Part("oil-seal", faces, shape, Material.NITRILE, fitted=True, clearances=list_clearances)
