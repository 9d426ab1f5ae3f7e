"""Turn meshes into what the graphics library draws: whole, or cut by a plane, with a cap.

A cut is made at home, before a piece is moved. The skin stays as it is and the graphics library leaves out
what lies before the plane; only the cap is made anew, so that a plane can be dragged. (A skin that is really
clipped loses its sharp edges: the clipper merges points that differ only in their normals.) As in drawings,
shafts, fasteners, keys and plugs stay whole (convention of engineering drawing, from memory).
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
    vtkPolyDataConnectivityFilter,
    vtkPolyDataPlaneCutter,
)
from vtkmodules.vtkFiltersGeneral import vtkContourTriangulator

from models.spec.assembly import AssemblyPiece
from models.spec.face import Axis
from models.spec.mesh import Mesh
from trainer.stage.ahead import find_outer_once, weld_once
from trainer.stage.camera import Vector, find_outer_points
from trainer.stage.cut import Cut

WHOLE_IN_SECTION = frozenset({"shaft", "hex-screw", "stud", "nut", "key", "plug", "ball", "pin"})
OFF_CENTRE_MM = 0.5
"""A plane this far beside the shaft no longer shows what a drawing leaves whole along its middle."""
_HATCH_LEAST_MM = 7.0


@dataclass(frozen=True, eq=False)
class Surface:
    """What is drawn of one piece.

    skin: triangles with normals. ink: sharp edges. cap: the cut face, None where nothing is cut.
    cut_edge: the outline of the cut face. hatched: whether the cap is wide enough for hatching. cut: the
    plane before which skin and ink are not to be drawn, and uncut the surface as it was; None where nothing
    of them is left out.
    """

    skin: vtkPolyData
    ink: vtkPolyData
    cap: vtkPolyData | None = None
    cut_edge: vtkPolyData | None = None
    hatched: bool = False
    cut: Cut | None = None
    uncut: Surface | None = None
    points: npt.NDArray[np.float32] | None = None

    @cached_property
    def outer_points(self) -> Vector:
        """The few points (n, 3) mm that say how far the surface reaches; none where nothing is left of it."""
        if self.skin.GetNumberOfPoints() == 0:
            return np.zeros((0, 3))
        if self.points is not None:
            return find_outer_once(self.points)
        points = vtk_to_numpy(self.skin.GetPoints().GetData())
        if self.cut is not None:
            kept = [points[self.cut.measure_mm(points) >= 0.0]]
            if self.cap is not None:
                kept.append(vtk_to_numpy(self.cap.GetPoints().GetData()))
            points = np.concatenate(kept)
        return find_outer_points(points)

    @cached_property
    def skin_locator(self) -> vtkStaticCellLocator | None:
        """What finds a ray's hits on the skin, also where that is not drawn; built when first asked for."""
        return self.uncut.skin_locator if self.uncut is not None else _make_locator(self.skin)

    @cached_property
    def cap_locator(self) -> vtkStaticCellLocator | None:
        """What finds a ray's hits on the cap; built when first asked for."""
        return _make_locator(self.cap)


def _make_locator(data: vtkPolyData | None) -> vtkStaticCellLocator | None:
    if data is None or not data.GetNumberOfCells():
        return None
    locator = vtkStaticCellLocator()
    locator.SetDataSet(data)
    locator.BuildLocator()
    return locator


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


def is_whole_in_section(piece: AssemblyPiece, cut: Cut) -> bool:
    """Tell whether drawings leave this piece whole: of such a kind, cut along its middle, and not all taken away."""
    if piece.kind not in WHOLE_IN_SECTION or cut.axis is Axis.X:
        return False
    low, high = (float(end[cut.number]) for end in piece.mesh.bounds)
    is_off_centre = abs(cut.at_mm) > OFF_CENTRE_MM
    beyond = cut.keeps * ((high if cut.keeps > 0 else low) - cut.plane_mm) > 0.0
    return beyond and not (is_off_centre and low < cut.at_mm < high)


def make_surface(mesh: Mesh) -> Surface:
    """Make the whole surface of a mesh."""
    return Surface(
        _make_skin(mesh.points, mesh.normals, mesh.triangles),
        make_lines(mesh.edge_points, mesh.edges),
        points=mesh.points,
    )


