"""Impeller with back vanes. Origin at the hub's rear face, which rests on the shims; suction end is -x.

Turns clockwise seen from the driver (towards -x, z up, y right), so a vane's tip trails: its angle
grows with radius in the counter-clockwise sense. What it has follows from its row: `vane-edge-distance`
makes it semi-open, `hub-rim-diameter` gives it a rim that runs in a hub ring, `balance-hole-diameter`
gives it holes from behind the rear shroud to the eye, `drive-notch-count` notches that turn a seal.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.parts import hub, seal_drive
from models.spec.face import Face, journal, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

VANE_INLET_SHARE = 0.82
"""Mean vane inlet radius as a share of the eye radius: how such impellers look."""
INLET_AT_FRONT_SHARE, INLET_AT_BACK_SHARE = 0.96, 0.5
"""The same at the hub's suction end and at the rear shroud's back: the inlet edge slopes into the eye."""
VANE_POINTS = 5
"""Points through which each side of a vane is drawn."""
TRIMMED_SHARE = 0.6
"""Thickness of a vane at its inlet as a share of what it has at the rim."""
FOOT_SHARE = 1.0
"""Where a semi-open impeller's shroud begins to curve into the hub, as a share of the eye radius."""
NOSE_ROOM_SHARE = 1.22
"""Radius before the vane edges out of which a semi-open impeller's hub nose is turned, as a share of the hub's."""
HUB_NOSE_SHARE = 0.86
"""Hub radius at its suction end as a share of the hub's."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name hub faces, bore, outside and back-vane tips; the nose or the vane edges; the hub rim if there is one."""
    tip = -row["back-vane-setback"]
    back = float(tip) - float(row["back-vane-height"])
    named = {
        "hub-seat": plane(0.0, +1, near=(0.0, float(row["hub-diameter"]) / 2 - 1)),
        "back-vane-tip": plane(tip, +1, near=(float(tip), float(row["back-vane-outside"]) / 2 - 2)),
        "outside": journal(row["outside-diameter"], back - 1),
    }
    return {**named, **hub.faces(row), **_front_faces(row), **_hub_rim_faces(row)}


def _front_faces(row: Row) -> dict[str, Face]:
    if "vane-edge-distance" in row:
        edge = -row["vane-edge-distance"]
        near = (float(edge), float(row["outside-diameter"]) / 2 - 2)
        return {"vane-edge": plane(edge, -1, near=near)}
    nose = -row["nose-distance"]
    return {
        "nose-end": plane(nose, -1, near=(float(nose), float(row["nose-diameter"]) / 2 - 1)),
        "nose": journal(row["nose-diameter"], float(nose) + 1),
    }


def _hub_rim_faces(row: Row) -> dict[str, Face]:
    if "hub-rim-diameter" not in row:
        return {}
    end, diameter = row["hub-rim-reach"], row["hub-rim-diameter"]
    return {
        "hub-rim": journal(diameter, float(end) - 1),
        "hub-rim-end": plane(end, +1, near=(float(end), float(diameter) / 2 - 1)),
    }


def vane_angle_rad(row: Numbers, radius_mm: float) -> float:
    """Give a vane's angle at a radius: a logarithmic spiral that trails the rotation.

    Source: common practice for vane layout with a constant vane angle.
    """
    inlet = VANE_INLET_SHARE * row["eye-diameter"] / 2
    outlet = row["outside-diameter"] / 2
    return math.radians(row["vane-wrap"]) * math.log(radius_mm / inlet) / math.log(outlet / inlet)


