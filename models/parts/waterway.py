"""The volute's waterway: spiral, cutwater and discharge branch. Drawn with the discharge pointing up.

The spiral runs from the cutwater round to the throat, which lies level with the shaft on the left
seen from the driver; the branch rises from there. Angles count from the throat in the sense of
rotation (clockwise seen from the driver).
"""

from __future__ import annotations

import math

from models.parts.spots import circle_points
from models.spec.part import Numbers, Solid

SECTIONS = 12
"""Circles through which the spiral is lofted, cutwater to throat."""
INTO_BORE_SHARE = 0.14
"""Share of its own radius by which each circle reaches inside the casing bore: opens the spiral to the impeller."""
HUB_SHARE, HUB_LENGTH_SHARE = 1.2, 0.25
"""Thickening of the neck where it meets its flange, as shares of the neck's diameter and of the branch's height."""
BULGE_SHARE = 1.04
"""The cutwater's round nose, as a share of the wedge it ends: stands just proud, so that no two faces are tangent."""
CROTCH_SHARE = 0.62
"""How far up the branch the rib between neck and casing reaches, as a share of the discharge height."""


def spiral_radius_mm(row: Numbers, turn_deg: float) -> float:
    """Give the radius of the spiral's round section at an angle of rotation past the throat line.

    The area grows linearly with the angle (constant mean velocity), so the radius grows with its root.
    Source: common practice for volute layout.
    """
    small, large = row["tongue-diameter"] / 2, row["throat-diameter"] / 2
    start = row["cutwater-angle"]
    share = (turn_deg - start) / (360.0 - start)
    return math.sqrt(small**2 + share * (large**2 - small**2))


def centre_distance_mm(row: Numbers, radius_mm: float) -> float:
    """Give how far from the shaft's axis a section of the spiral has its centre."""
    return row["bore"] / 2 + radius_mm * (1.0 - INTO_BORE_SHARE)


def branch_offset_mm(row: Numbers) -> float:
    """Give how far the branch's axis passes the shaft's axis."""
    return centre_distance_mm(row, row["throat-diameter"] / 2)


def make_walls(row: Numbers) -> list[Solid]:
    """Make what is cast round the water: spiral, neck with its hub, flange and clean-out pad, rib in the crotch."""
    import cadquery as cq

    from models.parts import forms

    wall, centre, y = row["wall"], row["spiral-centre"], -branch_offset_mm(row)
    throat, out = row["throat-diameter"] / 2 + wall, row["discharge-bore"] / 2 + wall
    height, back = (
        row["discharge-height"],
        row["discharge-height"] - row["discharge-flange-thickness"],
    )
    hub = HUB_LENGTH_SHARE * height
    foot = height * (1.0 - HUB_LENGTH_SHARE) - row["discharge-flange-thickness"]
    up = cq.Vector(0, 0, 1)
    neck = cq.Solid.makeCone(
        throat, out, height - row["discharge-flange-thickness"] / 2, cq.Vector(centre, y, 0), up
    )
    taper = cq.Solid.makeCone(
        out * 0.98, out * HUB_SHARE, hub + 0.5, cq.Vector(centre, y, foot), up
    )
    top = CROTCH_SHARE * height
    corners = [(y, 0.0), (0.0, 0.0), (0.0, row["bore"] / 2), (y, top)]
    rib = cq.Solid.extrudeLinear(
        cq.Wire.makePolygon([cq.Vector(centre - wall / 2, *c) for c in corners], close=True),
        [],
        cq.Vector(wall, 0, 0),
    )
    flange = forms.post(row["outside"], centre, y, back, height)
    pad_y, pad_z = clean_out_spots(row)[0]
    outer = centre - row["clean-out-pad-height"]
    pad = forms.rod(row["clean-out-pad-diameter"], outer, centre, pad_y, pad_z)
    return [make_spiral(row, wall), neck, taper, flange, rib, pad]


