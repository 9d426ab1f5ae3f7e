"""Make solids from parts, and find their named faces again on the solid. Imports the kernel."""

from __future__ import annotations

import math

import cadquery as cq
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepExtrema import BRepExtrema_DistShapeShape
from OCP.BRepTools import BRepTools

from models.spec.build import PlacedPiece
from models.spec.face import Axis, Face, FaceKind
from models.spec.turning import Pose, find_rotation

SAME_MM = 1e-5
"""Two positions closer than this are one: well above the kernel's own 1e-7 mm, far below any limit."""


def make_shape(piece: PlacedPiece) -> cq.Shape:
    """Make a piece's solid in its own frame at the build's values."""
    at = {name: float(face.at) for name, face in piece.faces.items()}
    row = {name: float(value) for name, value in piece.row.items()}
    shape: cq.Shape = piece.part.shape(at, row)
    return shape


def place(shape: cq.Shape, pose: Pose) -> cq.Shape:
    """Put a shape where its pose says."""
    turn = find_rotation(pose)
    x, y, z = (float(value) for value in pose.origin)
    plane = cq.Plane((x, y, z), xDir=cq.Vector(*turn[:, 0]), normal=cq.Vector(*turn[:, 2]))
    return shape.moved(cq.Location(plane))


def find_face(shape: cq.Shape, face: Face) -> cq.Face | None:
    """Find a named face on the solid (in its own frame) by kind, position and direction; None when it is not there."""
    found = [one for one in shape.Faces() if _is_it(one, face)]
    near = face.near
    if len(found) <= 1 or near is None:
        return found[0] if found else None
    return min(found, key=lambda one: _miss_mm(one, near))


def _is_it(one: cq.Face, face: Face) -> bool:
    at = float(face.at)
    if face.kind is FaceKind.PLANE:
        if one.geomType() != "PLANE":
            return False
        normal, centre = one.normalAt(), one.Center()
        along = {
            Axis.X: (normal.x, centre.x),
            Axis.Y: (normal.y, centre.y),
            Axis.Z: (normal.z, centre.z),
        }[face.axis]
        return abs(along[0] - face.facing) < 1e-6 and abs(along[1] - at) < SAME_MM
    if one.geomType() != "CYLINDER":
        return False
    cylinder = BRepAdaptor_Surface(one.wrapped).Cylinder()
    axis = cylinder.Axis()
    straight = abs(abs(axis.Direction().X()) - 1.0) < 1e-9
    centred = math.hypot(axis.Location().Y(), axis.Location().Z()) < SAME_MM
    if not (straight and centred and abs(2 * cylinder.Radius() - at) < SAME_MM):
        return False
    low_u, high_u, low_v, high_v = BRepTools.UVBounds_s(one.wrapped)
    u, v = (low_u + high_u) / 2, (low_v + high_v) / 2
    normal, point = one.normalAt(u, v)
    outward = normal.y * point.y + normal.z * point.z > 0
    return outward == (face.kind is FaceKind.JOURNAL)


def _miss_mm(one: cq.Face, near: tuple[float, float]) -> float:
    x, r = near
    angles = [2 * math.pi * i / 16 for i in range(16)]
    return min(
        one.distance(cq.Vertex.makeVertex(x, r * math.cos(a), r * math.sin(a))) for a in angles
    )


def measure_gap_mm(one: cq.Shape, other: cq.Shape) -> float:
    """Measure the least distance between two placed shapes, in mm."""
    return float(BRepExtrema_DistShapeShape(one.wrapped, other.wrapped).Value())