def balance_hole_angle_rad(row: Numbers) -> float:
    """Give the angle of the first balance hole: midway between two vanes at its own radius."""
    return vane_angle_rad(row, row["balance-hole-circle"] / 2) + math.pi / row["vane-count"]


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn a blank, add the back vanes and the hub rim, and cut out all that is not metal before the rear shroud."""
    from models.parts import forms

    back = at["back-vane-tip"] - row["back-vane-height"]
    turn = _turn_semi_open if "vane-edge" in at else _turn_enclosed
    blank, passage = turn(at, row, back)
    count = round(row["vane-count"])
    vane = _vane(row, -row["hub-length"], back)
    void = passage.cut(*[vane.rotate((0, 0, 0), (1, 0, 0), 360 * i / count) for i in range(count)])
    added = _back_vanes(at, row, back) + _hub_rim(at, row, back)
    holes = [*_balance_holes(at, row), *seal_drive.make_notches(row)]
    body = blank.fuse(*added).cut(void, hub.make_bore(at, row), *holes)
    return forms.one_solid(body.fuse(hub.make_dome(at, row)) if "dome-height" in row else body)


def _turn_enclosed(at: Numbers, row: Numbers, back: float) -> tuple[Solid, Solid]:
    """Turn the blank with both shrouds and the nose, and what lies open between them, at the rim and at the eye."""
    from models.parts import forms

    tip_r, eye_r = row["outside-diameter"] / 2, row["eye-diameter"] / 2
    nose_r, hub_r = row["nose-diameter"] / 2, row["hub-diameter"] / 2
    wall, nose, hub_end = row["shroud-thickness"], at["nose-end"], -row["hub-length"]
    rear_tip, front_tip = back - wall, back - wall - row["outlet-width"]
    outer_tip, land = front_tip - wall, nose + row["nose-length"]
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
    outer_arc = [
        (outer_tip, tip_r),
        (land + 0.6 * (outer_tip - land), nose_r + 0.36 * (tip_r - nose_r)),
        (land, nose_r),
    ]
    blank = forms.turn_curved(
        [
            ("line", [*_rear_corners(row, back), (outer_tip, tip_r)]),
            ("arc", outer_arc),
            ("line", [(land, nose_r), (nose, nose_r), (nose, 0), (0, 0)]),
        ]
    )
    rim = [(front_tip, tip_r), (front_tip, tip_r + 1), (rear_tip, tip_r + 1), (rear_tip, tip_r)]
    nose_r = hub_r * HUB_NOSE_SHARE
    eye = [(hub_end, nose_r), (hub_end, 0), (nose - 1, 0), (nose - 1, eye_r), inner_arc[0]]
    passage = forms.turn_curved(
        [("line", rim), ("arc", rear_arc), ("line", [rear_arc[-1], *eye]), ("arc", inner_arc)]
    )
    return blank, passage


def _turn_semi_open(at: Numbers, row: Numbers, back: float) -> tuple[Solid, Solid]:
    """Turn the blank from the rear shroud to the vane edges and the hub, and what lies open before the shroud."""
    from models.parts import forms

    tip_r, hub_r = row["outside-diameter"] / 2, row["hub-diameter"] / 2
    edge, hub_end, rear_tip = at["vane-edge"], -row["hub-length"], back - row["shroud-thickness"]
    depth, foot_r = rear_tip - hub_end, FOOT_SHARE * row["eye-diameter"] / 2
    foot = (rear_tip - 0.04 * depth, foot_r)
    rear_arc = [
        foot,
        (rear_tip - 0.37 * depth, hub_r + 0.27 * (foot_r - hub_r)),
        (hub_end + 0.06 * depth, hub_r * 0.94),
    ]
    corners = _rear_corners(row, back)
    collar = NOSE_ROOM_SHARE * hub_r
    blank = forms.turn([*corners, (edge, tip_r), (edge, collar), (hub_end, collar), (hub_end, 0)])
    nose_r = hub_r * HUB_NOSE_SHARE
    front = [(hub_end, nose_r), (hub_end - 1, nose_r), (hub_end - 1, tip_r + 1)]
    passage = forms.turn_curved(
        [
            ("line", [(rear_tip, tip_r), foot]),
            ("arc", rear_arc),
            ("line", [rear_arc[-1], *front, (rear_tip, tip_r + 1), (rear_tip, tip_r)]),
        ]
    )
    return blank, passage


def _rear_corners(row: Numbers, back: float) -> list[tuple[float, float]]:
    hub_r, tip_r = row["hub-diameter"] / 2, row["outside-diameter"] / 2
    return [(0, 0), (0, hub_r), (back, hub_r), (back, tip_r)]


def _back_vanes(at: Numbers, row: Numbers, back: float) -> list[Solid]:
    """Make the ribs behind the rear shroud; with a hub rim they begin outside the ring it runs in."""
    from models.parts import forms

    half, count = row["back-vane-width"] / 2, round(row["back-vane-count"])
    inner = (
        row["back-vane-inside"] / 2 if "back-vane-inside" in row else row["hub-diameter"] / 2 - 1
    )
    bar = forms.box(
        (back - row["shroud-thickness"] / 2, at["back-vane-tip"]),
        (-half, half),
        (inner, row["back-vane-outside"] / 2),
    )
    return [bar.rotate((0, 0, 0), (1, 0, 0), 360 * (i + 0.5) / count) for i in range(count)]


def _hub_rim(at: Numbers, row: Numbers, back: float) -> list[Solid]:
    from models.parts import forms

    if "hub-rim-end" not in at:
        return []
    wide, bored = row["hub-rim-diameter"], row["hub-rim-bore"]
    return [forms.tube(wide, bored, back - row["shroud-thickness"] / 2, at["hub-rim-end"])]


def _balance_holes(at: Numbers, row: Numbers) -> list[Solid]:
    """Make the holes along the shaft through the rear shroud, one between every two vanes."""
    from models.parts import forms

    if "balance-hole-diameter" not in row:
        return []
    hole = forms.rod(
        row["balance-hole-diameter"], -row["hub-length"], 0, row["balance-hole-circle"] / 2
    )
    count, first = round(row["vane-count"]), math.degrees(balance_hole_angle_rad(row))
    return [hole.rotate((0, 0, 0), (1, 0, 0), first + 360 * i / count) for i in range(count)]


def _vane(row: Numbers, start_mm: float, end_mm: float) -> Solid:
    """Loft one vane between its sections at the hub's suction end and at the rear shroud: its rounded inlet slopes."""
    import cadquery as cq

    mean = row["eye-diameter"] / 2
    inlets = (INLET_AT_FRONT_SHARE * mean, INLET_AT_BACK_SHARE * mean)
    sections = [_vane_section(row, x, r) for x, r in zip((start_mm, end_mm), inlets, strict=True)]
    return cq.Solid.makeLoft(sections, True)


