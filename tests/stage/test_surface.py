from __future__ import annotations

import math

import numpy as np
import pytest
from vtkmodules.util.numpy_support import vtk_to_numpy
from vtkmodules.vtkCommonDataModel import vtkPolyData

from models.spec.assembly import Assembly
from models.spec.mesh import Mesh
from trainer.stage.surface import is_whole_in_section, make_half_surface, make_surface


def _triangles(data: vtkPolyData) -> np.ndarray:
    points = vtk_to_numpy(data.GetPoints().GetData()).astype(np.float64)
    return np.asarray(points[vtk_to_numpy(data.GetPolys().GetConnectivityArray()).reshape(-1, 3)])


def _volume_mm3(triangles: np.ndarray) -> float:
    first, second, third = triangles[:, 0], triangles[:, 1], triangles[:, 2]
    return float(np.einsum("ij,ij->i", first, np.cross(second, third)).sum() / 6.0)


def _mesh_volume_mm3(mesh: Mesh) -> float:
    return _volume_mm3(mesh.points[mesh.triangles].astype(np.float64))


def test_every_bench_piece_is_closed_and_turned_outwards(bench_pump: Assembly) -> None:
    for piece in bench_pump.pieces:
        assert _mesh_volume_mm3(piece.mesh) > 0.0, piece.name


@pytest.mark.parametrize(
    "name", ["volute", "suction-cover", "impeller", "bracket", "back-plate", "casing-gasket"]
)
def test_half_and_cap_close_to_half_the_solid(bench_pump: Assembly, name: str) -> None:
    mesh = bench_pump.by_name[name].mesh
    half = make_half_surface(mesh, 4.0, 1)
    assert half.cap is not None
    closed = np.concatenate([_triangles(half.skin), _triangles(half.cap)])
    # Closed only if skin and cap leave no gap: the volume is then that of half the ring.
    assert _volume_mm3(closed) == pytest.approx(_mesh_volume_mm3(mesh) / 2.0, rel=2e-3)


def test_the_cap_has_the_area_of_the_profile(bench_pump: Assembly) -> None:
    mesh = bench_pump.by_name["shim-1"].mesh
    half = make_half_surface(mesh, 4.0, 1)
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
    half = make_half_surface(bench_pump.by_name["volute"].mesh, 4.0, 1)
    assert half.cap is not None
    corners = _triangles(half.cap)
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    assert (across[:, 1] <= 1e-6).all()
    assert half.hatched


def test_nothing_of_the_near_half_is_left(bench_pump: Assembly) -> None:
    half = make_half_surface(bench_pump.by_name["volute"].mesh, 4.0, 1)
    for data in (half.skin, half.ink):
        assert vtk_to_numpy(data.GetPoints().GetData())[:, 1].min() >= 0.0


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
    assert not is_whole_in_section(near)
    assert make_half_surface(near.mesh, 4.0, 1).skin.GetNumberOfPolys() == 0
    whole = make_surface(far.mesh).skin.GetNumberOfPolys()
    assert make_half_surface(far.mesh, 4.0, 1).skin.GetNumberOfPolys() == whole


def test_drawings_leave_the_shaft_whole_and_cut_the_volute(bench_pump: Assembly) -> None:
    assert is_whole_in_section(bench_pump.by_name["shaft"])
    assert not is_whole_in_section(bench_pump.by_name["volute"])
    assert not math.isclose(0.0, _mesh_volume_mm3(bench_pump.by_name["shaft"].mesh))
