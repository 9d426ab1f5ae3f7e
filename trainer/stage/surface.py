"""Turn meshes into what the graphics library draws: whole, or cut in half with a cap.

The half section is cut at home, before a piece is moved, by the upright plane through the shaft, and
takes away the half at negative y: the one towards the side view. As in drawings, shafts, fasteners,
keys and plugs stay whole (convention of engineering drawing, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
import numpy.typing as npt
from vtkmodules.util.numpy_support import numpy_to_vtk, vtk_to_numpy
from vtkmodules.vtkCommonCore import vtkPoints, vtkTypeInt32Array
from vtkmodules.vtkCommonDataModel import (
    vtkCellArray,
    vtkImageData,
    vtkPlane,
    vtkPolyData,
    vtkStaticCellLocator,
)
from vtkmodules.vtkFiltersCore import (
    vtkClipPolyData,
    vtkPolyDataConnectivityFilter,
    vtkPolyDataPlaneCutter,
)
from vtkmodules.vtkFiltersGeneral import vtkContourTriangulator

from models.spec.assembly import AssemblyPiece
from models.spec.mesh import Mesh
from trainer.stage.camera import Vector, find_outer_points

WHOLE_IN_SECTION = frozenset({"shaft", "hex-screw", "stud", "nut", "key", "plug", "ball", "pin"})
# The seams of turned solids lie exactly in the plane y = 0, where a cut meets every vertex of the seam
# and leaves slivers and open loops. A hair beside it there are none, and nobody sees the difference.
_CUT_Y_MM = 0.0137
_HATCH_LEAST_MM = 7.0


@dataclass(frozen=True, eq=False)
class Surface:
    """What is drawn of one piece.

    skin: triangles with normals. ink: sharp edges. cap: the cut face, None where nothing is cut.
    cut_edge: the outline of the cut face. hatched: whether the cap is wide enough for hatching.
    """

    skin: vtkPolyData
    ink: vtkPolyData
    cap: vtkPolyData | None = None
    cut_edge: vtkPolyData | None = None
    hatched: bool = False

    @cached_property
    def outer_points(self) -> Vector:
        """The few points (n, 3) mm that say how far the surface reaches; none where nothing is left of it."""
        if self.skin.GetNumberOfPoints() == 0:
            return np.zeros((0, 3))
        return find_outer_points(vtk_to_numpy(self.skin.GetPoints().GetData()))

    @cached_property
    def locators(self) -> tuple[vtkStaticCellLocator, ...]:
        """What finds a ray's hits on skin and cap; built when first asked for."""
        made = []
        for data in (self.skin, self.cap):
            if data is not None and data.GetNumberOfCells():
                locator = vtkStaticCellLocator()
                locator.SetDataSet(data)
                locator.BuildLocator()
                made.append(locator)
        return tuple(made)


def find_patches(cap: vtkPolyData) -> list[Vector]:
    """Find the points (n, 3) mm of each patch of a cut face: of a ring there are two."""
    split = vtkPolyDataConnectivityFilter()
    split.SetInputData(cap)
    split.SetExtractionModeToAllRegions()
    split.ColorRegionsOn()
    split.Update()
    found = split.GetOutput()
    points = vtk_to_numpy(found.GetPoints().GetData()).astype(np.float64)
    regions = vtk_to_numpy(found.GetPointData().GetArray("RegionId"))
    return [points[regions == number] for number in np.unique(regions)]


def is_whole_in_section(piece: AssemblyPiece) -> bool:
    """Tell whether drawings leave this piece whole: of such a kind, and not all in the half taken away."""
    return piece.kind in WHOLE_IN_SECTION and float(piece.mesh.points[:, 1].max()) > _CUT_Y_MM


def make_surface(mesh: Mesh) -> Surface:
    """Make the whole surface of a mesh."""
    return Surface(
        _make_skin(mesh.points, mesh.normals, mesh.triangles),
        make_lines(mesh.edge_points, mesh.edges),
    )


