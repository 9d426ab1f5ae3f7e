"""Measure solids, pairs of them and gaps between their faces, as plain numbers. Imports the kernel."""

from __future__ import annotations

import cadquery as cq
import numpy as np
from manifold3d import Error, Manifold
from manifold3d import Mesh as FacetMesh
from OCP.BRep import BRep_Tool
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS
from OCP.TopTools import TopTools_IndexedDataMapOfShapeListOfShape

from models.solids.cache import MeshCache
from models.solids.shape import find_face, make_shape, measure_gap_mm, place
from models.solids.tessellate import make_mesh
from models.spec.build import PlacedPiece
from models.spec.clearance import ClearanceKind
from models.spec.mesh import Mesh
from models.spec.turning import find_rotation, find_shift_mm

TOUCH_MM = 1e-4
"""Pieces closer than this touch."""
PROXIMITY_MM = 0.2
"""Pairs of which no facets come nearer than this are not looked at exactly: well over twice the facets' sag."""


class Measurer:
    """Measure what is asked for; each solid and its facets are made once, when first needed.

    Meshes go through the mesh cache, so that a pair whose facets are apart needs no solid at all.
    """

    def __init__(self, cache: MeshCache) -> None:
        self._cache = cache
        self._shapes: dict[str, cq.Shape] = {}
        self._facets: dict[str, Manifold | None] = {}

    def measure_solid(self, key: str, piece: PlacedPiece) -> tuple[float, ...]:
        """Measure one solid in its own frame.

        Returns:
            1 if valid, solids, open edges, area mm2, lowest and highest corner mm (6 numbers), then
            the numbers of those of its faces, in name order, that are not on the solid.
        """
        shape = self._shape(key, piece)
        valid = BRepCheck_Analyzer(shape.wrapped).IsValid()
        box = shape.BoundingBox()
        missing = [
            float(i)
            for i, name in enumerate(sorted(piece.faces))
            if find_face(shape, piece.faces[name]) is None
        ]
        return (
            float(valid),
            float(len(shape.Solids())),
            float(_count_open_edges(shape)),
            float(shape.Area()),
            *(float(v) for v in (box.xmin, box.ymin, box.zmin, box.xmax, box.ymax, box.zmax)),
            *missing,
        )

    def measure_pair(
        self, keys: tuple[str, str], one: PlacedPiece, other: PlacedPiece
    ) -> tuple[float, float]:
        """Measure the least distance in mm (of pieces surely apart only at least that) and the common volume in mm3."""
        if not self._may_touch(keys, one, other):
            return PROXIMITY_MM, 0.0
        first, second = (
            place(self._shape(key, piece), piece.pose)
            for key, piece in zip(keys, (one, other), strict=True)
        )
        distance = measure_gap_mm(first, second)
        return distance, _common_mm3(first, second) if distance <= TOUCH_MM else 0.0

    def measure_clearance(
        self,
        keys: tuple[str, str],
        low: tuple[PlacedPiece, str],
        high: tuple[PlacedPiece, str],
        kind: ClearanceKind,
    ) -> float | None:
        """Measure between two named faces in mm as the kind of clearance says; None when a face is not there."""
        ends = []
        for key, (piece, face) in zip(keys, (low, high), strict=True):
            found = find_face(self._shape(key, piece), piece.faces[face])
            if found is None:
                return None
            ends.append(place(found, piece.pose))
        if kind is ClearanceKind.OVERLAP:
            return float(ends[1].Center().x - ends[0].Center().x)
        return measure_gap_mm(ends[0], ends[1]) * (2 if kind is ClearanceKind.DIAMETRAL else 1)

    def _shape(self, key: str, piece: PlacedPiece) -> cq.Shape:
        if key not in self._shapes:
            self._shapes[key] = make_shape(piece)
        return self._shapes[key]

    def _mesh(self, key: str, piece: PlacedPiece) -> Mesh:
        mesh = self._cache.read(key)
        if mesh is None:
            mesh = make_mesh(self._shape(key, piece))
            self._cache.write(key, mesh)
        return mesh

    def _may_touch(self, keys: tuple[str, str], one: PlacedPiece, other: PlacedPiece) -> bool:
        near = []
        for key, piece in zip(keys, (one, other), strict=True):
            if key not in self._facets:
                self._facets[key] = _make_facets(self._mesh(key, piece))
            facets = self._facets[key]
            if facets is None:
                return True
            turn, shift = find_rotation(piece.pose), find_shift_mm(piece.pose)
            near.append(facets.transform(np.column_stack([turn, shift])))
        return bool(near[0].min_gap(near[1], 2 * PROXIMITY_MM) < PROXIMITY_MM)


def _make_facets(mesh: Mesh) -> Manifold | None:
    """Make a closed facet model of a mesh; None when its facets do not close, and exact distance must do."""
    points, index = np.unique(mesh.points.round(4), axis=0, return_inverse=True)
    triangles = index[mesh.triangles]
    whole = (
        (triangles[:, 0] != triangles[:, 1])
        & (triangles[:, 1] != triangles[:, 2])
        & (triangles[:, 2] != triangles[:, 0])
    )
    facets = Manifold(FacetMesh(points.astype(np.float32), triangles[whole].astype(np.uint32)))
    return facets if facets.status() == Error.NoError and not facets.is_empty() else None


def _common_mm3(one: cq.Shape, other: cq.Shape) -> float:
    """Give the volume two shapes share. Raises RuntimeError when the kernel cannot say."""
    common = BRepAlgoAPI_Common(one.wrapped, other.wrapped)
    if not common.IsDone():
        raise RuntimeError("the kernel could not intersect two solids")
    properties = GProp_GProps()
    BRepGProp.VolumeProperties_s(common.Shape(), properties)
    return abs(float(properties.Mass()))


def _count_open_edges(shape: cq.Shape) -> int:
    """Count edges that do not join exactly two faces; the seam of a closed face joins that face to itself."""
    table = TopTools_IndexedDataMapOfShapeListOfShape()
    TopExp.MapShapesAndUniqueAncestors_s(shape.wrapped, TopAbs_EDGE, TopAbs_FACE, table)
    count = 0
    for i in range(1, table.Extent() + 1):
        edge = TopoDS.Edge_s(table.FindKey(i))
        faces = [TopoDS.Face_s(face) for face in table.FindFromIndex(i)]
        seam = len(faces) == 1 and BRep_Tool.IsClosed_s(edge, faces[0])
        if not BRep_Tool.Degenerated_s(edge) and len(faces) != 2 and not seam:
            count += 1
    return count
