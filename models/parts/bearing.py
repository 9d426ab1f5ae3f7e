"""Ball bearings: deep groove, single angular contact, double row. Origin at the suction end.

An angular contact bearing is named for where its back lies: the wide face of the outer ring, on the
side of that ring's high shoulder. Two of them back to back touch there.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.parts.elements import Elements, count_elements, count_filled
from models.spec.face import Face, bore, journal, plane
from models.spec.part import Load, Material, Numbers, Part, Row, Solid

RING_SHARE = 0.29
"""Thickness of each ring at its shoulder, as a share of the section (outside - bore)/2, times two."""
BALL_SHARE = 0.31
"""Ball diameter as a share of (outside - bore); within the usual design range (common practice)."""
CONTACT_DEG, DOUBLE_CONTACT_DEG = 40.0, 30.0
"""Contact angle of the single-row angular contact bearing and of the double-row one (common practice)."""
HIGH_DEG, LOW_INNER_DEG, LOW_OUTER_DEG = 62.0, 24.0, 12.0
"""How far round the ball a shoulder reaches: the loaded one past the contact, the others short of it."""
DOUBLE_BALL_SHARE, DOUBLE_ROW_SHARE = 0.26, 0.42
"""Of a double-row bearing: ball diameter as a share of (outside - bore), rows apart as a share of the width."""
LAND_NEAR_MM = 0.3
"""How far inside a ring's end face, past its chamfer, the face is looked for."""


def name_faces(row: Row) -> dict[str, Face]:
    """Name the ends of both rings (flush), the bore and the outside."""
    width, near = row["width"], float(row["width"]) / 3
    reach = float(row["corner"]) + LAND_NEAR_MM
    inner, outer = float(row["bore"]) / 2 + reach, float(row["outside"]) / 2 - reach
    return {
        "inner-suction-end": plane(0.0, -1, near=(0.0, inner)),
        "inner-drive-end": plane(width, +1, near=(float(width), inner)),
        "outer-suction-end": plane(0.0, -1, near=(0.0, outer)),
        "outer-drive-end": plane(width, +1, near=(float(width), outer)),
        "bore": bore(row["bore"], near),
        "outside": journal(row["outside"], near),
    }


def inner_shoulder_mm(row: Numbers) -> float:
    """Give the diameter in mm of the inner ring's shoulders, which a spacer may reach and no more."""
    return row["bore"] + RING_SHARE * (row["outside"] - row["bore"])


def ball_diameter_mm(row: Numbers) -> float:
    """Give the diameter in mm of a ball of a single-row bearing."""
    return BALL_SHARE * (row["outside"] - row["bore"])


def raceways_mm(row: Numbers) -> tuple[float, float]:
    """Give the diameters in mm of a single-row bearing's inner and outer raceway, at the floor of each groove."""
    pitch, ball = (row["bore"] + row["outside"]) / 2, ball_diameter_mm(row)
    return pitch - ball, pitch + ball


def double_raceways_mm(row: Numbers) -> tuple[float, float]:
    """Give the same of a double-row bearing, whose balls are smaller."""
    pitch, ball = (
        (row["bore"] + row["outside"]) / 2,
        DOUBLE_BALL_SHARE * (row["outside"] - row["bore"]),
    )
    return pitch - ball, pitch + ball


def deep_groove_balls(row: Numbers) -> Elements:
    """Give the balls of a deep groove bearing: as many as go in between rings pushed to one side."""
    pitch, ball = (row["bore"] + row["outside"]) / 2, ball_diameter_mm(row)
    return Elements(count_filled(pitch, ball), ball, pitch)


def angular_balls(row: Numbers) -> Elements:
    """Give the balls of a single-row angular contact bearing: its low shoulder lets a full row in."""
    pitch, ball = (row["bore"] + row["outside"]) / 2, ball_diameter_mm(row)
    return Elements(count_elements(pitch, ball), ball, pitch, CONTACT_DEG)


