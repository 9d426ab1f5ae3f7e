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
from vtkmodules.vtkCommonCore import vtkFloatArray, vtkPoints, vtkTypeInt32Array
from vtkmodules.vtkCommonDataModel import (
    vtkCellArray,
    vtkImageData,
    vtkPolyData,
    vtkStaticCellLocator,
)
from vtkmodules.vtkFiltersCore import vtkPolyDataConnectivityFilter
from vtkmodules.vtkFiltersGeneral import vtkContourTriangulator

from models.spec.assembly import AssemblyPiece
from models.spec.face import Axis
from models.spec.mesh import Mesh
from trainer.stage.ahead import find_outer_once, measure_spans_once, weld_once
from trainer.stage.camera import Vector, find_outer_points
from trainer.stage.cut import Cut
from trainer.stage.slicing import slice_mesh

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


NOTHING = Surface(vtkPolyData(), vtkPolyData())
"""What is left where a cut takes all away."""


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

    def cut(self, cut: Cut) -> Surface:
        """Cut the piece: all of it where the plane misses it, an empty surface where all is taken away."""
        whole = self.surface
        if not len(self._mesh.points):
            return whole
        ends = cut.measure_mm(self._bounds_mm)
        if float(ends.min()) >= 0.0:
            return whole
        if float(ends.max()) <= 0.0:
            return NOTHING
        spans = measure_spans_once(self._mesh, cut.number)
        points, pairs = slice_mesh(*weld_once(self._mesh), spans, cut)
        outline = make_lines(points, pairs)
        cap, hatched = _fill(outline, points, pairs, cut, self._hatch_mm, self._hatch_sign)
        return Surface(whole.skin, whole.ink, cap, outline, hatched, cut, whole)


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
    made.SetData(_hold_floats(points.reshape(-1, 3)))
    return made


def _make_cells(corners: npt.NDArray[np.int32]) -> vtkCellArray:
    count, sides = corners.shape
    offsets = _hold_numbers(np.arange(0, count * sides + 1, sides, dtype=np.int32))
    cells = vtkCellArray()
    cells.SetData(offsets, _hold_numbers(corners))
    return cells


def _hold_floats(values: npt.NDArray[np.floating]) -> vtkFloatArray:
    """Copy values (n, k) into an array of the graphics library.

    Its own way asks so many questions about types that for a plane that is dragged they take longer than the cut; an
    array that only points at ours is slower still, since all of these are looked through whenever one goes.
    """
    held = vtkFloatArray()
    held.SetNumberOfComponents(values.shape[1])
    held.SetNumberOfTuples(len(values))
    if values.size:
        np.frombuffer(memoryview(held), np.float32)[:] = values.reshape(-1)  # type: ignore[arg-type]
    return held


def _hold_numbers(values: npt.NDArray[np.int32]) -> vtkTypeInt32Array:
    held = vtkTypeInt32Array()
    held.SetNumberOfValues(values.size)
    if values.size:
        np.frombuffer(memoryview(held), np.int32)[:] = values.reshape(-1)  # type: ignore[arg-type]
    return held


def _make_skin(
    points: npt.NDArray[np.float32],
    normals: npt.NDArray[np.float32] | None,
    triangles: npt.NDArray[np.int32],
) -> vtkPolyData:
    skin = vtkPolyData()
    skin.SetPoints(_make_points(points))
    skin.SetPolys(_make_cells(np.asarray(triangles, dtype=np.int32).reshape(-1, 3)))
    if normals is not None:
        held = _hold_floats(normals)
        held.SetName("Normals")
        skin.GetPointData().SetNormals(held)
    return skin


def _fill(
    outline: vtkPolyData,
    points: npt.NDArray[np.float32],
    pairs: npt.NDArray[np.int32],
    cut: Cut,
    hatch_mm: float,
    hatch_sign: int,
) -> tuple[vtkPolyData | None, bool]:
    """Fill an outline, given as points (n, 3) mm and pairs (m, 2) too; tell whether the cap is hatched.

    It gets normals towards what is taken away, and coordinates for its hatching.
    """
    fill = vtkContourTriangulator()
    fill.SetInputData(outline)
    fill.Update()
    filled = fill.GetOutput()
    if filled.GetNumberOfPolys() == 0:
        return None, False
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
    held = _hold_floats(normals)
    held.SetName("Normals")
    cap.GetPointData().SetNormals(held)
    coordinates = np.zeros((len(points), 2), np.float32)
    coordinates[:, 0] = across
    hatch = _hold_floats(coordinates)
    hatch.SetName("Hatch")
    cap.GetPointData().SetTCoords(hatch)
    # How wide the cut face is: its area over half its outline, which for a strip is its width.
    area_mm2 = 0.5 * float(np.abs(twice_mm2).sum())
    along = points[pairs[:, 1]] - points[pairs[:, 0]]
    length_mm = float(np.sqrt(np.einsum("sx,sx->s", along, along)).sum())
    return cap, area_mm2 >= 0.5 * _HATCH_LEAST_MM * length_mm
