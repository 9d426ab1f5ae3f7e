"""Wedge belt round two sheaves, open. Origin on the axis of the shaft's sheave, in the middle of its groove.

Where the other sheave stands comes from what it reaches to. Its flanks are drawn at the angle of the
groove, as a belt's are when it is bent into it, with a little air.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from models.spec.face import Face
from models.spec.part import Material, Numbers, Part, Row, Solid

FLANK_PLAY_MM = 0.15
"""Air between a flank and the groove as drawn: a belt gives way to sheaves a tenth out of line, a solid does not."""


def faces(_row: Row) -> Mapping[str, Face]:
    """Name none: a belt lies on the flanks of grooves, and nothing is measured from it."""
    return {}


def shape(_at: Numbers, row: Numbers) -> Solid:
    """Turn the section round both sheaves and draw it along both tangents."""
    import cadquery as cq

    from models.parts import belt_path, forms

    flank = math.tan(math.radians(row["groove-angle"] / 2))
    half = row["datum-width"] / 2 - FLANK_PLAY_MM
    high, low = row["above-datum"], row["above-datum"] - row["height"]
    section = [(-half - high * flank, high), (half + high * flank, high), (half + low * flank, low), (-half - low * flank, low)]  # fmt: skip
    radii = row["shaft-datum-diameter"] / 2, row["pump-datum-diameter"] / 2
    centres = (0.0, 0.0), (row["sheave-y"], row["sheave-z"])
    tangents = belt_path.find_tangents(centres[0], radii[0], centres[1], radii[1])

    def lay(spot: tuple[float, float], normal: tuple[float, float]) -> cq.Wire:
        points = [
            cq.Vector(x, spot[0] + up * normal[0], spot[1] + up * normal[1]) for x, up in section
        ]
        return cq.Wire.makePolygon(points, close=True)

    body = []
    for normal, start, end in tangents:
        along = cq.Vector(0, end[0] - start[0], end[1] - start[1])
        body.append(cq.Solid.extrudeLinear(lay(start, normal), [], along))
    left, left_start, left_end = tangents[0]
    apart = math.dist(*centres)
    lean = 2 * math.degrees(math.asin((radii[1] - radii[0]) / apart))
    # turned about +x from the left tangent: backwards round the far sheave, on round the near one
    for centre, spot, wrap in (
        (centres[1], left_end, -(180.0 + lean)),
        (centres[0], left_start, 180.0 - lean),
    ):
        axis = cq.Vector(0, *centre), cq.Vector(1, *centre)
        body.append(cq.Solid.revolve(lay(spot, left), [], wrap, *axis))
    return forms.one_solid(body[0].fuse(*body[1:]))


PART = Part("belt", faces, shape, Material.RUBBER, fitted=True, flexible=True)
