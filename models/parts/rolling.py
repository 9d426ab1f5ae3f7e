"""Forms that rolling bearings share: chamfered rings, balls and rollers on their pitch circle, cages.

Imports the kernel at the top: import this module only inside a `shape` function.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import cadquery as cq

from models.parts import forms
from models.parts.elements import Elements
from models.parts.forms import Point

CAGE_WIDTH_SHARE, CAGE_THICKNESS_SHARE = 1.25, 0.3
"""The cage along the axis and across it, in element diameters: a band with a pocket for each element."""
POCKET_PLAY_MM = 0.15
"""Air round an element in its pocket."""
GROOVE_PLAY_MM = 0.05
"""Radial air between ball and groove in the picture; the bearing's real internal clearance is not modelled."""


def turn_inner(
    bore_mm: float, width_mm: float, corner_mm: float, lands: Sequence[Point]
) -> cq.Shape:
    """Turn an inner ring with chamfered bore corners; `lands` is its outer outline from suction to drive end."""
    r, c = bore_mm / 2, corner_mm
    return forms.turn([(c, r), (0, r + c), *lands, (width_mm, r + c), (width_mm - c, r)])


def turn_outer(
    outside_mm: float, width_mm: float, corner_mm: float, lands: Sequence[Point]
) -> cq.Shape:
    """Turn an outer ring with chamfered outside corners; `lands` is its inner outline from suction to drive end."""
    r, c = outside_mm / 2, corner_mm
    return forms.turn([(c, r), (0, r - c), *lands, (width_mm, r - c), (width_mm - c, r)])


def make_groove(pitch_mm: float, ball_mm: float, middle_mm: float) -> cq.Solid:
    """Make the torus that a row of balls runs in."""
    centre, axis = cq.Vector(middle_mm, 0, 0), cq.Vector(1, 0, 0)
    return cq.Solid.makeTorus(pitch_mm / 2, ball_mm / 2 + GROOVE_PLAY_MM, centre, axis)


def make_sphere(diameter_mm: float, x: float, y: float, z: float) -> cq.Shape:
    """Make a ball at (x, y, z).

    Its own axis points away from the bearing's, so that a pocket cut with it has no pole: a face
    round a pole comes back from a STEP file as another face.
    """
    centre, axis = cq.Vector(x, y, z), cq.Vector(0, y, z)
    return cq.Solid.makeSphere(diameter_mm / 2, centre, axis, -90, 90, 360)


def make_ball_row(
    balls_of: Elements, middle_mm: float, room: Point
) -> tuple[list[cq.Shape], list[cq.Shape]]:
    """Make a row of balls, the first straight up, and its cage inside the axial `room`; (cage solids, balls)."""
    pitch_mm, ball_mm = balls_of.pitch_mm, balls_of.diameter_mm
    spots = forms.circle_spots(balls_of.count, pitch_mm)
    half = CAGE_WIDTH_SHARE * ball_mm / 2
    low, high = max(room[0], middle_mm - half), min(room[1], middle_mm + half)
    band = make_band(pitch_mm, CAGE_THICKNESS_SHARE * ball_mm, low, high)
    pockets = [make_sphere(ball_mm + 2 * POCKET_PLAY_MM, middle_mm, y, z) for y, z in spots]
    balls = [make_sphere(ball_mm, middle_mm, y, z) for y, z in spots]
    return _punch(band, pockets), balls


def make_roller_row(
    rollers: Elements, ends: Point, room: Point
) -> tuple[list[cq.Shape], list[cq.Shape]]:
    """Make a row of cylindrical rollers between two axial ends, and its cage inside `room`."""
    pitch_mm, roller_mm = rollers.pitch_mm, rollers.diameter_mm
    spots = forms.circle_spots(rollers.count, pitch_mm)
    band = make_band(pitch_mm, CAGE_THICKNESS_SHARE * roller_mm, *room)
    play = POCKET_PLAY_MM
    pockets = [
        forms.rod(roller_mm + 2 * play, ends[0] - play, ends[1] + play, y, z) for y, z in spots
    ]
    return _punch(band, pockets), [forms.rod(roller_mm, *ends, y, z) for y, z in spots]


def make_band(pitch_mm: float, thickness_mm: float, low_mm: float, high_mm: float) -> cq.Solid:
    """Turn the plain band a cage is punched from."""
    return forms.tube(pitch_mm + thickness_mm, pitch_mm - thickness_mm, low_mm, high_mm)


def _punch(band: cq.Solid, pockets: Iterable[cq.Shape]) -> list[cq.Shape]:
    return list(band.cut(*pockets).Solids())


def join_pieces(*solids: cq.Shape) -> cq.Compound:
    """Put the loose solids of one bearing together."""
    return cq.Compound.makeCompound([one for solid in solids for one in solid.Solids()])
