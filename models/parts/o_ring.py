"""O-ring as squeezed in its groove: as wide as keeps its section's area. Origin at its suction end."""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

CORNER_SHARE = 0.35
"""Corner radius of the squeezed section as a share of its height: how a squeezed ring looks."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name both sides and the two cylinders it seals between.

    `groove` and `mate` are the diameters it spans. The squeezed width keeps the section's area
    (rubber hardly changes volume). Source: common practice.
    """
    inner, outer = sorted(("groove", "mate"), key=lambda key: float(row[key]))
    height = (row[outer] - row[inner]) * 0.5
    width = row["section"] * row["section"] * (math.pi / 4) / height
    middle = float(width) / 2
    return {
        "suction-end": plane(0.0, -1),
        "drive-end": plane(width, +1),
        "inside": bore(row[inner], middle),
        "outside": journal(row[outer], middle),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the squeezed section: a block with round corners, flat where it seals."""
    import cadquery as cq

    low, high, width = at["inside"] / 2, at["outside"] / 2, at["drive-end"]
    corner = CORNER_SHARE * min(high - low, width)
    section = (
        cq.Workplane("XY")
        .moveTo(0, low)
        .lineTo(width, low)
        .lineTo(width, high)
        .lineTo(0, high)
        .close()
    )
    return section.revolve(360, (0, 0, 0), (1, 0, 0)).edges().fillet(corner).val()


PART = Part("o-ring", faces, shape, Material.NITRILE, fitted=True, flexible=True)
