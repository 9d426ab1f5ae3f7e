"""Meshes against the solids they were made of: closed, facing out, of the same volume, in the right place."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from models.builds import make_named_build
from models.pumps import end_suction
from models.solids.assemble import make_assembly
from models.solids.cache import MeshCache
from models.solids.keys import make_key
from models.solids.shape import place
from models.solids.tessellate import SAG_MM, make_mesh
from models.spec.assembly import Assembly
from models.spec.build import Build
from models.spec.mesh import Mesh

PLACES = [place.name for place in end_suction.FAMILY.places]


@pytest.fixture(scope="module")
def meshes(solids: dict[str, Any]) -> dict[str, Mesh]:
    return {n: make_mesh(solid) for n, solid in solids.items() if not n.startswith("open-")}


def _volume_mm3(mesh: Mesh) -> float:
    """Sum the signed tetrahedra of the triangles with the origin (the divergence theorem)."""
    a, b, c = (mesh.points[mesh.triangles[:, i]].astype(float) for i in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)


def test_a_mesh_has_the_volume_of_its_solid(
    meshes: dict[str, Mesh], solids: dict[str, Any]
) -> None:
    for name, mesh in meshes.items():
        exact = solids[name].Volume()
        assert abs(_volume_mm3(mesh) - exact) <= SAG_MM * solids[name].Area(), name
        assert _volume_mm3(mesh) == pytest.approx(exact, rel=0.015), name


def test_the_middle_of_every_triangle_lies_on_the_solid(
    meshes: dict[str, Mesh], solids: dict[str, Any]
) -> None:
    import cadquery as cq

    for name in ("wear-ring", "impeller", "shaft", "cover-o-ring"):
        mesh = meshes[name]
        middles = mesh.points[mesh.triangles].mean(axis=1)
        shells = solids[name].Shells()
        for middle in middles[:: max(1, len(middles) // 25)]:
            vertex = cq.Vertex.makeVertex(*(float(value) for value in middle))
            off = min(shell.distance(vertex) for shell in shells)
            assert off <= 2 * SAG_MM, name


def test_normals_are_unit_and_agree_with_the_triangles(meshes: dict[str, Mesh]) -> None:
    for name, mesh in meshes.items():
        lengths = np.linalg.norm(mesh.normals, axis=1)
        assert np.allclose(lengths, 1.0, atol=1e-3), name
        a, b, c = (mesh.points[mesh.triangles[:, i]].astype(float) for i in range(3))
        facing = np.cross(b - a, c - a)
        area = np.linalg.norm(facing, axis=1)
        kept = area > 1e-4
        mean = mesh.normals[mesh.triangles].mean(axis=1)[kept]
        agree = np.einsum("ij,ij->i", facing[kept] / area[kept, None], mean)
        # weighed by area: a sliver at a seam may lean, a surface may not
        assert float((agree * area[kept]).sum() / area[kept].sum()) > 0.985, name
        assert float(area[kept][agree < 0].sum()) < 1e-3 * float(area.sum()), name


def test_every_edge_of_a_mesh_joins_two_triangles_that_run_opposite_ways(
    meshes: dict[str, Mesh],
) -> None:
    for name, mesh in meshes.items():
        points, index = np.unique(mesh.points.round(3), axis=0, return_inverse=True)
        triangles = index.reshape(-1)[mesh.triangles]
        whole = [t for t in triangles.tolist() if len(set(t)) == 3]
        count: dict[tuple[int, int], int] = {}
        for a, b, c in whole:
            for one, other in ((a, b), (b, c), (c, a)):
                count[one, other] = count.get((one, other), 0) + 1
        open_edges = [edge for edge, times in count.items() if count.get(edge[::-1], 0) != times]
        assert not open_edges, f"{name}: {len(open_edges)} of {len(count)} edges open"
        assert len(points) > 3


@pytest.fixture(scope="module")
def assembly_and_cache(
    pump: Build, meshes: dict[str, Mesh], tmp_path_factory: pytest.TempPathFactory
) -> tuple[Assembly, MeshCache, list[str]]:
    """Assemble from a cache that lacks one mesh, so that a builder process must make it."""
    cache = MeshCache(tmp_path_factory.mktemp("meshes"))
    for name, mesh in meshes.items():
        if name != "wear-ring":
            cache.write(make_key(pump.pieces[name]), mesh)
    made: list[str] = []
    found = make_assembly(pump, cache, lambda _done, _of, one: made.append(one.piece.name))
    return found, cache, made


def test_only_what_the_cache_lacks_is_made(
    pump: Build, assembly_and_cache: tuple[Assembly, MeshCache, list[str]], meshes: dict[str, Mesh]
) -> None:
    assembly, cache, made = assembly_and_cache
    assert made == ["wear-ring"]
    assert set(assembly.by_name) == set(pump.pieces)
    stored = cache.read(make_key(pump.pieces["wear-ring"]))
    assert stored is not None
    assert np.array_equal(stored.triangles, meshes["wear-ring"].triangles)


def test_a_damaged_mesh_is_made_anew(
    pump: Build, assembly_and_cache: tuple[Assembly, MeshCache, list[str]]
) -> None:
    _, cache, _ = assembly_and_cache
    key = make_key(pump.pieces["seal-seat"])
    (cache.folder / f"{key}.npz").write_bytes(b"not a mesh")
    made: list[str] = []
    assembly = make_assembly(pump, cache, lambda _done, _of, one: made.append(one.piece.name))
    assert made == ["seal-seat"]
    assert len(assembly.by_name["seal-seat"].mesh.triangles) > 0
    assert cache.read(key) is not None


def _tight_box(shape: Any) -> list[float]:
    from OCP.Bnd import Bnd_Box
    from OCP.BRepBndLib import BRepBndLib

    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape.wrapped, box, False, False)
    return list(box.Get())


def test_a_placed_mesh_lies_where_the_kernel_puts_the_solid(
    pump: Build,
    solids: dict[str, Any],
    assembly_and_cache: tuple[Assembly, MeshCache, list[str]],
) -> None:
    assembly, _, _ = assembly_and_cache
    for name, solid in solids.items():
        if name.startswith("open-"):
            continue
        box = _tight_box(place(solid, pump.pieces[name].pose))
        low, high = assembly.by_name[name].mesh.bounds
        assert np.allclose([*low, *high], box, atol=2 * SAG_MM), name


def test_every_place_is_in_the_assembly(
    assembly_and_cache: tuple[Assembly, MeshCache, list[str]],
) -> None:
    assert set(assembly_and_cache[0].sets) == set(make_named_build("end-suction/100-250").places)
