"""The mesh cache: what is damaged is made anew, what is planted is never run."""

from __future__ import annotations

import os
import zipfile
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from models.solids import cache as cache_module
from models.solids.cache import MeshCache
from models.spec.mesh import Mesh

ARRAYS = ("points", "normals", "triangles", "edge_points", "edges")


def _tetrahedron() -> Mesh:
    points = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]], np.float32)
    triangles = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]], np.int32)
    edges = np.array([[0, 1], [1, 2]], np.int32)
    return Mesh(points, points.copy(), triangles, points.copy(), edges)


def _arrays(**changed: Any) -> dict[str, Any]:
    mesh = _tetrahedron()
    return {name: getattr(mesh, name) for name in ARRAYS} | changed


def test_what_is_written_is_read_again(tmp_path: Path) -> None:
    cache, mesh = MeshCache(tmp_path), _tetrahedron()
    assert cache.read("a") is None
    assert not cache.has("a")
    cache.write("a", mesh)
    assert cache.has("a")
    back = cache.read("a")
    assert back is not None
    for name in ARRAYS:
        written, read = getattr(mesh, name), getattr(back, name)
        assert read.dtype == written.dtype
        assert np.array_equal(read, written)


def test_a_mesh_without_inked_edges_is_sound(tmp_path: Path) -> None:
    cache = MeshCache(tmp_path)
    none = {"edge_points": np.empty((0, 3), np.float32), "edges": np.empty((0, 2), np.int32)}
    cache.write("a", Mesh(**_arrays(**none)))
    assert cache.read("a") is not None


@pytest.mark.parametrize("kept", [0, 1, 10, 100, 0.5, -1])
def test_a_file_cut_short_is_absent_and_can_be_made_anew(tmp_path: Path, kept: float) -> None:
    cache = MeshCache(tmp_path)
    cache.write("a", _tetrahedron())
    path = tmp_path / "a.npz"
    raw = path.read_bytes()
    path.write_bytes(raw[: int(len(raw) * kept) if 0 < kept < 1 else int(kept)])
    assert cache.read("a") is None
    assert not path.exists(), "what cannot be read does not stay"
    cache.write("a", _tetrahedron())
    assert cache.read("a") is not None


def test_no_flipped_byte_crashes_or_gives_another_shape(tmp_path: Path) -> None:
    cache, sound = MeshCache(tmp_path), _tetrahedron()
    cache.write("a", sound)
    path = tmp_path / "a.npz"
    raw = path.read_bytes()
    survived = 0
    for place in range(len(raw)):
        for flip in (0xFF, 0x01, 0x08):
            spoilt = bytearray(raw)
            spoilt[place] ^= flip
            path.write_bytes(spoilt)
            back = cache.read("a")
            if back is not None:
                survived += 1
                assert all(np.array_equal(getattr(back, n), getattr(sound, n)) for n in ARRAYS)
    assert survived < len(raw), "most damage is noticed"


def test_other_files_under_the_name_are_absent(tmp_path: Path) -> None:
    cache, path = MeshCache(tmp_path), tmp_path / "a.npz"
    np.save(tmp_path / "plain.npy", np.zeros(3))
    for raw in (b"", b"garbage", b"PK\x03\x04", (tmp_path / "plain.npy").read_bytes()):
        path.write_bytes(raw)
        assert cache.read("a") is None
        assert not path.exists()


BAD_ARRAYS: dict[str, dict[str, Any]] = {
    "index beyond the points": {"triangles": np.array([[0, 1, 4]], np.int32)},
    "negative index": {"triangles": np.array([[0, 1, -1]], np.int32)},
    "edge beyond its points": {"edges": np.array([[0, 4]], np.int32)},
    "no triangles": {"triangles": np.empty((0, 3), np.int32)},
    "flat points": {"points": np.zeros((4, 2), np.float32)},
    "fewer normals than points": {"normals": np.zeros((3, 3), np.float32)},
    "not finite": {"points": np.full((4, 3), np.nan, np.float32)},
    "normals not finite": {"normals": np.full((4, 3), np.nan, np.float32)},
    "edge points not finite": {"edge_points": np.full((4, 3), np.inf, np.float32)},
    "one number": {"triangles": np.int32(3)},
    "fractions for indices": {"triangles": np.array([[0, 1, 2.5]], np.float64)},
    "text for points": {"points": np.full((4, 3), "x")},
}


@pytest.mark.parametrize("changed", BAD_ARRAYS.values(), ids=BAD_ARRAYS)
def test_arrays_that_are_no_mesh_are_absent(tmp_path: Path, changed: dict[str, Any]) -> None:
    np.savez(tmp_path / "a.npz", **_arrays(**changed))
    assert MeshCache(tmp_path).read("a") is None
    assert not (tmp_path / "a.npz").exists()


def test_a_missing_array_is_absent(tmp_path: Path) -> None:
    np.savez(tmp_path / "a.npz", **{k: v for k, v in _arrays().items() if k != "edges"})
    assert MeshCache(tmp_path).read("a") is None


class _Planted:
    """An object that leaves a mark when it is unpickled."""

    def __init__(self, mark: Path) -> None:
        self.mark = mark

    def __reduce__(self) -> tuple[Any, tuple[str]]:
        return os.mkdir, (str(self.mark),)


def test_a_planted_object_is_never_unpickled(tmp_path: Path) -> None:
    mark = tmp_path / "unpickled"
    planted = np.array([[_Planted(mark)] * 3], dtype=object)
    np.savez(tmp_path / "a.npz", **_arrays(points=planted))
    with zipfile.ZipFile(tmp_path / "a.npz") as archive:
        assert b"mkdir" in archive.read("points.npy"), "the plant is really in the file"
    assert MeshCache(tmp_path).read("a") is None
    assert not mark.exists()


def test_a_write_that_fails_leaves_nothing_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cache = MeshCache(tmp_path)
    cache.write("a", _tetrahedron())

    def refuse(_handle: int) -> None:
        raise OSError("the disk is full")

    monkeypatch.setattr(os, "fsync", refuse)
    with pytest.raises(OSError, match="full"):
        cache.write("a", _tetrahedron())
    assert [path.name for path in tmp_path.iterdir()] == ["a.npz"]
    assert cache.read("a") is not None


def test_the_least_recently_used_meshes_are_dropped_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    cache = MeshCache(tmp_path)
    for age, key in enumerate(("new", "used", "old")):
        cache.write(key, _tetrahedron())
        os.utime(tmp_path / f"{key}.npz", (1e9 - age, 1e9 - age))
    assert cache.read("used") is not None  # reading is using
    os.utime(tmp_path / "used.npz", (1e9 + 5, 1e9 + 5))
    size = (tmp_path / "old.npz").stat().st_size
    monkeypatch.setattr(cache_module, "MOST_BYTES", 2 * size)
    cache.write("newest", _tetrahedron())
    assert sorted(path.stem for path in tmp_path.iterdir()) == ["newest", "used"]
