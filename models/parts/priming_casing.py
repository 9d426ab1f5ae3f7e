"""Casing of a self-priming pump: a vessel with the volute cast inside it. Origin on the shaft axis at the cover face, x towards the drive end.

A wall across it parts two rooms. In front is the suction chamber, which keeps the priming charge: the
suction comes in above the impeller's eye, so the casing cannot run empty. Behind is the separation
chamber, into which the volute throws air and water; the air leaves by the discharge at the top, the
water sinks and runs back into the volute through the recirculation port. The wear plate closes the
wall round the impeller's eye. Source: common practice.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.parts.spots import circle_mounts, circle_points
from models.parts.waterway import (
    branch_offset_mm,
    make_edge,
    make_nose,
    make_spiral,
    spiral_radius_mm,
)
from models.spec.face import Axis, Face, bore, plane
from models.spec.part import Material, Mount, Numbers, Part, Row, Solid

EDGE_SHARE, CORNER_SHARE = 1.2, 0.3
"""Rounding of the vessel's front and rear edges as a share of its wall; of its upper corners as a share of its half width."""
FOOT_WIDTH_SHARE, LEG_SHARE = 0.94, 0.58
"""How wide the feet stand, as a share of the vessel; where on them the legs stand."""
LEG_LENGTH_SHARE, LEG_WIDTH_SHARE = 0.8, 0.6
"""A leg along and across the shaft, as shares of the foot's length."""

PORT_SHARE = 1.5
"""How far below the spiral the recirculation port is bored, as a share of the wall: through its wall, not the vessel's."""

STUMP_SHARE = 1.001
"""Bore of the stump above the throat as a share of the throat's: no two faces of them are tangent."""
DRAINS = ("front-drain-position", "spiral-centre")
"""Rows that say where along the shaft the two chambers are drained."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name what closes the front, the rear, the two flanges, the filling and the drains, and the bores inside."""
    width, start = row["width"], row["plate-wall-start"]
    return {
        "cover-face": plane(0.0, -1, near=(0.0, float(row["cover-stud-circle"]) / 2)),
        "cover-bore": bore(row["cover-bore"], float(row["front-land"]) / 2),
        "cover-stud-bottom": plane(row["cover-stud-depth"], -1),
        "plate-bore": bore(row["plate-bore"], float(start) + 2),
        "rear-face": plane(width, +1),
        "bore-rear": bore(row["bore"], float(width) - float(row["land"]) / 2),
        "bracket-stud-bottom": plane(width - row["stud-hole-depth"], +1),
        "suction-pad": plane(-row["pad-height"], -1),
        "suction-stud-bottom": plane(row["flange-stud-depth"] - row["pad-height"], -1),
        "discharge-pad": plane(row["height"] + row["pad-height"], +1, Axis.Z),
        "discharge-stud-bottom": plane(
            row["height"] + row["pad-height"] - row["flange-stud-depth"], +1, Axis.Z
        ),
        "fill-pad": plane(row["height"] + row["fill-pad-height"], +1, Axis.Z),
        "fill-stud-bottom": plane(
            row["height"] + row["fill-pad-height"] - row["fill-stud-depth"], +1, Axis.Z
        ),
        "drain-pad": plane(-row["drain-pad-depth"], -1, Axis.Z),
    }


def mounts(row: Row) -> Mapping[str, tuple[Mount, ...]]:
    """Give the spots of studs, adjusting screws, flanges, fill cover and drains.

    Studs of cover and suction flange point towards the suction end, those of the top upwards; drain plugs upwards.
    """
    frame, cover = round(float(row["stud-count"])), round(float(row["cover-stud-count"]))
    circle, screws = float(row["cover-stud-circle"]), round(float(row["adjusting-screw-count"]))
    return {
        "bracket-studs": circle_mounts(frame, float(row["stud-circle"]), 180.0 / frame),
        "cover-studs": circle_mounts(cover, circle, 180.0 / cover, sign=-1),
        "adjusting-screws": circle_mounts(screws, circle),
        **_flange_mounts(row),
        **_fill_mounts(row),
        "drain": tuple(Mount(x=row[key], axis=Axis.Z) for key in DRAINS),
    }


def _flange_mounts(row: Row) -> dict[str, tuple[Mount, ...]]:
    count, circle = round(float(row["flange-stud-count"])), float(row["flange-stud-circle"])
    spots, height = circle_points(count, circle, 180.0 / count), float(row["suction-height"])
    top = row["discharge-position"]
    return {
        "suction": (Mount(z=height, sign=-1),),
        "flap-outside": (Mount(z=height),),
        "suction-studs": tuple(Mount(y=y, z=height + z, sign=-1) for y, z in spots),
        "discharge": (Mount(x=top, axis=Axis.Z),),
        "discharge-studs": tuple(Mount(x=top + x, y=y, axis=Axis.Z) for y, x in spots),
    }


def _fill_mounts(row: Row) -> dict[str, tuple[Mount, ...]]:
    x, half = row["fill-position"], float(row["fill-stud-spacing"]) / 2
    return {
        "fill": (Mount(x=x, axis=Axis.Z),),
        "fill-studs": tuple(Mount(x=x, y=y, axis=Axis.Z) for y in (-half, half)),
    }


