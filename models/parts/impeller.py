"""Enclosed impeller with back vanes. Origin at the hub's rear face, which rests on the shims; suction end is -x.

Turns clockwise seen from the driver (towards -x, z up, y right), so a vane's tip trails: its angle
grows with radius in the counter-clockwise sense.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

VANE_INLET_SHARE = 0.82
"""Vane inlet radius as a share of the eye radius: how such impellers look."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name hub faces, back-vane tips, nose and bore."""
    tip, nose = -row["back-vane-setback"], -row["nose-distance"]
    hub_end = -row["hub-length"]
    return {
        "hub-seat": plane(0.0, +1, near=(0.0, float(row["hub-diameter"]) / 2 - 1)),
        "hub-end": plane(hub_end, -1, near=(float(hub_end), float(row["bore"]) / 2 + 2)),
        "back-vane-tip": plane(tip, +1, near=(float(tip), float(row["back-vane-outside"]) / 2 - 2)),
        "nose-end": plane(nose, -1, near=(float(nose), float(row["nose-diameter"]) / 2 - 1)),
        "nose": journal(row["nose-diameter"], float(nose) + 1),
        "bore": bore(row["bore"], float(hub_end) + 1),
        "outside": journal(
            row["outside-diameter"], float(tip) - float(row["back-vane-height"]) - 1
        ),
    }


def vane_angle_rad(row: Numbers, radius_mm: float) -> float:
    """Give a vane's angle at a radius: a logarithmic spiral that trails the rotation.

    Source: common practice for vane layout with a constant vane angle.
    """
    inlet = VANE_INLET_SHARE * row["eye-diameter"] / 2
    outlet = row["outside-diameter"] / 2
    return math.radians(row["vane-wrap"]) * math.log(radius_mm / inlet) / math.log(outlet / inlet)


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn a blank with nose and hub, add the back vanes, and cut out what lies between the shrouds and the vanes."""
    from models.parts import forms

    tip_r, eye_r, nose_r = (
        row["outside-diameter"] / 2,
        row["eye-diameter"] / 2,
        row["nose-diameter"] / 2,
    )
    hub_r, bore_r = row["hub-diameter"] / 2, row["bore"] / 2
    wall, width = row["shroud-thickness"], row["outlet-width"]
    back = at["back-vane-tip"] - row["back-vane-height"]
    nose, hub_end = at["nose-end"], at["hub-end"]
    rear_tip, front_tip = back - wall, back - wall - width
    outer_tip = front_tip - wall
    span, depth = tip_r - hub_r, rear_tip - hub_end
    rear_arc = [
        (rear_tip, tip_r),
        (rear_tip - 0.2 * depth, hub_r + 0.3 * span),
        (hub_end + 0.06 * depth, hub_r * 0.94),
    ]
    reach, drop = tip_r - eye_r, front_tip - nose
    inner_arc = [
        (front_tip - 0.78 * drop, eye_r),
        (front_tip - 0.2 * drop, eye_r + 0.3 * reach),
        (front_tip, tip_r),
    ]
    land = nose + row["nose-length"]
    outer_arc = [
        (outer_tip, tip_r),
        (land + 0.6 * (outer_tip - land), nose_r + 0.36 * (tip_r - nose_r)),
        (land, nose_r),
    ]
    blank = forms.turn_curved(
        [
            ("line", [(0, bore_r), (0, hub_r), (back, hub_r), (back, tip_r), (outer_tip, tip_r)]),
            ("arc", outer_arc),
            ("line", [(land, nose_r), (nose, nose_r), (nose, bore_r), (0, bore_r)]),
        ]
    )
    # all that is not metal between the shrouds, open at the rim and at the eye
    passage = forms.turn_curved(
        [
            (
                "line",
                [
                    (front_tip, tip_r),
                    (front_tip, tip_r + 1),
                    (rear_tip, tip_r + 1),
                    (rear_tip, tip_r),
                ],
            ),
            ("arc", rear_arc),
            (
                "line",
                [
                    rear_arc[-1],
                    (hub_end, hub_r * 0.86),
                    (hub_end, 0),
                    (nose - 1, 0),
                    (nose - 1, eye_r),
                    inner_arc[0],
                ],
            ),
            ("arc", inner_arc),
        ]
    )
    count = round(row["vane-count"])
    vane = _vane(row, hub_end, back)
    vanes = [vane.rotate((0, 0, 0), (1, 0, 0), 360 * i / count) for i in range(count)]
    void = passage.cut(*vanes)
    half = row["back-vane-width"] / 2
    bars = round(row["back-vane-count"])
    bar = forms.box(
        (back - wall / 2, at["back-vane-tip"]),
        (-half, half),
        (hub_r - 1, row["back-vane-outside"] / 2),
    )
    back_vanes = [bar.rotate((0, 0, 0), (1, 0, 0), 360 * (i + 0.5) / bars) for i in range(bars)]
    key_half = row["key-width"] / 2
    keyway = forms.box((hub_end - 1, 1), (-key_half, key_half), (0, bore_r + row["key-depth"]))
    return forms.one_solid(blank.fuse(*back_vanes).cut(void, keyway))


def _vane(row: Numbers, start_mm: float, end_mm: float) -> Solid:
    """Draw one vane's section, two arcs through the trailing spiral, in the (y, z) plane and extrude it along x."""
    import cadquery as cq

    inlet = VANE_INLET_SHARE * row["eye-diameter"] / 2
    outlet = row["outside-diameter"] / 2 + 2.0
    radii = (inlet, math.sqrt(inlet * outlet), outlet)
    half = row["vane-thickness"] / 2

    def side(sign: float) -> list[cq.Vector]:
        points = []
        for r in radii:
            a = vane_angle_rad(row, r)
            slope = math.radians(row["vane-wrap"]) / math.log(outlet / inlet)
            along = cq.Vector(
                0, math.cos(a) - slope * math.sin(a), math.sin(a) + slope * math.cos(a)
            ).normalized()
            normal = cq.Vector(0, -along.z, along.y) * (half * sign)
            points.append(cq.Vector(start_mm, r * math.cos(a), r * math.sin(a)) + normal)
        return points

    low, high = side(-1.0), side(+1.0)
    edges = [
        cq.Edge.makeThreePointArc(*low),
        cq.Edge.makeLine(low[-1], high[-1]),
        cq.Edge.makeThreePointArc(*reversed(high)),
        cq.Edge.makeLine(high[0], low[0]),
    ]
    wire = cq.Wire.assembleEdges(edges)
    return cq.Solid.extrudeLinear(wire, [], cq.Vector(end_mm - start_mm, 0, 0))


PART = Part("impeller", faces, shape, Material.STAINLESS)
