"""Keep meshes on disk by content key, as plain arrays that never unpickle. No kernel."""

from __future__ import annotations

import os
import tempfile
import zipfile
from pathlib import Path

import numpy as np
import platformdirs

from models.spec.mesh import Mesh

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
            with np.load(path, allow_pickle=False) as arrays:
                mesh = Mesh(*(arrays[name] for name in _ARRAYS))
        except FileNotFoundError:
            return None
        except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
            path.unlink(missing_ok=True)
            return None
        if not _is_sound(mesh):
            path.unlink(missing_ok=True)
            return None
        os.utime(path)
        return mesh

    def write(self, key: str, mesh: Mesh) -> None:
        """Write a mesh so that a reader sees all of it or nothing. Raises OSError when the disk refuses."""
        self.folder.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=self.folder, suffix=".part")
        try:
            with os.fdopen(handle, "wb") as stream:
                np.savez(stream, **{array: getattr(mesh, array) for array in _ARRAYS})
                stream.flush()
                os.fsync(stream.fileno())
            Path(name).replace(self._path(key))
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
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
    """Check shapes, types and that no index points outside its array."""
    points, edges = len(mesh.points), len(mesh.edge_points)
    shapes = (mesh.points, mesh.normals, mesh.triangles, mesh.edge_points)
    if any(array.ndim != 2 or array.shape[1] != 3 for array in shapes) or mesh.edges.shape[1:] != (
        2,
    ):
        return False
    if mesh.normals.shape != mesh.points.shape or not len(mesh.triangles):
        return False
    inside = mesh.triangles.min() >= 0 and mesh.triangles.max() < points
    inked = not len(mesh.edges) or (mesh.edges.min() >= 0 and mesh.edges.max() < edges)
    return bool(inside and inked and np.isfinite(mesh.points).all())
