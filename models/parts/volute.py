"""Volute: the spiral casing round the impeller. Origin on the shaft axis at the casing face, x towards the drive end.

The spiral widens with rotation (clockwise seen from the driver) from the cutwater to the throat,
whence the discharge leaves tangentially. The discharge has three standard positions (common practice),
named as seen from the driver: top vertical (rising on the left, the usual one), top horizontal
(over the shaft, to the right), bottom horizontal (under the shaft, to the left). Spiral and branch turn
about the shaft; flanges, stud circles and feet stay.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from models.parts.spots import circle_mounts
from models.spec.face import Axis, Face, bore, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

CUTWATER_DEG = 30.0
"""Where the spiral starts, in degrees of rotation after the throat."""
SECTIONS = 12
"""Circles through which the spiral is lofted, cutwater to throat."""
INTO_BORE_SHARE = 0.14
"""Share of the throat radius by which the spiral's circles reach inside the casing bore: opens the spiral to the impeller."""


TOP_HORIZONTAL_DEG, BOTTOM_HORIZONTAL_DEG = 90.0, -90.0
"""How far spiral and branch are turned from top vertical, in degrees clockwise seen from the driver."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the faces with the discharge at the top, pointing up."""
    return _faces(row, plane(row["discharge-height"], +1, Axis.Z))


def faces_top_horizontal(row: Row) -> Mapping[str, Face]:
    """Name the faces with the discharge at the top, pointing to the right seen from the driver."""
    return _faces(row, plane(row["discharge-height"], +1, Axis.Y))


def faces_bottom_horizontal(row: Row) -> Mapping[str, Face]:
    """Name the faces with the discharge at the bottom, pointing to the left seen from the driver."""
    return _faces(row, plane(-row["discharge-height"], -1, Axis.Y))


def _faces(row: Row, discharge: Face) -> Mapping[str, Face]:
    """Name the casing face, the rear face, the bores, the bottoms of the stud holes and the discharge face."""
    width = row["width"]
    return {
        "casing-face": plane(0.0, -1),
        "rear-face": plane(width, +1),
        "bore-front": bore(row["bore"], float(row["land"]) / 2),
        "bore-rear": bore(row["bore"], float(width) - float(row["land"]) / 2),
        "cover-stud-bottom": plane(row["stud-hole-depth"], -1),
        "bracket-stud-bottom": plane(width - row["stud-hole-depth"], +1),
        "discharge-face": discharge,
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
    """Make the casing with its discharge at the top, pointing up."""
    return _shape(at, row, 0.0)


def shape_top_horizontal(at: Numbers, row: Numbers) -> Solid:
    """Make the casing with its discharge at the top, pointing to the right seen from the driver."""
    return _shape(at, row, TOP_HORIZONTAL_DEG)


def shape_bottom_horizontal(at: Numbers, row: Numbers) -> Solid:
    """Make the casing with its discharge at the bottom, pointing to the left seen from the driver."""
    return _shape(at, row, BOTTOM_HORIZONTAL_DEG)


def _shape(at: Numbers, row: Numbers, clockwise_deg: float) -> Solid:
    """Make the casing: ring with two flanges, spiral, discharge branch with drilled flange, foot."""
    from models.parts import forms

    wall, width, land = row["wall"], row["width"], row["land"]
    bore_r, rim_r = row["bore"] / 2, row["rim-diameter"] / 2
    rings = [
        forms.tube(2 * (bore_r + wall), 2 * (bore_r - 1), 0, width),
        forms.tube(2 * rim_r, 2 * (bore_r - 1), 0, land),
        forms.tube(2 * rim_r, 2 * (bore_r - 1), width - land, width),
    ]
    walls, voids = _waterway(row)
    # a right-handed turn about x, which points at the driver, is anticlockwise to the driver
    walls, voids = (
        [one.rotate((0, 0, 0), (1, 0, 0), -clockwise_deg) for one in found]
        for found in (walls, voids)
    )
    feet, holes = _feet(row)
    body = rings[0].fuse(*rings[1:], *walls, *feet)
    body = body.cut(*voids, forms.rod(2 * bore_r, 0, width)).cut(*holes)
    studs = forms.circle_spots(
        round(row["stud-count"]), row["stud-circle"], 180.0 / row["stud-count"]
    )
    body = forms.drill(body, row["stud-thread"], 0, at["cover-stud-bottom"], studs)
    body = forms.drill(body, row["stud-thread"], at["bracket-stud-bottom"], width, studs)
    return forms.one_solid(body)


def _waterway(row: Numbers) -> tuple[list[Solid], list[Solid]]:
    """Make what is cast round the water and what is hollow, discharge at the top pointing up."""
    import cadquery as cq

    from models.parts import forms

    wall, centre = row["wall"], row["spiral-centre"]
    bore_r, reach = row["bore"] / 2, INTO_BORE_SHARE * row["throat-diameter"] / 2
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

    throat_r, bore_out = row["throat-diameter"] / 2, row["discharge-bore"] / 2
    branch_y = -(bore_r + throat_r - reach)
    up = (cq.Vector(centre, branch_y, 0), cq.Vector(0, 0, 1))
    walls = [
        spiral(wall),
        cq.Solid.makeCone(throat_r + wall, bore_out + wall, height - flange / 2, *up),
        forms.post(row["outside"], centre, branch_y, height - flange, height),
    ]
    count = round(row["holes"])
    spots = forms.circle_spots(count, row["bolt-circle"], 180.0 / count)
    voids = [
        spiral(0.0),
        cq.Solid.makeCone(throat_r, bore_out, height, *up),
        *[
            forms.post(row["hole"], centre + x, branch_y + y, height - flange, height)
            for x, y in spots
        ],
    ]
    return walls, voids


def _feet(row: Numbers) -> tuple[list[Solid], list[Solid]]:
    """Make the foot plate with its web, and the holes through the plate."""
    from models.parts import forms

    centre, half, length = row["spiral-centre"], row["foot-width"] / 2, row["foot-length"]
    low, wall = -row["centre-height"], row["wall"]
    top = low + row["foot-thickness"]
    feet = [
        forms.box((centre - length / 2, centre + length / 2), (-half, half), (low, top)),
        forms.box(
            (centre - wall, centre + wall), (-half * 0.7, half * 0.7), (low, -row["bore"] / 2)
        ),
    ]
    holes = [
        forms.post(row["hole"], centre + sx * length * 0.34, sy * half * 0.84, low, top)
        for sx in (-1, 1)
        for sy in (-1, 1)
    ]
    return feet, holes


def _part(
    named: Callable[[Row], Mapping[str, Face]], made: Callable[[Numbers, Numbers], Solid]
) -> Part:
    return Part("volute", named, made, Material.CAST_IRON, mounts)


TOP_VERTICAL = _part(faces, shape)
TOP_HORIZONTAL = _part(faces_top_horizontal, shape_top_horizontal)
BOTTOM_HORIZONTAL = _part(faces_bottom_horizontal, shape_bottom_horizontal)
