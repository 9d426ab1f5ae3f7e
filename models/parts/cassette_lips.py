"""Lips of a cassette seal, moulded round the case's web: main lip with its garter's groove inwards, dust lip outwards.

Origin where the rubber lies on the web's inner face; the main lip reaches along +x to the liquid, the dust lip
back past the web to the sleeve's flange. Source of the section: common practice.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.parts.oil_seal import AIR_DEG, OIL_DEG, RIM_SHARE, SHOULDER_SHARE
from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

LAND_SHARE = 0.2
"""Width of each lip's contact in sections of the garter spring."""
BEHIND_SHARE = 0.2
"""How far the spring stands behind the main lip's edge, in sections of it."""
HEAD_SHARE = 1.1
"""Rubber between track and spring, in sections of it."""
LIP_REACH_SHARE = 1.2
"""How far the lip's flat cone reaches back, in sections of the spring."""
PAD_SHARE, PAD_HEIGHT_SHARE = 0.6, 0.8
"""Thickness and height of the rubber on either face of the web, in sections of the spring."""
NECK_SHARE = 1.5
"""Thickness of the neck that carries the main lip, in sections of the spring."""
DUST_ROOT_SHARE, DUST_OUT_SHARE = 0.75, 1.4
"""Thickness of the dust lip at its root, and how far out its edge stands from the web's bore, in sections of the spring."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name where it lies on the web, the main lip, the groove of its spring, the front and the dust lip's edge."""
    section, lip = row["garter-section"], row["lip-distance"]
    groove = lip - section * (BEHIND_SHARE + 0.5)
    floor = row["shaft-diameter"] + section * (2 * HEAD_SHARE)
    dust = -row["flange-reach"]
    return {
        "back": plane(0.0, -1),
        "lip": bore(row["shaft-diameter"], float(lip)),
        "lip-side": plane(groove + section * (1.5 + LAND_SHARE), +1),
        "groove-wall": plane(groove, +1),
        "groove-bottom": journal(floor, float(groove) + float(section) / 2),
        "dust-lip": plane(dust, -1),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn pads, neck, main lip and dust lip as one section."""
    from models.parts import forms

    spring, shaft, hole = row["garter-section"], at["lip"] / 2, row["web-bore"] / 2
    lip, land, pad = (
        row["lip-distance"],
        LAND_SHARE * row["garter-section"] / 2,
        PAD_SHARE * row["garter-section"],
    )
    top, web = hole + PAD_HEIGHT_SHARE * spring, -row["web-thickness"]
    wall, floor, nose = at["groove-wall"], at["groove-bottom"] / 2, at["lip-side"]
    front, reach = wall + spring, LIP_REACH_SHARE * spring
    neck, back, dust = NECK_SHARE * spring, web - pad, at["dust-lip"]
    root, out = DUST_ROOT_SHARE * spring, hole + DUST_OUT_SHARE * spring
    return forms.turn(
        [
            (0, hole), (0, top), (pad, top), (pad, hole),
            (wall, floor + SHOULDER_SHARE * spring), (wall, floor), (front, floor),
            (front, floor + RIM_SHARE * spring), (nose, floor + RIM_SHARE * spring),
            (nose, shaft + (nose - lip - land) * math.tan(math.radians(OIL_DEG))),
            (lip + land, shaft), (lip - land, shaft),
            (lip - reach, shaft + (reach - land) * math.tan(math.radians(AIR_DEG))),
            (web, hole - neck), (back, hole - neck),
            (dust, out - 2 * land), (dust, out), (back, hole - neck + 2 * root), (back, top), (web, top), (web, hole),
        ]
    )  # fmt: skip


PART = Part("cassette-lips", faces, shape, Material.NITRILE, fitted=True, flexible=True)
