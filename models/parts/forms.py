"""Forms that several parts share: turned profiles, holes on a circle, hexagons, slots.

Imports the kernel at the top: import this module only inside a `shape` function.
The pump's axis is x; profiles are (x, radius) points in mm.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence

import cadquery as cq
import numpy as np
import numpy.typing as npt

from models.parts.spots import circle_points

Point = tuple[float, float]
X_AXIS = (cq.Vector(0, 0, 0), cq.Vector(1, 0, 0))


def turn(profile: Sequence[Point]) -> cq.Solid:
    """Turn a closed profile of straight lines about the x axis."""
    points = [cq.Vector(x, r, 0) for x, r in profile]
    return cq.Solid.revolve(cq.Wire.makePolygon(points, close=True), [], 360.0, *X_AXIS)


def turn_curved(parts: Sequence[tuple[str, Sequence[Point]]]) -> cq.Solid:
    """Turn a closed profile whose sides are ("line", points) or ("arc", three points), each from where the last ended."""
    edges: list[cq.Edge] = []
    for kind, points in parts:
        vectors = [cq.Vector(x, r, 0) for x, r in points]
        if kind == "arc":
            edges.append(cq.Edge.makeThreePointArc(*vectors))
        else:
            edges += [cq.Edge.makeLine(a, b) for a, b in itertools.pairwise(vectors)]
    return cq.Solid.revolve(cq.Wire.assembleEdges(edges), [], 360.0, *X_AXIS)


def tube(outside_mm: float, bore_mm: float, start_mm: float, end_mm: float) -> cq.Solid:
    """Turn a plain ring from axial position start to end."""
    return turn(
        [
            (start_mm, bore_mm / 2),
            (end_mm, bore_mm / 2),
            (end_mm, outside_mm / 2),
            (start_mm, outside_mm / 2),
        ]
    )


def rod(
    diameter_mm: float,
    start_mm: float,
    end_mm: float,
    y: float = 0.0,
    z: float = 0.0,
) -> cq.Solid:
    """Make a cylinder along x at lateral position (y, z)."""
    return cq.Solid.makeCylinder(
        diameter_mm / 2, end_mm - start_mm, cq.Vector(start_mm, y, z), cq.Vector(1, 0, 0)
    )


def post(diameter_mm: float, x: float, y: float, low_mm: float, high_mm: float) -> cq.Solid:
    """Make an upright cylinder along z from low to high at (x, y)."""
    return cq.Solid.makeCylinder(
        diameter_mm / 2, high_mm - low_mm, cq.Vector(x, y, low_mm), cq.Vector(0, 0, 1)
    )


def side_post(diameter_mm: float, x: float, z: float, low_mm: float, high_mm: float) -> cq.Solid:
    """Make a level cylinder along y from low to high at (x, z)."""
    return cq.Solid.makeCylinder(
        diameter_mm / 2, high_mm - low_mm, cq.Vector(x, low_mm, z), cq.Vector(0, 1, 0)
    )


def box(x: Point, y: Point, z: Point) -> cq.Solid:
    """Make a block between two limits along each axis."""
    return cq.Solid.makeBox(x[1] - x[0], y[1] - y[0], z[1] - z[0], cq.Vector(x[0], y[0], z[0]))


def upright_plate(across: str, outline: Sequence[Point], low_mm: float, high_mm: float) -> cq.Solid:
    """Make a plate square to `across` ("x" or "y") from low to high; outline is (y, z) or (x, z) points in mm."""
    if across == "x":
        points, along = [cq.Vector(low_mm, u, z) for u, z in outline], cq.Vector(1, 0, 0)
    else:
        points, along = [cq.Vector(u, low_mm, z) for u, z in outline], cq.Vector(0, 1, 0)
    wire = cq.Wire.makePolygon(points, close=True)
    return cq.Solid.extrudeLinear(wire, [], along * (high_mm - low_mm))


def circle_spots(count: int, circle_mm: float, start_deg: float = 0.0) -> list[Point]:
    """Give (y, z) of equally spaced spots on a circle of diameter circle_mm, counted from straight up."""
    return circle_points(count, circle_mm, start_deg)


def drill(
    solid: cq.Shape, diameter_mm: float, start_mm: float, end_mm: float, spots: Iterable[Point]
) -> cq.Shape:
    """Drill holes along x between two axial positions at the (y, z) spots."""
    return solid.cut(*[rod(diameter_mm, start_mm, end_mm, y, z) for y, z in spots])


def hexagon(across_flats_mm: float, start_mm: float, end_mm: float) -> cq.Shape:
    """Make a hexagonal prism along x, a flat facing up, corners chamfered at 30 degrees on the `start` side."""
    corner = across_flats_mm / math.sqrt(3)
    points = [
        cq.Vector(start_mm, corner * math.cos(a), corner * math.sin(a))
        for a in (math.radians(60 * i) for i in range(6))
    ]
    prism = cq.Solid.extrudeLinear(
        cq.Wire.makePolygon(points, close=True), [], cq.Vector(end_mm - start_mm, 0, 0)
    )
    sign = 1.0 if end_mm > start_mm else -1.0
    flat = across_flats_mm / 2 * CHAMFERED_SHARE
    reach = corner + 1.0
    cone = turn(
        [
            (start_mm, 0.0),
            (start_mm, flat),
            (start_mm + sign * (reach - flat) * math.tan(math.radians(30)), reach),
            (end_mm, reach),
            (end_mm, 0.0),
        ]
    )
    return prism.intersect(cone)


CHAMFERED_SHARE = 0.95
"""Share of the width across flats that the chamfer circle leaves flat: how a hexagon looks, not a fit."""


def long_slot(width_mm: float, length_mm: float, low_mm: float, high_mm: float) -> cq.Shape:
    """Make a block with round ends (a key, or the slot milled for it), long in z, width in y, from low to high in x."""
    straight = (length_mm - width_mm) / 2
    body = box((low_mm, high_mm), (-width_mm / 2, width_mm / 2), (-straight, straight))
    return body.fuse(
        rod(width_mm, low_mm, high_mm, 0, -straight), rod(width_mm, low_mm, high_mm, 0, straight)
    ).clean()


def loft_along(
    poles: npt.NDArray[np.float64], diameter_mm: float, sections: int, straight_mm: float = 0.0
) -> cq.Solid:
    """Loft a round bar along the Bezier curve of four (x, y, z) poles in mm, square to it at both ends.

    Before and after the curve it runs straight on for `straight_mm`.

    The kernel's own sweep along a curve fails, or dies, on some of these curves; a loft through
    circles that are turned as little as can be from one to the next does not.
    """
    share = np.linspace(0.0, 1.0, sections)[:, None]
    a, b, c, d = poles
    spots = (1 - share) ** 3 * a + 3 * (1 - share) ** 2 * share * b
    spots = spots + 3 * (1 - share) * share**2 * c + share**3 * d
    along = (1 - share) ** 2 * (b - a) + 2 * (1 - share) * share * (c - b) + share**2 * (d - c)
    along = along / np.linalg.norm(along, axis=1)[:, None]
    if straight_mm:
        back = np.linspace(straight_mm, 0.0, STRAIGHT_SECTIONS, endpoint=False)[:, None]
        spots = np.vstack([a - along[0] * back, spots, d + along[-1] * back[::-1]])
        ends = [np.repeat(along[i : i + 1], STRAIGHT_SECTIONS, axis=0) for i in (0, len(along) - 1)]
        along = np.vstack([ends[0], along, ends[1]])
    side = np.cross(along[0], np.eye(3)[int(np.argmin(np.abs(along[0])))])
    circles = []
    for spot, normal in zip(spots, along, strict=True):
        side = side - normal * (side @ normal)
        plane = cq.Plane(cq.Vector(*spot), cq.Vector(*side), cq.Vector(*normal))
        ring = cq.Wire.makeCircle(diameter_mm / 2, cq.Vector(0, 0, 0), cq.Vector(0, 0, 1))
        circles.append(ring.moved(cq.Location(plane)))
    return cq.Solid.makeLoft(circles, False)


STRAIGHT_SECTIONS = 4
"""Circles that keep a loft straight before its curve begins."""


def one_solid(shape: cq.Shape) -> cq.Shape:
    """Unwrap a compound that holds one solid; leave real compounds as they are."""
    solids = shape.Solids()
    return solids[0] if len(solids) == 1 else shape


THREAD_PLAY_MM = 0.05
"""Air on the radius between the two halves of a thread as it is drawn."""


def thread_outside(row: Mapping[str, float], start_mm: float, end_mm: float) -> list[Point]:
    """Give the profile of a screwed end from start to end (towards smaller x): ridges up to the pitch diameter.

    Threads are drawn as rings, with the crests beyond the pitch diameter left off on shaft and hub,
    so that what is unscrewed in the shop draws straight off here.
    """
    root, middle = row["thread-root"] / 2, row["thread-pitch-diameter"] / 2 - THREAD_PLAY_MM
    return _ridges(row, start_mm, end_mm, root, middle)


def thread_inside(row: Mapping[str, float], start_mm: float, end_mm: float) -> list[Point]:
    """Give the profile of a tapped hole from start to end (towards smaller x): see thread_outside."""
    root, middle = row["thread-hub-root"] / 2, row["thread-pitch-diameter"] / 2 + THREAD_PLAY_MM
    return _ridges(row, start_mm, end_mm, root, middle)


def _ridges(
    row: Mapping[str, float], start_mm: float, end_mm: float, root_mm: float, crest_mm: float
) -> list[Point]:
    """Give rings a pitch apart whose flats at the pitch diameter are half a pitch wide."""
    pitch = row["thread-pitch"]
    flank = abs(crest_mm - root_mm) * math.tan(math.radians(row["thread-angle"] / 2))
    points = [(start_mm, crest_mm)]
    for i in range(int((start_mm - end_mm) / pitch - 0.25)):
        x = start_mm - (i + 0.25) * pitch
        points += [(x, crest_mm), (x - flank, root_mm)]
        points += [(x - pitch / 2 + flank, root_mm), (x - pitch / 2, crest_mm)]
    return [*points, (end_mm, crest_mm)]
