"""The way of an open belt round two sheaves, and plates and covers round it. No kernel but inside `prism`.

Everything lies square to the shaft: points are (y, z) in mm, the shaft's sheave at (0, 0).
"""

from __future__ import annotations

import math

from models.spec.part import Numbers, Solid

Point = tuple[float, float]


def find_length_mm(centre_mm: float, one_mm: float, other_mm: float) -> float:
    """Find the length of an open belt from the centre distance and the two diameters it runs on, in mm.

    Source: plane geometry, two tangents and two arcs.
    """
    lean = math.asin((other_mm - one_mm) / (2 * centre_mm))
    straight = 2 * centre_mm * math.cos(lean)
    return straight + math.pi * (one_mm + other_mm) / 2 + lean * (other_mm - one_mm)


def find_tangents(
    one: Point, one_r: float, other: Point, other_r: float
) -> tuple[tuple[Point, Point, Point], tuple[Point, Point, Point]]:
    """Find both outer tangents of two circles: the outward unit normal and the points where it touches each, in mm.

    The first lies on the left of the way from the one to the other, seen with y to the right and z up.
    """
    dy, dz = other[0] - one[0], other[1] - one[1]
    apart = math.hypot(dy, dz)
    along, left = (dy / apart, dz / apart), (-dz / apart, dy / apart)
    lean = (one_r - other_r) / apart
    square = math.sqrt(1 - lean**2)

    def touch(side: int) -> tuple[Point, Point, Point]:
        m = (along[0] * lean + side * left[0] * square, along[1] * lean + side * left[1] * square)
        return (
            m,
            (one[0] + one_r * m[0], one[1] + one_r * m[1]),
            (other[0] + other_r * m[0], other[1] + other_r * m[1]),
        )

    return touch(+1), touch(-1)


def find_ears(row: Numbers) -> list[Point]:
    """Find where the guard's four ears are screwed: beyond both ends and beside both straights."""
    pump = (row["sheave-y"], row["sheave-z"])
    apart = math.hypot(*pump)
    out = row["wall"] + row["ear-distance"]
    ends = [
        (pump[0] * share, pump[1] * share)
        for share in (
            -(row["shaft-radius"] + out) / apart,
            1 + (row["pump-radius"] + out) / apart,
        )
    ]
    sides = [
        ((a[0] + b[0]) / 2 + out * m[0], (a[1] + b[1]) / 2 + out * m[1])
        for m, a, b in find_tangents((0.0, 0.0), row["shaft-radius"], pump, row["pump-radius"])
    ]
    return ends + sides


def find_lugs(row: Numbers) -> list[Point]:
    """Find where the guard's two lugs stand on the bearing housing; angles count from straight up to the right."""
    r = row["lug-circle"] / 2
    angles = [math.radians(row[f"lug-angle-{number}"]) for number in (1, 2)]
    return [(r * math.sin(a), r * math.cos(a)) for a in angles]


def prism(
    one: Point, one_r: float, other: Point, other_r: float, low_mm: float, high_mm: float
) -> Solid:
    """Make what a belt round two circles encloses, from low to high along the shaft."""
    import cadquery as cq

    (_, a, b), (_, d, c) = find_tangents(one, one_r, other, other_r)
    apart = math.dist(one, other)
    away = ((other[0] - one[0]) / apart, (other[1] - one[1]) / apart)
    tip = (other[0] + other_r * away[0], other[1] + other_r * away[1])
    tail = (one[0] - one_r * away[0], one[1] - one_r * away[1])
    at = [cq.Vector(low_mm, *point) for point in (a, b, tip, c, d, tail)]
    edges = [
        cq.Edge.makeLine(at[0], at[1]),
        cq.Edge.makeThreePointArc(at[1], at[2], at[3]),
        cq.Edge.makeLine(at[3], at[4]),
        cq.Edge.makeThreePointArc(at[4], at[5], at[0]),
    ]
    wire = cq.Wire.assembleEdges(edges)
    return cq.Solid.extrudeLinear(wire, [], cq.Vector(high_mm - low_mm, 0, 0))


def round_guard(row: Numbers, more_mm: float, low_mm: float, high_mm: float) -> Solid:
    """Make the room round both sheaves, `more_mm` wider all round than the guard's inside."""
    pump = (row["sheave-y"], row["sheave-z"])
    one, other = row["shaft-radius"] + more_mm, row["pump-radius"] + more_mm
    return prism((0.0, 0.0), one, pump, other, low_mm, high_mm)


def ears(row: Numbers, high_mm: float) -> list[Solid]:
    """Make the guard's ears, from 0 to high along the shaft, each rooted inside the room round the sheaves."""
    pump, r = (row["sheave-y"], row["sheave-z"]), row["ear-width"] / 2
    roots = [(0.0, 0.0), pump, *2 * [(pump[0] / 2, pump[1] / 2)]]
    return [
        prism(spot, r, root, r, 0, high_mm)
        for spot, root in zip(find_ears(row), roots, strict=True)
    ]
