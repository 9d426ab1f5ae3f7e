"""Cylindrical roller bearing of form NU, in its two parts. Origin of both at their suction end.

The outer ring has two flanges and keeps rollers and cage; the inner ring has none and leaves with the shaft.
"""

from __future__ import annotations

from collections.abc import Mapping

from models.parts.bearing import LAND_NEAR_MM
from models.parts.elements import Elements, count_elements
from models.spec.face import Face, bore, journal, plane
from models.spec.part import Load, Material, Mount, Numbers, Part, Row, Solid

ROLLER_LENGTH_SHARE = 0.6
"""Length of the rollers as a share of the bearing's width."""
FLANGE_SHARE = 0.2
"""How far the flanges reach over the rollers' ends, as a share of the roller diameter."""
END_PLAY_MM = 0.1
"""Air between a roller's end and the flange, in the picture."""
RACE_PLAY_MM = 0.03
"""Radial air between rollers and each race, in the picture."""
LEAD_SHARE = 0.25
"""Lead-in chamfer of the inner ring's race as a share of its bore chamfer."""


def faces_inner(row: Row) -> Mapping[str, Face]:
    """Name the ends, the bore and the race of the inner ring."""
    width, near = row["width"], float(row["width"]) / 2
    radius = float(row["bore"]) / 2 + float(row["corner"]) + LAND_NEAR_MM
    return {
        "inner-suction-end": plane(0.0, -1, near=(0.0, radius)),
        "inner-drive-end": plane(width, +1, near=(float(width), radius)),
        "bore": bore(row["bore"], near),
        "race": journal(row["inner-race"], near),
    }


def inner_mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spot of the outer ring with its rollers, level with the inner ring where no housing holds it."""
    return {"rollers": (Mount(),)}


def faces_outer(row: Row) -> Mapping[str, Face]:
    """Name the ends and the outside of the outer ring."""
    width, near = row["width"], float(row["width"]) / 3
    radius = float(row["outside"]) / 2 - float(row["corner"]) - LAND_NEAR_MM
    return {
        "outer-suction-end": plane(0.0, -1, near=(0.0, radius)),
        "outer-drive-end": plane(width, +1, near=(float(width), radius)),
        "outside": journal(row["outside"], near),
    }


def rollers(row: Numbers) -> Elements:
    """Give the rollers between the two races."""
    pitch = (row["inner-race"] + row["outer-race"]) / 2
    roller = (row["outer-race"] - row["inner-race"]) / 2 - 2 * RACE_PLAY_MM
    length = ROLLER_LENGTH_SHARE * row["width"]
    return Elements(count_elements(pitch, roller), roller, pitch, length_mm=length)


def shape_inner(at: Numbers, row: Numbers) -> Solid:
    """Turn the plain inner ring with a lead-in at both ends of its race."""
    from models.parts import rolling

    width, race, lead = row["width"], row["inner-race"] / 2, LEAD_SHARE * row["corner"]
    lands = [(0, race - lead), (lead, race), (width - lead, race), (width, race - lead)]
    return rolling.turn_inner(row["bore"], width, row["corner"], lands)


def shape_outer(at: Numbers, row: Numbers) -> Solid:
    """Turn the outer ring with its two flanges, set the rollers between them and lay the cage round them."""
    from models.parts import rolling

    width, race, row_of = row["width"], row["outer-race"] / 2, rollers(row)
    roller, half = row_of.diameter_mm, row_of.length_mm / 2
    low, high = width / 2 - half, width / 2 + half
    land, start, stop = race - FLANGE_SHARE * roller, low - END_PLAY_MM, high + END_PLAY_MM
    lands = [(0, land), (start, land), (start, race), (stop, race), (stop, land), (width, land)]
    ring = rolling.turn_outer(row["outside"], width, row["corner"], lands)
    reach = low / 2
    cage, solids = rolling.make_roller_row(row_of, (low, high), (reach, width - reach))
    return rolling.join_pieces(ring, *cage, *solids)


INNER = Part("roller-bearing-inner-ring", faces_inner, shape_inner, Material.BEARING_STEEL, inner_mounts)  # fmt: skip
OUTER = Part(
    "roller-bearing-outer-ring", faces_outer, shape_outer, Material.BEARING_STEEL,
    carries=frozenset({Load.RADIAL}),
)  # fmt: skip