def find_charge_mm(row: Numbers) -> float:
    """Give how high in mm above the shaft's axis the charge stands when the suction line has run empty: to the suction's lowest edge."""
    return row["suction-height"] - row["mouth-bore"] / 2


def find_port_mm(row: Numbers) -> tuple[float, float]:
    """Give the heights in mm, below the shaft's axis as negative, between which the recirculation port is bored: chamber and spiral."""
    turn = 270.0
    radius = spiral_radius_mm(row, turn)
    middle = row["bore"] / 2 + radius
    return -middle - radius - PORT_SHARE * row["wall"], -middle + radius / 2


def shape(at: Numbers, row: Numbers) -> Solid:
    """Make the vessel, hollow its two chambers, cast volute, wall and flange rings in, bore what is bored, set it on feet."""
    from models.parts import forms

    front, back = row["front-land"], at["rear-face"] - row["land"]
    shell = _outside(row).cut(*_chambers(row))
    start, end, width = row["plate-wall-start"], row["plate-wall-end"], at["rear-face"]
    inner, wall = row["bore"] / 2 - 1, row["wall"]
    ring = forms.turn(
        [
            (start, row["plate-bore"] / 2 - 1), (end, inner), (width, inner), (width, row["rim-diameter"] / 2),
            (back, row["rim-diameter"] / 2), (back, inner + 1 + wall), (start, inner + 1 + wall),
        ]
    )  # fmt: skip
    boss = forms.tube(row["cover-rim-diameter"], row["cover-bore"] - 2, 0, front + wall / 2)
    barrier = _slab(row, start, end, row["wall"] / 2)
    pads, holes = _pads(at, row)
    body = shell.fuse(barrier, ring, boss, *_branch(row), *pads, *_feet(row))
    voids = [
        make_spiral(row, 0.0),
        _branch_void(row),
        make_edge(row),
        forms.rod(row["plate-bore"], start - 1, end),
        forms.rod(row["bore"], end, width),
        forms.rod(row["cover-bore"], 0, front + wall),
        *holes,
    ]
    return forms.one_solid(_drill_rings(body.cut(*voids).fuse(make_nose(row)), at, row))


def _drill_rings(body: Solid, at: Numbers, row: Numbers) -> Solid:
    """Tap the two rings for the studs of cover and bracket."""
    from models.parts import forms

    for count, circle, thread, low, high in (
        (
            "cover-stud-count",
            "cover-stud-circle",
            "cover-stud-thread",
            0.0,
            at["cover-stud-bottom"],
        ),
        ("stud-count", "stud-circle", "stud-thread", at["bracket-stud-bottom"], at["rear-face"]),
    ):
        number = round(row[count])
        spots = forms.circle_spots(number, row[circle], 180.0 / number)
        body = forms.drill(body, row[thread], low, high, spots)
    return body


def _slab(row: Numbers, start_mm: float, end_mm: float, inset_mm: float) -> Solid:
    """Make a slab along x with the vessel's outline, set in by `inset_mm`: round below, upright sides, rounded upper corners."""
    import cadquery as cq

    half, top = row["half-width"] - inset_mm, row["height"] - inset_mm
    corner = CORNER_SHARE * row["half-width"] - inset_mm
    bend = corner * math.sqrt(0.5)

    def at(y: float, z: float) -> cq.Vector:
        return cq.Vector(start_mm, y, z)

    low, high = top - corner, half - corner
    edges = [
        cq.Edge.makeThreePointArc(at(-half, 0), at(0, -half), at(half, 0)),
        cq.Edge.makeLine(at(half, 0), at(half, low)),
        cq.Edge.makeThreePointArc(at(half, low), at(high + bend, low + bend), at(high, top)),
        cq.Edge.makeLine(at(high, top), at(-high, top)),
        cq.Edge.makeThreePointArc(at(-high, top), at(-high - bend, low + bend), at(-half, low)),
        cq.Edge.makeLine(at(-half, low), at(-half, 0)),
    ]
    wire = cq.Wire.assembleEdges(edges)
    return cq.Solid.extrudeLinear(wire, [], cq.Vector(end_mm - start_mm, 0, 0))


def _outside(row: Numbers) -> Solid:
    """Make the vessel's outside: the slab, and above the bracket the part of the separation chamber that reaches back."""
    import cadquery as cq

    from models.parts import forms

    front, back = row["front-land"], row["width"] - row["land"]
    main = cq.Workplane(_slab(row, front, back, 0.0)).faces("<X or >X").edges()
    body: Solid = main.fillet(EDGE_SHARE * row["wall"]).val()
    half, top = row["rear-chamber-width"] / 2, row["height"]
    low = top - row["rear-chamber-height"]
    hind = cq.Workplane(
        forms.box((back - row["wall"], row["rear-chamber-end"]), (-half, half), (low, top))
    )
    return body.fuse(hind.edges(">X or |X").fillet(EDGE_SHARE * row["wall"]).val())


