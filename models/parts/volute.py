"""Volute: the spiral casing round the impeller. Origin on the shaft axis at the casing face, x towards the drive end.

The spiral widens with rotation (clockwise seen from the driver) from the cutwater to the throat,
whence the discharge rises tangentially on the left, seen from the driver.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.parts.spots import circle_mounts
from models.spec.face import Face, bore, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

CUTWATER_DEG = 30.0
"""Where the spiral starts, in degrees of rotation after the throat."""
SECTIONS = 12
"""Circles through which the spiral is lofted, cutwater to throat."""
INTO_BORE_SHARE = 0.14
"""Share of the throat radius by which the spiral's circles reach inside the casing bore: opens the spiral to the impeller."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the casing face, the rear face, the bores and the bottoms of the stud holes."""
    width = row["width"]
    return {
        "casing-face": plane(0.0, -1),
        "rear-face": plane(width, +1),
        "bore-front": bore(row["bore"], float(row["land"]) / 2),
        "bore-rear": bore(row["bore"], float(width) - float(row["land"]) / 2),
        "cover-stud-bottom": plane(row["stud-hole-depth"], -1),
        "bracket-stud-bottom": plane(width - row["stud-hole-depth"], +1),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the stud spots of both faces; both circles straddle the vertical."""
    count, circle = round(float(row["stud-count"])), float(row["stud-circle"])
    return {
        "cover-studs": circle_mounts(count, circle, 180.0 / count, sign=-1),
        "bracket-studs": circle_mounts(count, circle, 180.0 / count, sign=+1),
    }


def spiral_radius_mm(row: Numbers, turn_deg: float) -> float:
    """Give the radius of the spiral's round section at an angle of rotation past the throat line.

    The area grows linearly with the angle (constant mean velocity), so the radius grows with its root.
    Source: common practice for volute layout.
    """
    small, large = row["tongue-diameter"] / 2, row["throat-diameter"] / 2
    share = (turn_deg - CUTWATER_DEG) / (360.0 - CUTWATER_DEG)
    return math.sqrt(small**2 + share * (large**2 - small**2))


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the casing: ring with two flanges, spiral, discharge branch with drilled flange, foot."""
    import cadquery as cq

    from models.parts import forms

    wall, width, land = row["wall"], row["width"], row["land"]
    bore_r, rim_r = row["bore"] / 2, row["rim-diameter"] / 2
    centre, reach = row["spiral-centre"], INTO_BORE_SHARE * row["throat-diameter"] / 2
    height, flange = row["discharge-height"], row["discharge-flange-thickness"]

    def circle(turn_deg: float, extra: float) -> cq.Wire:
        radius, turn = spiral_radius_mm(row, turn_deg), math.radians(turn_deg)
        out = cq.Vector(0, -math.cos(turn), math.sin(turn))
        along = cq.Vector(0, math.sin(turn), math.cos(turn))
        return cq.Wire.makeCircle(
            radius + extra, cq.Vector(centre, 0, 0) + out * (bore_r + radius - reach), along
        )

    def spiral(extra: float) -> cq.Solid:
        step = (360.0 - CUTWATER_DEG) / (SECTIONS - 1)
        return cq.Solid.makeLoft(
            [circle(CUTWATER_DEG + i * step, extra) for i in range(SECTIONS)], False
        )

    throat_r = spiral_radius_mm(row, 360.0)
    branch_y = -(bore_r + throat_r - reach)
    up = (cq.Vector(centre, branch_y, 0), cq.Vector(0, 0, 1))
    bore_out = row["discharge-bore"] / 2
    rings = [
        forms.tube(2 * (bore_r + wall), 2 * (bore_r - 1), 0, width),
        forms.tube(2 * rim_r, 2 * (bore_r - 1), 0, land),
        forms.tube(2 * rim_r, 2 * (bore_r - 1), width - land, width),
    ]
    branch = cq.Solid.makeCone(throat_r + wall, bore_out + wall, height - flange / 2, *up)
    top = forms.post(row["outside"], centre, branch_y, height - flange, height)
    half, foot_low, foot_thick = row["foot-width"] / 2, -row["centre-height"], row["foot-thickness"]
    foot = [
        forms.box(
            (centre - row["foot-length"] / 2, centre + row["foot-length"] / 2),
            (-half, half),
            (foot_low, foot_low + foot_thick),
        ),
        forms.box((centre - wall, centre + wall), (-half * 0.7, half * 0.7), (foot_low, -bore_r)),
    ]
    body = rings[0].fuse(*rings[1:], spiral(wall), branch, top, *foot)
    void = [
        spiral(0.0),
        cq.Solid.makeCone(throat_r, bore_out, height, *up),
        forms.rod(2 * bore_r, 0, width),
    ]
    body = body.cut(*void)
    count, hole = round(row["holes"]), row["hole"]
    bolt_spots = [
        (
            centre + row["bolt-circle"] / 2 * math.cos(a),
            branch_y + row["bolt-circle"] / 2 * math.sin(a),
        )
        for a in (2 * math.pi * (i + 0.5) / count for i in range(count))
    ]
    body = body.cut(*[forms.post(hole, x, y, height - flange, height) for x, y in bolt_spots])
    foot_spots = [
        (centre + sx * row["foot-length"] * 0.34, sy * half * 0.84)
        for sx in (-1, 1)
        for sy in (-1, 1)
    ]
    body = body.cut(
        *[forms.post(hole, x, y, foot_low, foot_low + foot_thick) for x, y in foot_spots]
    )
    studs = forms.circle_spots(
        round(row["stud-count"]), row["stud-circle"], 180.0 / row["stud-count"]
    )
    body = forms.drill(body, row["stud-thread"], 0, at["cover-stud-bottom"], studs)
    body = forms.drill(body, row["stud-thread"], at["bracket-stud-bottom"], width, studs)
    return forms.one_solid(body)


PART = Part("volute", faces, shape, Material.CAST_IRON, mounts)
