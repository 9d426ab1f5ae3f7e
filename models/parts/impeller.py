"""Enclosed impeller with back vanes. Origin at the hub's rear face, which rests on the shims; suction end is -x.

Turns clockwise seen from the driver (towards -x, z up, y right), so a vane's tip trails: its angle
grows with radius in the counter-clockwise sense.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.spec.face import Face, bore, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

VANE_POINTS = 9
"""Points through which each side of a vane is drawn."""
SINK_MM = 0.6
"""How far vanes are sunk into the shrouds so that they fuse."""
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
        "outside": journal(row["outside-diameter"], float(tip) - float(row["back-vane-height"]) - 1),
    }


def vane_angle_rad(row: Numbers, radius_mm: float) -> float:
    """Give a vane's angle at a radius: a logarithmic spiral that trails the rotation.

    Source: common practice for vane layout with a constant vane angle.
    """
    inlet = VANE_INLET_SHARE * row["eye-diameter"] / 2
    outlet = row["outside-diameter"] / 2
    return math.radians(row["vane-wrap"]) * math.log(radius_mm / inlet) / math.log(outlet / inlet)


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the two shrouds and the nose, fuse the curved vanes between them and the back vanes behind."""
    from models.parts import forms

    tip_r, eye_r, nose_r = row["outside-diameter"] / 2, row["eye-diameter"] / 2, row["nose-diameter"] / 2
    hub_r, bore_r = row["hub-diameter"] / 2, row["bore"] / 2
    wall, width = row["shroud-thickness"], row["outlet-width"]
    back = at["back-vane-tip"] - row["back-vane-height"]
    nose, hub_end = at["nose-end"], at["hub-end"]
    rear_tip, front_tip = back - wall, back - wall - width
    outer_tip = front_tip - wall
    span, depth = tip_r - hub_r, rear_tip - hub_end
    rear_curve = [
        (rear_tip, tip_r), (rear_tip - 0.07 * depth, hub_r + 0.66 * span), (rear_tip - 0.26 * depth, hub_r + 0.34 * span),
        (rear_tip - 0.6 * depth, hub_r + 0.09 * span), (hub_end + 0.06 * depth, hub_r * 0.94),
    ]  # fmt: skip
    rear = forms.turn_curved(
        [
            ("line", [(0, bore_r), (0, hub_r), (back, hub_r), (back, tip_r), (rear_tip, tip_r)]),
            ("curve", rear_curve),
            ("line", [rear_curve[-1], (hub_end, hub_r * 0.86), (hub_end, bore_r), (0, bore_r)]),
        ]
    )
    reach, drop = tip_r - eye_r, front_tip - nose
    inner_curve = [
        (front_tip, tip_r), (front_tip - 0.06 * drop, eye_r + 0.6 * reach), (front_tip - 0.24 * drop, eye_r + 0.25 * reach),
        (front_tip - 0.52 * drop, eye_r + 0.06 * reach), (front_tip - 0.78 * drop, eye_r),
    ]  # fmt: skip
    land = nose + row["nose-length"]
    outer_curve = [
        (land, nose_r), (land + 0.3 * (outer_tip - land), nose_r + 0.16 * (tip_r - nose_r)),
        (land + 0.75 * (outer_tip - land), nose_r + 0.52 * (tip_r - nose_r)), (outer_tip, tip_r),
    ]  # fmt: skip
    front = forms.turn_curved(
        [
            ("curve", inner_curve),
            ("line", [inner_curve[-1], (nose, eye_r), (nose, nose_r), (land, nose_r)]),
            ("curve", outer_curve),
            ("line", [(outer_tip, tip_r), (front_tip, tip_r)]),
        ]
    )
    passage = forms.turn_curved(
        [
            ("curve", [(x + SINK_MM, r) for x, r in rear_curve]),
            ("line", [(rear_curve[-1][0] + SINK_MM, rear_curve[-1][1]), (inner_curve[-1][0] - SINK_MM, rear_curve[-1][1]),
                      (inner_curve[-1][0] - SINK_MM, eye_r)]),
            ("curve", [(x - SINK_MM, r) for x, r in reversed(inner_curve)]),
            ("line", [(front_tip - SINK_MM, tip_r), (rear_tip + SINK_MM, tip_r)]),
        ]
    )  # fmt: skip
    count = round(row["vane-count"])
    vane = _vane(row, hub_end, back).intersect(passage)
    vanes = [vane.rotate((0, 0, 0), (1, 0, 0), 360 * i / count) for i in range(count)]
    half = row["back-vane-width"] / 2
    bars = round(row["back-vane-count"])
    bar = forms.box((back - SINK_MM, at["back-vane-tip"]), (-half, half), (hub_r - 1, row["back-vane-outside"] / 2))
    back_vanes = [bar.rotate((0, 0, 0), (1, 0, 0), 360 * (i + 0.5) / bars) for i in range(bars)]
    body = rear.fuse(front, *vanes, *back_vanes)
    key_half = row["key-width"] / 2
    keyway = forms.box((hub_end - 1, 1), (-key_half, key_half), (0, bore_r + row["key-depth"]))
    return forms.one_solid(body.cut(keyway))


def _vane(row: Numbers, start_mm: float, end_mm: float) -> Solid:
    """Draw one vane's section in the (y, z) plane and extrude it along x."""
    import cadquery as cq

    inlet = VANE_INLET_SHARE * row["eye-diameter"] / 2
    outlet = row["outside-diameter"] / 2 + 1.0
    radii = [inlet * (outlet / inlet) ** (i / (VANE_POINTS - 1)) for i in range(VANE_POINTS)]
    half = row["vane-thickness"] / 2

    def side(sign: float) -> list[cq.Vector]:
        points = []
        for r in radii:
            a = vane_angle_rad(row, r)
            slope = vane_angle_rad(row, r * 1.001) - a
            along = cq.Vector(0, 0.001 * r * math.cos(a) - r * slope * math.sin(a), 0.001 * r * math.sin(a) + r * slope * math.cos(a))
            normal = cq.Vector(0, -along.z, along.y).normalized() * (half * sign)
            points.append(cq.Vector(start_mm, r * math.cos(a), r * math.sin(a)) + normal)
        return points

    low, high = side(-1.0), side(+1.0)
    edges = [
        cq.Edge.makeSpline(low),
        cq.Edge.makeLine(low[-1], high[-1]),
        cq.Edge.makeSpline(list(reversed(high))),
        cq.Edge.makeLine(high[0], low[0]),
    ]
    wire = cq.Wire.assembleEdges(edges)
    return cq.Solid.extrudeLinear(wire, [], cq.Vector(end_mm - start_mm, 0, 0))


PART = Part("impeller", faces, shape, Material.STAINLESS)
