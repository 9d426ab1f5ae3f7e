"""Say what faces bound a solid: cylinders, planes, tori, even where the file writes them as splines. Imports the kernel."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import cadquery as cq
import numpy as np
import numpy.typing as npt
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.GeomAbs import GeomAbs_Cylinder, GeomAbs_Plane, GeomAbs_Torus
from OCP.gp import gp_Cylinder, gp_Dir, gp_Pln, gp_Pnt, gp_Vec
from OCP.ShapeAnalysis import ShapeAnalysis_CanonicalRecognition
from OCP.TopAbs import TopAbs_REVERSED
from OCP.TopLoc import TopLoc_Location

from models.solids.volume import measure_volume
from models.spec.step import Flat, Ring, Round, SolidFacts, Triple

SAME_MM = 0.01
"""Axes and radii nearer than this are one; also how far a spline may stray from the plain shape it stands for."""
SAME_AXIS = math.cos(math.radians(0.2))

Points = npt.NDArray[np.float64]


@dataclass(slots=True)
class _Bore:
    """Faces of one cylinder while they are gathered."""

    at: Points
    axis: Points
    radius_mm: float
    hollow: bool
    faces: list[Points] = field(default_factory=list)


def find_facts(solid: cq.Shape) -> SolidFacts:
    """Find the facts of a tessellated solid, mm."""
    flats: list[Flat] = []
    rings: list[Ring] = []
    bores: list[_Bore] = []
    others = 0
    for face in solid.Faces():
        surface = BRepAdaptor_Surface(face.wrapped)
        kind = surface.GetType()
        if kind == GeomAbs_Torus:
            torus = surface.Torus()
            rings.append(
                Ring(
                    _point(torus.Location()),
                    _way(torus.Axis().Direction()),
                    torus.MajorRadius(),
                    torus.MinorRadius(),
                )
            )
        elif kind == GeomAbs_Plane or (kind != GeomAbs_Cylinder and _is_plane(face)):
            flats.append(_find_flat(face))
        elif (cylinder := _find_cylinder(face, surface)) is not None:
            _gather(bores, face, cylinder)
        else:
            others += 1
    rounds = tuple(one for bore in bores for one in _make_rounds(bore))
    volume, *centre = measure_volume(solid)
    return SolidFacts(
        abs(volume), (centre[0], centre[1], centre[2]), rounds, tuple(flats), tuple(rings), others
    )


def _is_plane(face: cq.Face) -> bool:
    return bool(ShapeAnalysis_CanonicalRecognition(face.wrapped).IsPlane(SAME_MM, gp_Pln()))


def _find_cylinder(face: cq.Face, surface: BRepAdaptor_Surface) -> gp_Cylinder | None:
    if surface.GetType() == GeomAbs_Cylinder:
        return surface.Cylinder()
    found = gp_Cylinder()
    known = ShapeAnalysis_CanonicalRecognition(face.wrapped)
    return found if known.IsCylinder(SAME_MM, found) else None


def _find_flat(face: cq.Face) -> Flat:
    normal, middle = face.normalAt(), face.Center()
    return Flat(middle.toTuple(), normal.toTuple(), face.Area())


def _gather(bores: list[_Bore], face: cq.Face, cylinder: gp_Cylinder) -> None:
    at = np.array(_point(cylinder.Location()))
    axis = np.array(_way(cylinder.Axis().Direction()))
    points = _nodes(face)
    hollow = _is_hollow(face, at, axis)
    for bore in bores:
        off = at - bore.at
        same = (
            bore.hollow == hollow
            and abs(bore.radius_mm - cylinder.Radius()) < SAME_MM
            and abs(bore.axis @ axis) > SAME_AXIS
            and np.linalg.norm(off - (off @ bore.axis) * bore.axis) < SAME_MM
        )
        if same:
            bore.faces.append(points)
            return
    bores.append(_Bore(at, axis, cylinder.Radius(), hollow, [points]))


def _is_hollow(face: cq.Face, at: Points, axis: Points) -> bool:
    """Say whether the material lies outside: the outward normal then points to the axis."""
    surface = BRepAdaptor_Surface(face.wrapped)
    u = (surface.FirstUParameter() + surface.LastUParameter()) / 2
    v = (surface.FirstVParameter() + surface.LastVParameter()) / 2
    point, along_u, along_v = gp_Pnt(), gp_Vec(), gp_Vec()
    surface.D1(u, v, point, along_u, along_v)
    normal = along_u.Crossed(along_v)
    sign = -1.0 if face.wrapped.Orientation() == TopAbs_REVERSED else 1.0
    out = np.array([point.X(), point.Y(), point.Z()]) - at
    out -= (out @ axis) * axis
    return bool(sign * np.array([normal.X(), normal.Y(), normal.Z()]) @ out < 0)


def _nodes(face: cq.Face) -> Points:
    mesh = BRep_Tool.Triangulation_s(face.wrapped, TopLoc_Location())
    nodes = (mesh.Node(i + 1) for i in range(mesh.NbNodes()))
    return np.array([(node.X(), node.Y(), node.Z()) for node in nodes])


def _make_rounds(bore: _Bore) -> list[Round]:
    """Join faces whose lengths meet; a bore through two lugs of a fork stays two."""
    spans = []
    for points in bore.faces:
        along = (points - bore.at) @ bore.axis
        spans.append((float(along.min()), float(along.max()), points))
    joined: list[tuple[float, float, list[Points]]] = []
    for low, high, points in sorted(spans, key=lambda span: span[:2]):
        if joined and low <= joined[-1][1] + SAME_MM:
            before = joined[-1]
            joined[-1] = (before[0], max(before[1], high), [*before[2], points])
        else:
            joined.append((low, high, [points]))
    at, axis = _triple(bore.at), _triple(bore.axis)
    return [
        Round(at, axis, bore.radius_mm, low, high, _find_turn_deg(bore, faces), bore.hollow)
        for low, high, faces in joined
    ]


def _find_turn_deg(bore: _Bore, faces: list[Points]) -> float:
    """Find how much of the circle is covered: all but the largest gap between neighbouring points of one face edge."""
    across = np.eye(3)[int(np.argmin(np.abs(bore.axis)))]
    u = np.cross(bore.axis, across)
    u /= np.linalg.norm(u)
    v = np.cross(bore.axis, u)
    covered = np.zeros(360, bool)
    for points in faces:
        out = points - bore.at
        angles = np.sort(np.degrees(np.arctan2(out @ v, out @ u)) % 360.0)
        gaps = np.diff(np.append(angles, angles[0] + 360.0))
        widest = int(np.argmax(gaps))
        if gaps[widest] < 22.0:  # facets turn by up to 20 degrees: that is no gap
            return 360.0
        start = angles[(widest + 1) % len(angles)]
        turn = round(360.0 - float(gaps[widest]))
        covered[(int(start) + np.arange(turn)) % 360] = True
    return float(covered.sum())


def _point(at: gp_Pnt) -> Triple:
    return at.X(), at.Y(), at.Z()


def _way(way: gp_Dir) -> Triple:
    return way.X(), way.Y(), way.Z()


def _triple(vector: Points) -> Triple:
    x, y, z = (float(value) for value in vector)
    return x, y, z