def make_half_surface(mesh: Mesh, hatch_mm: float, hatch_sign: int) -> Surface:
    """Make the half of a mesh that the half section leaves, with its cap.

    Args:
        mesh: the piece at home.
        hatch_mm: pitch of the hatching in mm.
        hatch_sign: +1 or -1, the way the hatching leans; neighbours should differ.

    Returns:
        The half surface; the whole one where the plane misses the piece on the side that stays, and
        an empty skin where the whole piece is taken away.
    """
    y = mesh.points[:, 1]
    if y.size == 0 or float(y.min()) >= _CUT_Y_MM:
        return make_surface(mesh)
    edge_points, edges = _clip_lines(mesh.edge_points, mesh.edges)
    ink = make_lines(edge_points, edges)
    if float(y.max()) <= _CUT_Y_MM:
        return Surface(vtkPolyData(), ink)
    plane = vtkPlane()
    plane.SetOrigin(0.0, _CUT_Y_MM, 0.0)
    plane.SetNormal(0.0, 1.0, 0.0)
    clip = vtkClipPolyData()
    clip.SetInputData(_make_skin(mesh.points, mesh.normals, mesh.triangles))
    clip.SetClipFunction(plane)
    clip.Update()
    cut = vtkPolyDataPlaneCutter()
    cut.SetInputData(_make_welded(mesh))
    cut.SetPlane(plane)
    cut.ComputeNormalsOff()
    cut.Update()
    outline = vtkPolyData()
    outline.ShallowCopy(cut.GetOutput())
    fill = vtkContourTriangulator()
    fill.SetInputData(outline)
    fill.Update()
    cap, hatched = _finish_cap(fill.GetOutput(), hatch_mm, hatch_sign)
    return Surface(_keep_shape(clip.GetOutput()), ink, cap, outline, hatched)


def make_lines(points: npt.NDArray[np.floating], pairs: npt.NDArray[np.integer]) -> vtkPolyData:
    """Make line segments: points (n, 3) mm, pairs (m, 2) of indices into them."""
    lines = vtkPolyData()
    lines.SetPoints(_make_points(points))
    lines.SetLines(_make_cells(np.asarray(pairs, dtype=np.int32).reshape(-1, 2)))
    return lines


@lru_cache(maxsize=1)
def make_hatch_image() -> vtkImageData:
    """Make one period of the hatching as a strip of grey: one dark line, softly edged."""
    texels = 64
    across = np.abs(np.arange(texels) - (texels - 1) / 2) / texels
    shade = (255 - 96 * np.clip((0.11 - across) / 0.05, 0.0, 1.0)).astype(np.uint8)
    image = vtkImageData()
    image.SetDimensions(texels, 1, 1)
    image.GetPointData().SetScalars(numpy_to_vtk(np.repeat(shade[:, None], 3, axis=1), deep=1))
    return image


def _make_points(points: npt.NDArray[np.floating]) -> vtkPoints:
    made = vtkPoints()
    made.SetData(
        numpy_to_vtk(np.ascontiguousarray(points, dtype=np.float32).reshape(-1, 3), deep=1)
    )
    return made


def _make_cells(corners: npt.NDArray[np.int32]) -> vtkCellArray:
    count, sides = corners.shape
    offsets = numpy_to_vtk(np.arange(0, count * sides + 1, sides, dtype=np.int32), deep=1)
    flat = numpy_to_vtk(np.ascontiguousarray(corners).reshape(-1), deep=1)
    assert isinstance(offsets, vtkTypeInt32Array) or offsets.GetDataTypeSize() == 4
    cells = vtkCellArray()
    cells.SetData(offsets, flat)
    return cells


def _make_skin(
    points: npt.NDArray[np.float32],
    normals: npt.NDArray[np.float32] | None,
    triangles: npt.NDArray[np.int32],
) -> vtkPolyData:
    skin = vtkPolyData()
    skin.SetPoints(_make_points(points))
    skin.SetPolys(_make_cells(np.asarray(triangles, dtype=np.int32).reshape(-1, 3)))
    if normals is not None:
        held = numpy_to_vtk(np.ascontiguousarray(normals, dtype=np.float32), deep=1)
        held.SetName("Normals")
        skin.GetPointData().SetNormals(held)
    return skin


def _make_welded(mesh: Mesh) -> vtkPolyData:
    # Exact normals split the points along every edge; the cut needs closed loops, so weld by place.
    keys = np.round(mesh.points.astype(np.float64) / 1e-4).astype(np.int64)
    _, first, back = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    triangles = back.reshape(-1)[mesh.triangles].astype(np.int32)
    kept = (
        (triangles[:, 0] != triangles[:, 1])
        & (triangles[:, 1] != triangles[:, 2])
        & (triangles[:, 2] != triangles[:, 0])
    )
    return _make_skin(mesh.points[first], None, triangles[kept])


