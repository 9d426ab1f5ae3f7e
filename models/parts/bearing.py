"""Deep-groove ball bearing: two rings with their grooves, the balls and their cage. Origin at its suction end."""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

RING_SHARE = 0.29
"""Thickness of each ring at its shoulder, as a share of the section (outside - bore)/2, times two."""
BALL_SHARE = 0.31
"""Ball diameter as a share of (outside - bore); within the usual design range (common practice)."""
GROOVE_PLAY_MM = 0.05
"""Radial air between ball and groove in the picture; the bearing's real internal clearance is not modelled."""
BALL_PITCH_SHARE = 1.3
"""Spacing of balls round the pitch circle in ball diameters."""
CAGE_WIDTH_SHARE, CAGE_THICKNESS_SHARE = 1.25, 0.3
"""The cage along the axis and across it, in ball diameters: a band with a round pocket for each ball."""
POCKET_PLAY_MM = 0.15
"""Air round a ball in its pocket."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the ends of both rings (flush), the bore and the outside."""
    width, near = row["width"], float(row["width"]) * 0.1
    inner = (float(row["bore"]) * 0.97 + float(row["outside"]) * 0.03) / 2
    outer = (float(row["outside"]) * 0.97 + float(row["bore"]) * 0.03) / 2
    return {
        "inner-suction-end": plane(0.0, -1, near=(0.0, inner)),
        "inner-drive-end": plane(width, +1, near=(float(width), inner)),
        "outer-suction-end": plane(0.0, -1, near=(0.0, outer)),
        "outer-drive-end": plane(width, +1, near=(float(width), outer)),
        "bore": bore(row["bore"], near),
        "outside": journal(row["outside"], near),
    }


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn both rings, cut the grooves, set the balls in them and lay the cage round the balls."""
    import cadquery as cq

    from models.parts import forms

    width, d, big = row["width"], row["bore"], row["outside"]
    ring, ball, pitch = RING_SHARE * (big - d), BALL_SHARE * (big - d), (d + big) / 2
    groove = cq.Solid.makeTorus(
        pitch / 2, ball / 2 + GROOVE_PLAY_MM, cq.Vector(width / 2, 0, 0), cq.Vector(1, 0, 0)
    )
    inner = forms.tube(d + ring, d, 0, width).cut(groove)
    outer = forms.tube(big, big - ring, 0, width).cut(groove)
    count = math.floor(math.pi * pitch / (BALL_PITCH_SHARE * ball))

    def make_sphere(diameter: float, y: float, z: float) -> cq.Shape:
        at = cq.Vector(width / 2, y, z)
        return cq.Solid.makeSphere(diameter / 2, at, cq.Vector(1, 0, 0), -90, 90, 360)

    spots = forms.circle_spots(count, pitch)
    balls = [make_sphere(ball, y, z) for y, z in spots]
    half, thick = CAGE_WIDTH_SHARE * ball / 2, CAGE_THICKNESS_SHARE * ball
    band = forms.tube(pitch + thick, pitch - thick, width / 2 - half, width / 2 + half)
    cage = band.cut(*[make_sphere(ball + 2 * POCKET_PLAY_MM, y, z) for y, z in spots])
    return cq.Compound.makeCompound([*inner.Solids(), *outer.Solids(), *cage.Solids(), *balls])


PART = Part("bearing", faces, shape, Material.BEARING_STEEL)