def clean_out_spots(row: Numbers) -> list[tuple[float, float]]:
    """Give (y, z) in mm of the clean-out's middle, on the neck beyond the cutwater, and of its studs round it."""
    count, y, z = (
        round(row["clean-out-stud-count"]),
        -branch_offset_mm(row),
        row["clean-out-height"],
    )
    spots = circle_points(count, row["clean-out-stud-circle"], 180.0 / count)
    return [(y, z), *((y + across, z + up) for across, up in spots)]


def make_voids(row: Numbers) -> list[Solid]:
    """Make what is hollow: spiral, branch, clean-out, holes, and what is taken off the cutwater's thin edge."""
    import cadquery as cq

    from models.parts import forms

    centre, y, height = row["spiral-centre"], -branch_offset_mm(row), row["discharge-height"]
    branch = cq.Solid.makeCone(
        row["throat-diameter"] / 2,
        row["discharge-bore"] / 2,
        height,
        cq.Vector(centre, y, 0),
        cq.Vector(0, 0, 1),
    )
    back, count = height - row["discharge-flange-thickness"], round(row["holes"])
    bolts = [
        forms.post(row["hole"], centre + x, y + across, back, height)
        for x, across in forms.circle_spots(count, row["bolt-circle"], 180.0 / count)
    ]
    outer, depth = centre - row["clean-out-pad-height"], row["clean-out-hole-depth"]
    middle, *studs = clean_out_spots(row)
    opening = [
        forms.rod(row["clean-out-bore"], outer, centre, *middle),
        *[forms.rod(row["clean-out-thread"], outer, outer + depth, *spot) for spot in studs],
    ]
    return [make_spiral(row, 0.0), branch, make_edge(row), *bolts, *opening]


def make_edge(row: Numbers) -> Solid:
    """Make what is taken off the thin edge in which spiral and branch would meet."""
    from models.parts import forms

    centre, y = row["spiral-centre"], -branch_offset_mm(row)
    half, (nose_y, nose_z) = _mouth_half_mm(row), find_nose_mm(row)
    return forms.box((centre - half, centre + half), (y, nose_y / 2), (0, nose_z))


def make_nose(row: Numbers) -> Solid:
    """Make the round nose that ends the cutwater; it is cast on, not cut."""
    from models.parts import forms

    half, (y, z) = _mouth_half_mm(row), find_nose_mm(row)
    diameter = 2 * row["tongue-radius"] * BULGE_SHARE
    low, high = row["spiral-centre"] - half, row["spiral-centre"] + half
    # what stands proud of the bore would meet the spigots that go in there
    return forms.rod(diameter, low, high, y, z).cut(forms.rod(row["bore"], low, high))


def find_nose_mm(row: Numbers) -> tuple[float, float]:
    """Find (y, z) in mm of the cutwater's nose: there the wedge between bore and branch is as thick as the nose.

    The branch's inner side is taken upright, as it is at the throat.
    """
    inner = branch_offset_mm(row) - row["throat-diameter"] / 2
    y = inner - row["tongue-radius"]
    distance = row["bore"] / 2 + row["tongue-radius"]
    return -y, math.sqrt(distance**2 - y**2)


def _mouth_half_mm(row: Numbers) -> float:
    """Give half the width in mm of the throat's opening to the bore."""
    return row["throat-diameter"] / 2 * math.sqrt(1.0 - (1.0 - INTO_BORE_SHARE) ** 2)


def make_spiral(row: Numbers, extra: float) -> Solid:
    """Loft the spiral, cutwater to throat; `extra` in mm is added to its radius for the casting's outside."""
    import cadquery as cq

    start = row["cutwater-angle"]
    step = (360.0 - start) / (SECTIONS - 1)
    circles = []
    for turn_deg in (start + i * step for i in range(SECTIONS)):
        radius, turn = spiral_radius_mm(row, turn_deg), math.radians(turn_deg)
        out = cq.Vector(0, -math.cos(turn), math.sin(turn)) * centre_distance_mm(row, radius)
        along = cq.Vector(0, math.sin(turn), math.cos(turn))
        circles.append(
            cq.Wire.makeCircle(radius + extra, cq.Vector(row["spiral-centre"], 0, 0) + out, along)
        )
    return cq.Solid.makeLoft(circles, False)