def double_balls(row: Numbers) -> Elements:
    """Give the balls of a double-row angular contact bearing."""
    pitch, ball = (row["bore"] + row["outside"]) / 2, DOUBLE_BALL_SHARE * (row["outside"] - row["bore"])  # fmt: skip
    return Elements(count_elements(pitch, ball), ball, pitch, DOUBLE_CONTACT_DEG, rows=2)


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn both rings, cut the grooves, set the balls in them and lay the cage round the balls."""
    from models.parts import rolling

    width, d, big, corner = row["width"], row["bore"], row["outside"], row["corner"]
    ring, ball, pitch = RING_SHARE * (big - d) / 2, ball_diameter_mm(row), (d + big) / 2
    groove = rolling.make_groove(pitch, ball, width / 2)
    low, high = d / 2 + ring, big / 2 - ring
    inner = rolling.turn_inner(d, width, corner, [(0, low), (width, low)]).cut(groove)
    outer = rolling.turn_outer(big, width, corner, [(0, high), (width, high)]).cut(groove)
    cage, balls = rolling.make_ball_row(deep_groove_balls(row), width / 2, (0, width))
    return rolling.join_pieces(inner, outer, *cage, *balls)


def faces_back_drive(row: Row) -> Mapping[str, Face]:
    """Name the faces of an angular contact bearing whose back looks to the drive end."""
    named = name_faces(row)
    return named | {"back": named["outer-drive-end"], "front": named["outer-suction-end"]}


def faces_back_suction(row: Row) -> Mapping[str, Face]:
    """Name the faces of an angular contact bearing whose back looks to the suction end."""
    named = name_faces(row)
    return named | {"back": named["outer-suction-end"], "front": named["outer-drive-end"]}


def angular_shoulders_mm(row: Numbers) -> tuple[float, float, float, float]:
    """Give the shoulder radii in mm: inner high, inner low, outer high, outer low.

    The ball bears on the inner ring towards the front and on the outer ring towards the back, each
    CONTACT_DEG round from square; the high shoulder lies beyond that spot.
    """
    d, big = row["bore"], row["outside"]
    pitch, ball = (d + big) / 4, ball_diameter_mm(row) / 2
    high, low_inner, low_outer = (
        ball * math.cos(math.radians(deg)) for deg in (HIGH_DEG, LOW_INNER_DEG, LOW_OUTER_DEG)
    )
    return pitch - high, pitch - low_inner, pitch + high, pitch + low_outer


def shape_back_drive(at: Numbers, row: Numbers) -> Solid:
    """Turn the rings with their high and low shoulders, the outer one's high shoulder at the drive end."""
    from models.parts import rolling

    width, d, big, corner = row["width"], row["bore"], row["outside"], row["corner"]
    ball, pitch, mid = ball_diameter_mm(row), (d + big) / 2, width / 2
    inner_high, inner_low, outer_high, outer_low = angular_shoulders_mm(row)
    groove = rolling.make_groove(pitch, ball, mid)
    inner_lands = [(0, inner_high), (mid, inner_high), (mid, inner_low), (width, inner_low)]
    outer_lands = [(0, outer_low), (mid, outer_low), (mid, outer_high), (width, outer_high)]
    inner = rolling.turn_inner(d, width, corner, inner_lands).cut(groove)
    outer = rolling.turn_outer(big, width, corner, outer_lands).cut(groove)
    cage, balls = rolling.make_ball_row(angular_balls(row), mid, (0, width))
    return rolling.join_pieces(inner, outer, *cage, *balls)


def shape_back_suction(at: Numbers, row: Numbers) -> Solid:
    """Make the same bearing the other way round."""
    turned = shape_back_drive(at, row).rotate((0, 0, 0), (0, 0, 1), 180)
    return turned.translate((row["width"], 0, 0))


def shape_double(at: Numbers, row: Numbers) -> Solid:
    """Turn one inner and one outer ring with two grooves; set two rows of balls, each in its cage."""
    from models.parts import rolling

    width, d, big, corner = row["width"], row["bore"], row["outside"], row["corner"]
    ring, ball, pitch = RING_SHARE * (big - d) / 2, DOUBLE_BALL_SHARE * (big - d), (d + big) / 2
    apart, low, high = DOUBLE_ROW_SHARE * width / 2, d / 2 + ring, big / 2 - ring
    rows = (width / 2 - apart, width / 2 + apart)
    grooves = [rolling.make_groove(pitch, ball, middle) for middle in rows]
    inner = rolling.turn_inner(d, width, corner, [(0, low), (width, low)]).cut(*grooves)
    outer = rolling.turn_outer(big, width, corner, [(0, high), (width, high)]).cut(*grooves)
    gap = rolling.POCKET_PLAY_MM
    first, balls = rolling.make_ball_row(double_balls(row), rows[0], (0, width / 2 - gap))
    second, others = rolling.make_ball_row(double_balls(row), rows[1], (width / 2 + gap, width))
    return rolling.join_pieces(inner, outer, *first, *second, *balls, *others)


# Which loads a kind carries. Source: common practice, from memory of bearing handbooks.
BOTH_WAYS = frozenset(Load)
TOWARDS_DRIVE = frozenset({Load.RADIAL, Load.AXIAL_FORWARD})
TOWARDS_SUCTION = frozenset({Load.RADIAL, Load.AXIAL_BACKWARD})

PART = Part("bearing", name_faces, shape, Material.BEARING_STEEL, carries=BOTH_WAYS)
BACK_DRIVE = Part(
    "angular-contact-bearing", faces_back_drive, shape_back_drive, Material.BEARING_STEEL,
    carries=TOWARDS_DRIVE,
)  # fmt: skip
BACK_SUCTION = Part(
    "angular-contact-bearing", faces_back_suction, shape_back_suction, Material.BEARING_STEEL,
    carries=TOWARDS_SUCTION,
)  # fmt: skip
DOUBLE = Part(
    "double-row-bearing", name_faces, shape_double, Material.BEARING_STEEL, carries=BOTH_WAYS
)
