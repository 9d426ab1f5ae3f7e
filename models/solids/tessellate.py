"""Turn a solid into triangles with the kernel's own normals, and its sharp edges into lines. Imports the kernel."""

from __future__ import annotations

import math

import cadquery as cq
import numpy as np
import numpy.typing as npt
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve2d
from OCP.BRepLib import BRepLib_ToolTriangulatedShape
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.BRepTools import BRepTools
from OCP.GeomLProp import GeomLProp_SLProps
from OCP.IMeshTools import IMeshTools_MeshAlgoType, IMeshTools_Parameters
from OCP.Poly import Poly_Triangulation
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_REVERSED
from OCP.TopExp import TopExp
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face
from OCP.TopTools import TopTools_IndexedDataMapOfShapeListOfShape

from models.spec.mesh import Floats, Ints, Mesh

SAG_MM = 0.05
"""Largest distance between a facet and the true surface."""
TURN_RAD = 0.35
"""Largest turn between neighbouring facets."""
SHARP_DEG = 20.0
"""Faces that meet at more than this are drawn with an inked edge."""


def make_mesh(shape: cq.Shape) -> Mesh:
    """Tessellate a shape within SAG_MM and TURN_RAD."""
    BRepTools.Clean_s(shape.wrapped)
    settings = IMeshTools_Parameters()
    settings.Deflection, settings.Angle = SAG_MM, TURN_RAD
    # the kernel's usual way cuts corners of long thin tori: an O-ring's came out 0.28 mm off
    settings.MeshAlgo = IMeshTools_MeshAlgoType.IMeshTools_MeshAlgoType_Delabella
    BRepMesh_IncrementalMesh(shape.wrapped, settings)
    points: list[Floats] = []
    normals: list[Floats] = []
    triangles: list[Ints] = []
    start = 0
    for face in shape.Faces():
        piece = _face_arrays(face.wrapped)
        points.append(piece[0])
        normals.append(piece[1])
        triangles.append(piece[2] + start)
        start += len(piece[0])
    edge_points, edges = _sharp_edges(shape)
    return Mesh(
        np.concatenate(points),
        np.concatenate(normals),
        np.concatenate(triangles),
        edge_points,
        edges,
    )


def _triangulation(face: TopoDS_Face) -> Poly_Triangulation:
    location = TopLoc_Location()
    found = BRep_Tool.Triangulation_s(face, location)
    if found is None or not location.IsIdentity():
        raise ValueError("a face has no triangles of its own: the solid is broken")
    return found


def _face_arrays(face: TopoDS_Face) -> tuple[Floats, Floats, Ints]:
    mesh = _triangulation(face)
    BRepLib_ToolTriangulatedShape.ComputeNormals_s(face, mesh)
    count = mesh.NbNodes()
    points = np.empty((count, 3), np.float32)
    normals = np.empty((count, 3), np.float32)
    for i in range(count):
        node, normal = mesh.Node(i + 1), mesh.Normal(i + 1)
        points[i] = node.X(), node.Y(), node.Z()
        normals[i] = normal.X(), normal.Y(), normal.Z()
    triangles = (
        np.array([mesh.Triangle(i + 1).Get() for i in range(mesh.NbTriangles())], np.int32) - 1
    )
    if face.Orientation() == TopAbs_REVERSED:
        triangles = triangles[:, [0, 2, 1]]
        normals = -normals
    return points, _outward(points, normals, triangles), triangles


def _outward(points: Floats, normals: Floats, triangles: Ints) -> Floats:
    """Flip the normals of a face when they disagree with its triangles: kernels differ on reversed faces."""
    a, b, c = (points[triangles[:, i]] for i in range(3))
    facing = np.cross(b - a, c - a)
    agree = np.einsum("ij,ij->", facing, normals[triangles[:, 0]])
    return normals if agree >= 0 else -normals


def _sharp_edges(shape: cq.Shape) -> tuple[Floats, Ints]:
    table = TopTools_IndexedDataMapOfShapeListOfShape()
    TopExp.MapShapesAndAncestors_s(shape.wrapped, TopAbs_EDGE, TopAbs_FACE, table)
    points: list[Floats] = []
    pairs: list[Ints] = []
    start = 0
    for i in range(1, table.Extent() + 1):
        edge = TopoDS.Edge_s(table.FindKey(i))
        faces = [TopoDS.Face_s(face) for face in table.FindFromIndex(i)]
        if BRep_Tool.Degenerated_s(edge) or not _is_sharp(edge, faces):
            continue
        mesh = _triangulation(faces[0])
        polygon = BRep_Tool.PolygonOnTriangulation_s(edge, mesh, TopLoc_Location())
        if polygon is None:
            continue
        nodes = [mesh.Node(polygon.Node(j)) for j in range(1, polygon.NbNodes() + 1)]
        line = np.array([(node.X(), node.Y(), node.Z()) for node in nodes], np.float32)
        index = np.arange(start, start + len(line) - 1, dtype=np.int32)
        points.append(line)
        pairs.append(np.stack([index, index + 1], axis=1))
        start += len(line)
    if not points:
        return np.empty((0, 3), np.float32), np.empty((0, 2), np.int32)
    return np.concatenate(points), np.concatenate(pairs)


def _is_sharp(edge: TopoDS_Edge, faces: list[TopoDS_Face]) -> bool:
    if len(faces) != 2 or faces[0].IsSame(faces[1]):
        return False  # a seam, or a free edge that no solid has
    one, two = (_normal_at_middle(edge, face) for face in faces)
    if one is None or two is None:
        return True
    cosine = float(np.clip(np.dot(one, two), -1.0, 1.0))
    return math.degrees(math.acos(cosine)) > SHARP_DEG


def _normal_at_middle(edge: TopoDS_Edge, face: TopoDS_Face) -> npt.NDArray[np.float64] | None:
    curve = BRepAdaptor_Curve2d(edge, face)
    middle = curve.Value((curve.FirstParameter() + curve.LastParameter()) / 2)
    props = GeomLProp_SLProps(BRep_Tool.Surface_s(face), middle.X(), middle.Y(), 1, 1e-9)
    if not props.IsNormalDefined():
        return None
    normal = props.Normal()
    sign = -1.0 if face.Orientation() == TopAbs_REVERSED else 1.0
    return np.array([normal.X(), normal.Y(), normal.Z()]) * sign
