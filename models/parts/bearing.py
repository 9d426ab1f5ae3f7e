"""Deep-groove ball bearing: two rings with their grooves and the balls. Origin at its suction end."""

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
    """Turn both rings, cut the grooves and set the balls in them."""
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
    balls = [
        cq.Solid.makeSphere(ball / 2, cq.Vector(width / 2, y, z), cq.Vector(1, 0, 0), -90, 90, 360)
        for y, z in forms.circle_spots(count, pitch)
    ]
    return cq.Compound.makeCompound([*inner.Solids(), *outer.Solids(), *balls])


PART = Part("bearing", faces, shape, Material.BEARING_STEEL)