class Whole:
    """A piece at home from which cuts are made one after the other; what all of them need is made once."""

    def __init__(self, mesh: Mesh, hatch_mm: float, hatch_sign: int) -> None:
        """Begin with a mesh.

        Args:
            mesh: the piece at home.
            hatch_mm: pitch of the hatching in mm.
            hatch_sign: +1 or -1, the way the hatching leans; neighbours should differ.
        """
        self._mesh, self._hatch_mm, self._hatch_sign = mesh, hatch_mm, hatch_sign
        self.surface = make_surface(mesh)

    @cached_property
    def _bounds_mm(self) -> Vector:
        return np.array(self._mesh.bounds, dtype=np.float64)

    @cached_property
    def _welded(self) -> vtkPolyData:
        return _make_welded(self._mesh)

    def cut(self, cut: Cut) -> Surface:
        """Cut the piece: all of it where the plane misses it, an empty surface where all is taken away."""
        whole = self.surface
        if not len(self._mesh.points):
            return whole
        ends = cut.measure_mm(self._bounds_mm)
        if float(ends.min()) >= 0.0:
            return whole
        if float(ends.max()) <= 0.0:
            return Surface(vtkPolyData(), vtkPolyData())
        plane = _make_plane(cut)
        section = vtkPolyDataPlaneCutter()
        section.SetInputData(self._welded)
        section.SetPlane(plane)
        section.ComputeNormalsOff()
        section.Update()
        outline = vtkPolyData()
        outline.ShallowCopy(section.GetOutput())
        fill = vtkContourTriangulator()
        fill.SetInputData(outline)
        fill.Update()
        cap, hatched = _finish_cap(fill.GetOutput(), outline, cut, self._hatch_mm, self._hatch_sign)
        return Surface(whole.skin, whole.ink, cap, outline, hatched, cut, whole)


def _make_plane(cut: Cut) -> vtkPlane:
    plane = vtkPlane()
    plane.SetOrigin(*(cut.plane_mm * np.abs(cut.normal)))
    plane.SetNormal(*cut.normal)
    return plane


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
    points, triangles = weld_once(mesh)
    return _make_skin(points, None, triangles)


def _finish_cap(
    filled: vtkPolyData, outline: vtkPolyData, cut: Cut, hatch_mm: float, hatch_sign: int
) -> tuple[vtkPolyData | None, bool]:
    """Give the cap normals towards what is taken away and coordinates for its hatching; tell whether it is hatched."""
    if filled.GetNumberOfPolys() == 0:
        return None, False
    points = vtk_to_numpy(filled.GetPoints().GetData())
    one_axis, other_axis = ((1, 2), (2, 0), (0, 1))[cut.number]
    one, other = points[:, one_axis], points[:, other_axis]
    low, high = (one, other) if one_axis < other_axis else (other, one)
    across = (low + hatch_sign * high) / (hatch_mm * np.sqrt(2.0))
    corners = vtk_to_numpy(filled.GetPolys().GetConnectivityArray()).reshape(-1, 3)
    # All triangles must face the viewer: soft shade takes a face seen from behind for a hollow. Written out in the
    # plane of the cut: a plane that is dragged makes a hundred caps a frame.
    (a, b, c), (d, e, f) = one[corners].T, other[corners].T
    twice_mm2 = cut.keeps * ((b - a) * (f - d) - (c - a) * (e - d))
    facing = np.where((twice_mm2 > 0.0)[:, None], corners[:, [0, 2, 1]], corners).astype(np.int32)
    cap = vtkPolyData()
    cap.SetPoints(filled.GetPoints())
    cap.SetPolys(_make_cells(facing))
    normals = np.zeros((len(points), 3), np.float32)
    normals[:, cut.number] = -cut.keeps
    held = numpy_to_vtk(normals, deep=1)
    held.SetName("Normals")
    cap.GetPointData().SetNormals(held)
    coordinates = np.zeros((len(points), 2), np.float32)
    coordinates[:, 0] = across
    hatch = numpy_to_vtk(coordinates, deep=1)
    hatch.SetName("Hatch")
    cap.GetPointData().SetTCoords(hatch)
    # How wide the cut face is: its area over half its outline, which for a strip is its width.
    area_mm2 = 0.5 * float(np.abs(twice_mm2).sum())
    return cap, area_mm2 >= 0.5 * _HATCH_LEAST_MM * _measure_mm(outline)


def _measure_mm(outline: vtkPolyData) -> float:
    """Measure how long lines of two points are together, in mm."""
    points = vtk_to_numpy(outline.GetPoints().GetData())
    ends = points[vtk_to_numpy(outline.GetLines().GetConnectivityArray()).reshape(-1, 2)]
    along = ends[:, 1] - ends[:, 0]
    return float(np.sqrt((along * along).sum(axis=1)).sum())