def _chambers(row: Numbers) -> list[Solid]:
    """Make what is hollow: suction chamber before the wall, separation chamber behind it, with its part above the bracket."""
    from models.parts import forms

    wall, back = row["wall"], row["width"] - row["land"]
    half = row["rear-chamber-width"] / 2 - wall
    low, top = row["height"] - row["rear-chamber-height"] + wall, row["height"] - wall
    start = row["plate-wall-end"]
    return [
        _slab(row, row["front-land"] + wall, row["plate-wall-start"], wall),
        _slab(row, start, back - wall, wall),
        forms.box((start + wall, row["rear-chamber-end"] - wall), (-half, half), (low, top)),
    ]


def _branch(row: Numbers) -> list[Solid]:
    """Make the volute's spiral and the stump through which it throws into the separation chamber."""
    from models.parts import forms

    wide = row["throat-diameter"] + 2 * row["wall"]
    y = -branch_offset_mm(row)
    stump = forms.post(wide, row["spiral-centre"], y, 0, row["branch-height"])
    return [make_spiral(row, row["wall"]), stump]


def _branch_void(row: Numbers) -> Solid:
    from models.parts import forms

    y, high = -branch_offset_mm(row), row["branch-height"] + 1
    return forms.post(row["throat-diameter"] * STUMP_SHARE, row["spiral-centre"], y, 0, high)


def _pads(at: Numbers, row: Numbers) -> tuple[list[Solid], list[Solid]]:
    """Make the pads of both flanges, filling and drains; and what is bored and tapped through them, the recirculation port too."""
    from models.parts import forms

    wall, high, wide = row["wall"], row["height"], row["pad-diameter"]
    mouth, z, top = row["mouth-bore"], row["suction-height"], row["discharge-position"]
    # pads begin inside the wall and holes end in the room behind it: no two faces lie in one plane
    inside, deep = row["front-land"] + wall, high - wall
    root, under = inside - wall / 2, high - wall / 2
    count = round(row["flange-stud-count"])
    spots = forms.circle_spots(count, row["flange-stud-circle"], 180.0 / count)
    thread, fill, x = row["flange-stud-thread"], row["fill-bore"], row["fill-position"]
    reach, drain = row["fill-stud-spacing"] / 2, at["drain-pad"]
    drains = [row[key] for key in DRAINS]
    low, end = find_port_mm(row)
    pads = [
        forms.rod(wide, at["suction-pad"], root, 0, z),
        forms.post(wide, top, 0, under, at["discharge-pad"]),
        forms.post(row["fill-pad-diameter"], x, 0, under, at["fill-pad"]),
        *(
            forms.post(row["fill-lug-diameter"], x, y, under, at["fill-pad"])
            for y in (-reach, reach)
        ),
        *(
            forms.post(row["drain-pad-diameter"], at_x, 0, drain, wall / 2 - row["half-width"])
            for at_x in drains
        ),
    ]
    holes = [
        forms.rod(mouth, at["suction-pad"], inside + 1, 0, z),
        *(
            forms.rod(thread, at["suction-pad"], at["suction-stud-bottom"], y, z + up)
            for y, up in spots
        ),
        forms.post(mouth, top, 0, deep - 1, at["discharge-pad"]),
        *(
            forms.post(thread, top + along, y, at["discharge-stud-bottom"], at["discharge-pad"])
            for y, along in spots
        ),
        forms.post(fill, x, 0, deep - 1, at["fill-pad"]),
        *(
            forms.post(row["fill-stud-thread"], x, y, at["fill-stud-bottom"], at["fill-pad"])
            for y in (-reach, reach)
        ),
        *(
            forms.post(row["drain-thread"], at_x, 0, drain, wall - row["half-width"] + 1)
            for at_x in drains
        ),
        forms.post(
            row["recirculation-bore"], row["spiral-centre"], row["recirculation-offset"], low, end
        ),
    ]
    return pads, holes


def _feet(row: Numbers) -> list[Solid]:
    """Make two cross feet under the vessel, each with a rib up to it, and bore them."""
    from models.parts import forms

    low, long = -row["centre-height"], row["foot-length"]
    half, top = FOOT_WIDTH_SHARE * row["half-width"], low + row["foot-thickness"]
    hole = half - long / 2
    feet = []
    for x in (row["foot-position"], row["width"] - row["foot-position"]):
        plate = forms.box((x - long / 2, x + long / 2), (-half, half), (low, top))
        along, across = LEG_LENGTH_SHARE * long / 2, LEG_WIDTH_SHARE * long / 2
        legs = [
            forms.box((x - along, x + along), (y - across, y + across), (low, 0.0))
            for y in (-LEG_SHARE * half, LEG_SHARE * half)
        ]
        inside = forms.rod(2 * row["half-width"] - row["wall"], 0, row["width"])
        drilled = plate.cut(*(forms.post(row["foot-hole"], x, y, low, top) for y in (-hole, hole)))
        feet.append(drilled.fuse(*[leg.cut(inside) for leg in legs]))
    return feet


PART = Part("self-priming-casing", faces, shape, Material.CAST_IRON, mounts)
