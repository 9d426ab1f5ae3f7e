from __future__ import annotations

import math

import numpy as np
import pytest
from vtkmodules.util.numpy_support import vtk_to_numpy
from vtkmodules.vtkCommonDataModel import vtkPlane, vtkPolyData
from vtkmodules.vtkFiltersCore import vtkClipPolyData

from models.spec.assembly import Assembly
from models.spec.face import Axis
from models.spec.mesh import Mesh
from trainer.stage.cut import HALF_SECTION, Cut
from trainer.stage.surface import Surface, Whole, is_whole_in_section, make_surface


def _triangles(data: vtkPolyData) -> np.ndarray:
    points = vtk_to_numpy(data.GetPoints().GetData()).astype(np.float64)
    return np.asarray(points[vtk_to_numpy(data.GetPolys().GetConnectivityArray()).reshape(-1, 3)])


def _volume_mm3(triangles: np.ndarray) -> float:
    first, second, third = triangles[:, 0], triangles[:, 1], triangles[:, 2]
    return float(np.einsum("ij,ij->i", first, np.cross(second, third)).sum() / 6.0)


def _mesh_volume_mm3(mesh: Mesh) -> float:
    return _volume_mm3(mesh.points[mesh.triangles].astype(np.float64))


def cut_in_half(mesh: Mesh, cut: Cut = HALF_SECTION) -> Surface:
    return Whole(mesh, 4.0, 1).cut(cut)


def find_drawn(surface: Surface) -> np.ndarray:
    """Find the triangles of the skin that are drawn: what the plane keeps, by the library's own clipper."""
    if surface.cut is None:
        return _triangles(surface.skin) if surface.skin.GetNumberOfPolys() else np.zeros((0, 3, 3))
    plane = vtkPlane()
    plane.SetOrigin(*(surface.cut.plane_mm * np.abs(surface.cut.normal)))
    plane.SetNormal(*surface.cut.normal)
    clip = vtkClipPolyData()
    clip.SetInputData(surface.skin)
    clip.SetClipFunction(plane)
    clip.Update()
    return _triangles(clip.GetOutput())


def test_every_bench_piece_is_closed_and_turned_outwards(bench_pump: Assembly) -> None:
    for piece in bench_pump.pieces:
        assert _mesh_volume_mm3(piece.mesh) > 0.0, piece.name


@pytest.mark.parametrize(
    "name", ["volute", "suction-cover", "impeller", "bracket", "back-plate", "casing-gasket"]
)
def test_half_and_cap_close_to_half_the_solid(bench_pump: Assembly, name: str) -> None:
    mesh = bench_pump.by_name[name].mesh
    half = cut_in_half(mesh)
    assert half.cap is not None
    closed = np.concatenate([find_drawn(half), _triangles(half.cap)])
    # Closed only if skin and cap leave no gap: the volume is then that of half the ring.
    assert _volume_mm3(closed) == pytest.approx(_mesh_volume_mm3(mesh) / 2.0, rel=2e-3)


def test_the_cap_has_the_area_of_the_profile(bench_pump: Assembly) -> None:
    mesh = bench_pump.by_name["shim-1"].mesh
    half = cut_in_half(mesh)
    assert half.cap is not None
    corners = _triangles(half.cap)
    area = (
        0.5
        * np.linalg.norm(
            np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1
        ).sum()
    )
    assert area == pytest.approx(2 * 1.0 * (25 - 14), rel=1e-3)
    assert not half.hatched


def test_the_cap_faces_the_viewer(bench_pump: Assembly) -> None:
    half = cut_in_half(bench_pump.by_name["volute"].mesh)
    assert half.cap is not None
    corners = _triangles(half.cap)
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    assert (across[:, 1] <= 1e-6).all()
    assert half.hatched


def test_a_piece_in_the_near_half_is_taken_away_and_one_in_the_far_half_stays(
    bench_pump: Assembly,
) -> None:
    near, far = None, None
    for piece in bench_pump.pieces:
        low, high = piece.mesh.bounds
        near = piece if piece.part == "cover-nut" and high[1] < 0 else near
        far = piece if piece.part == "cover-nut" and low[1] > 0 else far
    assert near is not None
    assert far is not None
    assert not is_whole_in_section(near, HALF_SECTION)
    assert cut_in_half(near.mesh).skin.GetNumberOfPolys() == 0
    whole = make_surface(far.mesh).skin.GetNumberOfPolys()
    assert cut_in_half(far.mesh).skin.GetNumberOfPolys() == whole


def test_drawings_leave_the_shaft_whole_and_cut_the_volute(bench_pump: Assembly) -> None:
    assert is_whole_in_section(bench_pump.by_name["shaft"], HALF_SECTION)
    assert not is_whole_in_section(bench_pump.by_name["volute"], HALF_SECTION)
    assert not math.isclose(0.0, _mesh_volume_mm3(bench_pump.by_name["shaft"].mesh))


PLANES = [(axis, at_mm) for axis in Axis for at_mm in (-31.0, 4.0, 58.0)]


@pytest.mark.parametrize(("axis", "at_mm"), PLANES)
@pytest.mark.parametrize("name", ["volute", "impeller", "shaft"])
def test_what_a_plane_keeps_and_what_it_takes_make_the_whole(
    bench_pump: Assembly, name: str, axis: Axis, at_mm: float
) -> None:
    mesh = bench_pump.by_name[name].mesh
    volumes = []
    for keeps in (1, -1):
        # each cut is made a hair inside what it keeps, so two of them leave out a slice of two hairs
        part = cut_in_half(mesh, Cut(axis, at_mm, keeps))
        caps = [_triangles(part.cap)] if part.cap is not None else []
        volumes.append(_volume_mm3(np.concatenate([find_drawn(part), *caps])))
    assert sum(volumes) == pytest.approx(_mesh_volume_mm3(mesh), rel=3e-3)


@pytest.mark.parametrize(("axis", "at_mm"), PLANES)
def test_a_cap_lies_in_its_plane_and_faces_what_is_taken_away(
    bench_pump: Assembly, axis: Axis, at_mm: float
) -> None:
    cut = Cut(axis, at_mm, -1)
    for name in ("volute", "impeller", "suction-cover"):
        cap = cut_in_half(bench_pump.by_name[name].mesh, cut).cap
        if cap is None:
            continue
        corners = _triangles(cap)
        assert np.abs(cut.measure_mm(corners)).max() < 1e-3
        across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        assert (across @ cut.normal <= 1e-6).all()


def test_a_cut_leaves_the_skin_as_it_is_and_says_what_of_it_is_drawn(bench_pump: Assembly) -> None:
    whole = Whole(bench_pump.by_name["volute"].mesh, 4.0, 1)
    made = whole.cut(HALF_SECTION)
    assert made.skin is whole.surface.skin
    assert made.cut == HALF_SECTION
    assert made.outer_points[:, 1].min() >= 0.0


def test_across_the_shaft_even_the_shaft_is_cut(bench_pump: Assembly) -> None:
    shaft = bench_pump.by_name["shaft"]
    assert not is_whole_in_section(shaft, Cut(Axis.X, 120.0))
    assert is_whole_in_section(shaft, Cut(Axis.Z))
    assert not is_whole_in_section(shaft, Cut(Axis.Z, 9.0))