def _vane_section(row: Numbers, x_mm: float, inlet_mm: float) -> Solid:
    """Draw a vane's section at one axial position: two sides along the trailing spiral, round at the inlet."""
    import cadquery as cq

    outlet = row["outside-diameter"] / 2 + 2.0  # past the rim: the blank ends it
    slope = vane_angle_rad(row, math.e) - vane_angle_rad(row, 1.0)
    middle, normal = [], []
    for i in range(VANE_POINTS):
        r = inlet_mm * (outlet / inlet_mm) ** (i / (VANE_POINTS - 1))
        a = vane_angle_rad(row, r)
        out, round_ = (
            cq.Vector(0, math.cos(a), math.sin(a)),
            cq.Vector(0, -math.sin(a), math.cos(a)),
        )
        along = (out + round_ * slope).normalized()
        middle.append(out * r + cq.Vector(x_mm, 0, 0))
        normal.append(cq.Vector(0, -along.z, along.y))
    halves = [
        row["vane-thickness"] / 2 * (TRIMMED_SHARE + (1 - TRIMMED_SHARE) * i / (VANE_POINTS - 1))
        for i in range(VANE_POINTS)
    ]
    low, high = (
        [m + n * (h * sign) for m, n, h in zip(middle, normal, halves, strict=True)]
        for sign in (-1.0, 1.0)
    )
    tip = middle[0] + (middle[0] - middle[1]).normalized() * halves[0]
    edges = [
        cq.Edge.makeSpline(low),
        cq.Edge.makeLine(low[-1], high[-1]),
        cq.Edge.makeSpline(high[::-1]),
        cq.Edge.makeThreePointArc(high[0], tip, low[0]),
    ]
    return cq.Wire.assembleEdges(edges)


PART = Part("impeller", faces, shape, Material.STAINLESS)
