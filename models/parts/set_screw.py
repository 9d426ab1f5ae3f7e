"""Set screw without a head, driven by a hexagon socket. Origin at its point, which looks along -x."""

from __future__ import annotations

from collections.abc import Mapping

from models.spec.face import Face, plane
from models.spec.part import Material, Numbers, Part, Row, Solid

POINT_SHARE = 0.15
"""Chamfer at the point as a share of the thread diameter."""
SOCKET_SHARE, SOCKET_DEPTH_SHARE = 0.5, 0.5
"""Width across flats of the socket in thread diameters, and its depth as a share of the length."""


def faces(row: Row) -> Mapping[str, Face]:
    """Name the point and the socket end."""
    return {"point": plane(0.0, -1), "socket-end": plane(row["length"], +1)}


def shape(at: Numbers, row: Numbers) -> Solid:
    """Turn the pointed shank and sink the socket."""
    import math

    import cadquery as cq

    from models.parts import forms

    end, r = at["socket-end"], row["thread"] / 2
    cut = POINT_SHARE * row["thread"]
    shank = forms.turn([(0, 0), (0, r - cut), (cut, r), (end, r), (end, 0)])
    deep, corner = SOCKET_DEPTH_SHARE * row["length"], SOCKET_SHARE * row["thread"] / math.sqrt(3)
    points = [
        cq.Vector(end - deep, corner * math.cos(a), corner * math.sin(a))
        for a in (math.radians(60 * i) for i in range(6))
    ]
    socket = cq.Solid.extrudeLinear(
        cq.Wire.makePolygon(points, close=True), [], cq.Vector(deep + 1.0, 0, 0)
    )
    return forms.one_solid(shank.cut(socket))


PART = Part("set-screw", faces, shape, Material.ALLOY_STEEL)
