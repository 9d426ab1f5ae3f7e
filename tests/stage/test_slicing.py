"""Where a plane runs through a mesh, against what the graphics library's own cutter finds."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest
from vtkmodules.util.numpy_support import vtk_to_numpy
from vtkmodules.vtkCommonDataModel import vtkPlane, vtkPolyData
from vtkmodules.vtkFiltersCore import vtkPolyDataPlaneCutter

from models.spec.assembly import Assembly
from models.spec.face import Axis
from models.spec.mesh import Mesh
from trainer.stage.ahead import measure_spans_once, weld_once
from trainer.stage.cut import Cut
from trainer.stage.slicing import measure_spans, slice_mesh
from trainer.stage.surface import make_surface

Floats = npt.NDArray[np.float64]
CUTS = [Cut(axis, at_mm) for axis in Axis for at_mm in (-33.0, 0.0, 41.5)]


def slice_at(mesh: Mesh, cut: Cut) -> tuple[Floats, npt.NDArray[np.int32]]:
    points, pairs = slice_mesh(*weld_once(mesh), measure_spans_once(mesh, cut.number), cut)
    return points.astype(np.float64), pairs


def cut_by_library(mesh: Mesh, cut: Cut) -> Floats:
    """Cut a mesh with the graphics library: segments (n, 2, 3) mm."""
    points, triangles = weld_once(mesh)
    plane = vtkPlane()
    plane.SetOrigin(*(cut.plane_mm * np.abs(cut.normal)))
    plane.SetNormal(*cut.normal)
    cutter = vtkPolyDataPlaneCutter()
    cutter.SetInputData(
        make_surface(Mesh(points, points, triangles, points[:0], triangles[:0, :2])).skin
    )
    cutter.SetPlane(plane)
    cutter.ComputeNormalsOff()
    cutter.Update()
    found: vtkPolyData = cutter.GetOutput()
    if not found.GetNumberOfLines():
        return np.zeros((0, 2, 3))
    ends = vtk_to_numpy(found.GetLines().GetConnectivityArray()).reshape(-1, 2)
    return np.asarray(vtk_to_numpy(found.GetPoints().GetData())[ends], np.float64)


def measure_mm(segments: Floats) -> float:
    return float(np.linalg.norm(segments[:, 1] - segments[:, 0], axis=1).sum())


@pytest.mark.parametrize("cut", CUTS, ids=lambda cut: f"{cut.axis}{cut.at_mm:+g}")
@pytest.mark.parametrize("name", ["volute", "impeller", "shaft", "suction-cover"])
def test_an_outline_is_what_the_library_finds(bench_pump: Assembly, name: str, cut: Cut) -> None:
    mesh = bench_pump.by_name[name].mesh
    points, pairs = slice_at(mesh, cut)
    ours, theirs = points[pairs], cut_by_library(mesh, cut)
    assert len(ours) == len(theirs)
    assert measure_mm(ours) == pytest.approx(measure_mm(theirs), abs=1e-2)
    if len(ours):
        for end in (np.min, np.max):
            assert end(ours, axis=(0, 1)) == pytest.approx(end(theirs, axis=(0, 1)), abs=1e-3)


@pytest.mark.parametrize("cut", CUTS, ids=lambda cut: f"{cut.axis}{cut.at_mm:+g}")
def test_every_outline_is_closed_and_lies_in_its_plane(bench_pump: Assembly, cut: Cut) -> None:
    met = 0
    for piece in bench_pump.pieces:
        points, pairs = slice_at(piece.mesh, cut)
        met += len(pairs) > 0
        assert (np.bincount(pairs.ravel(), minlength=len(points)) % 2 == 0).all(), piece.name
        assert points[:, cut.number] == pytest.approx(cut.plane_mm, abs=1e-4)
    assert met > 1


def test_a_plane_through_corners_leaves_no_gap() -> None:
    # An octahedron with four corners in the plane, which a cut of ours lies a hair beside.
    points = np.array(
        [[1, 0, 0], [0, 1, 0], [-1, 0, 0], [0, -1, 0], [0, 0, 1], [0, 0, -1]], np.float32
    )
    ring = [(0, 1), (1, 2), (2, 3), (3, 0)]
    triangles = np.array([(a, b, 4) for a, b in ring] + [(b, a, 5) for a, b in ring], np.int32)
    moved = points + np.array([0, 0, Cut(Axis.Z).plane_mm], np.float32)
    outline, pairs = slice_mesh(moved, triangles, measure_spans(moved, triangles, 2), Cut(Axis.Z))
    assert (np.bincount(pairs.ravel()) == 2).all()
    assert measure_mm(outline[pairs].astype(np.float64)) == pytest.approx(
        4.0 * np.sqrt(2.0), rel=1e-5
    )
