"""A mirrored pump is as sound as the other: the same volume, faces that look outward, and its own image back again."""

from __future__ import annotations

import numpy as np

from models.spec.mesh import Mesh
from models.spec.mirroring import mirror_assembly, mirror_mesh
from trainer.session.bench import open_bench


def find_volume_mm3(mesh: Mesh) -> float:
    """By the divergence theorem: positive where the triangles look outward."""
    a, b, c = (mesh.points[mesh.triangles[:, k]].astype(np.float64) for k in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6.0


def test_a_mirrored_pump_keeps_every_volume_and_looks_outward() -> None:
    own = open_bench("end-suction/100-250").assembly
    mirrored = mirror_assembly(own)
    for one, other in zip(own.pieces, mirrored.pieces, strict=True):
        assert one.name == other.name
        volume = find_volume_mm3(one.mesh)
        assert np.isclose(find_volume_mm3(other.mesh), volume, rtol=1e-5), one.name
        (low, high), (least, most) = one.mesh.bounds, other.mesh.bounds
        assert np.array_equal(least, [low[0], -high[1], low[2]])
        assert np.array_equal(most, [high[0], -low[1], high[2]])
        if one.axis is not None:
            assert other.axis == (one.axis[0], -one.axis[1], one.axis[2])


def test_normals_go_along_and_twice_mirrored_is_the_same() -> None:
    mesh = open_bench("end-suction/100-250").assembly.by_name["volute"].mesh
    mirrored = mirror_mesh(mesh)
    a, b, c = (mirrored.points[mirrored.triangles[:, k]].astype(np.float64) for k in range(3))
    across = np.cross(b - a, c - a)
    mean = mirrored.normals[mirrored.triangles].mean(axis=1)
    area = np.linalg.norm(across, axis=1)
    looks_out = np.einsum("ij,ij->i", across, mean) > 0.0
    assert area[looks_out].sum() / area.sum() > 0.999
    again = mirror_mesh(mirrored)
    assert np.array_equal(again.points, mesh.points)
    assert np.array_equal(again.normals, mesh.normals)
    assert np.array_equal(again.triangles, mesh.triangles)