def _clip_lines(
    points: npt.NDArray[np.float32], pairs: npt.NDArray[np.int32]
) -> tuple[npt.NDArray[np.float32], npt.NDArray[np.int32]]:
    """Keep the parts of line segments beyond the plane of the cut."""
    start, end = points[pairs[:, 0]].astype(np.float64), points[pairs[:, 1]].astype(np.float64)
    start_y, end_y = start[:, 1] - _CUT_Y_MM, end[:, 1] - _CUT_Y_MM
    seen = (start_y >= 0) | (end_y >= 0)
    start, end, start_y, end_y = start[seen], end[seen], start_y[seen], end_y[seen]
    crossing = (start_y < 0) != (end_y < 0)
    share = np.where(crossing, start_y / np.where(crossing, start_y - end_y, 1.0), 0.0)[:, None]
    at_plane = start + share * (end - start)
    start = np.where((start_y < 0)[:, None], at_plane, start)
    end = np.where((end_y < 0)[:, None], at_plane, end)
    both = np.concatenate([start, end]).astype(np.float32)
    count = len(start)
    return both, np.stack([np.arange(count), np.arange(count) + count], axis=1).astype(np.int32)


def _keep_shape(source: vtkPolyData) -> vtkPolyData:
    """Copy points, normals and polygons only, free of the filter that made them."""
    kept = vtkPolyData()
    kept.SetPoints(source.GetPoints())
    kept.SetPolys(source.GetPolys())
    kept.GetPointData().SetNormals(source.GetPointData().GetNormals())
    return kept


def _finish_cap(
    filled: vtkPolyData, hatch_mm: float, hatch_sign: int
) -> tuple[vtkPolyData | None, bool]:
    """Give the cap normals towards the viewer and coordinates for its hatching."""
    if filled.GetNumberOfPolys() == 0:
        return None, False
    points = vtk_to_numpy(filled.GetPoints().GetData())
    across = (points[:, 0] + hatch_sign * points[:, 2]) / (hatch_mm * np.sqrt(2.0))
    corners = vtk_to_numpy(filled.GetPolys().GetConnectivityArray()).reshape(-1, 3)
    # All triangles must face the viewer: soft shade takes a face seen from behind for a hollow.
    first, second, third = (points[corners[:, index]][:, [0, 2]] for index in range(3))
    one, two = second - first, third - first
    away = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0] < 0.0
    facing = np.where(away[:, None], corners[:, [0, 2, 1]], corners).astype(np.int32)
    cap = vtkPolyData()
    cap.SetPoints(filled.GetPoints())
    cap.SetPolys(_make_cells(facing))
    normals = np.tile(np.array([0.0, -1.0, 0.0], dtype=np.float32), (len(points), 1))
    held = numpy_to_vtk(normals, deep=1)
    held.SetName("Normals")
    cap.GetPointData().SetNormals(held)
    coordinates = numpy_to_vtk(
        np.stack([across, np.zeros_like(across)], axis=1).astype(np.float32), deep=1
    )
    coordinates.SetName("Hatch")
    cap.GetPointData().SetTCoords(coordinates)
    return cap, _find_width_mm(filled) >= _HATCH_LEAST_MM


def _find_width_mm(cap: vtkPolyData) -> float:
    """Find how wide a cut face is: twice its area over its outline's half, which for a strip is its width."""
    points = vtk_to_numpy(cap.GetPoints().GetData()).astype(np.float64)
    corners = vtk_to_numpy(cap.GetPolys().GetConnectivityArray()).reshape(-1, 3)
    first, second, third = points[corners[:, 0]], points[corners[:, 1]], points[corners[:, 2]]
    area = 0.5 * float(np.linalg.norm(np.cross(second - first, third - first), axis=1).sum())
    pairs = np.sort(
        np.concatenate([corners[:, [0, 1]], corners[:, [1, 2]], corners[:, [2, 0]]]), axis=1
    )
    unique, count = np.unique(pairs, axis=0, return_counts=True)
    rim = unique[count == 1]
    outline = float(np.linalg.norm(points[rim[:, 0]] - points[rim[:, 1]], axis=1).sum())
    return 2.0 * area / outline if outline > 0.0 else 0.0
