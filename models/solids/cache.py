"""Keep meshes on disk by content key, as plain arrays that never unpickle. No kernel."""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import platformdirs

from models.solids.arrays import DAMAGED, read_arrays, write_arrays
from models.spec.mesh import Floats, Ints, Mesh

MOST_BYTES = 600_000_000
"""Size at which the least recently used meshes are dropped."""
_ARRAYS = ("points", "normals", "triangles", "edge_points", "edges")


class MeshCache:
    """Read and write meshes in one folder; safe for several processes at once.

    A file that cannot be read is treated as absent and made anew: a cache holds nothing that is not
    made again from tables.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder or platformdirs.user_cache_path("pumpwright") / "meshes"

    def _path(self, key: str) -> Path:
        return self.folder / f"{key}.npz"

    def has(self, key: str) -> bool:
        """Say whether a mesh of that key lies here."""
        return self._path(key).is_file()

    def read(self, key: str) -> Mesh | None:
        """Read a mesh; None when it is absent or damaged."""
        path = self._path(key)
        try:
            mesh = Mesh(*read_arrays(path, _ARRAYS))
        except FileNotFoundError:
            return None
        except DAMAGED:
            path.unlink(missing_ok=True)
            return None
        if not _is_sound(mesh):
            path.unlink(missing_ok=True)
            return None
        os.utime(path)
        return mesh

    def write(self, key: str, mesh: Mesh) -> None:
        """Write a mesh so that a reader sees all of it or nothing. Raises OSError when the disk refuses."""
        write_arrays(self._path(key), {name: getattr(mesh, name) for name in _ARRAYS})
        self._trim()

    def _trim(self) -> None:
        files = []
        for path in self.folder.glob("*.npz"):
            try:
                facts = path.stat()
            except FileNotFoundError:
                continue
            files.append((facts.st_mtime, facts.st_size, path))
        total = sum(size for _, size, _ in files)
        for _, size, path in sorted(files):
            if total <= MOST_BYTES:
                return
            path.unlink(missing_ok=True)
            total -= size


def _is_sound(mesh: Mesh) -> bool:
    """Check shapes, types, that all numbers are finite and that no index points outside its array."""
    reals = (mesh.points, mesh.normals, mesh.edge_points)
    if any(array.dtype != np.float32 for array in reals):
        return False
    if any(array.dtype != np.int32 for array in (mesh.triangles, mesh.edges)):
        return False
    if any(array.ndim != 2 or array.shape[1] != 3 for array in (*reals, mesh.triangles)):
        return False
    if mesh.edges.ndim != 2 or mesh.edges.shape[1] != 2:
        return False
    if mesh.normals.shape != mesh.points.shape or not len(mesh.triangles):
        return False
    finite = all(np.isfinite(array).all() for array in reals)
    return (
        finite
        and _is_inside(mesh.triangles, mesh.points)
        and _is_inside(mesh.edges, mesh.edge_points)
    )


def _is_inside(indices: Ints, points: Floats) -> bool:
    return not len(indices) or bool(indices.min() >= 0 and indices.max() < len(points))
