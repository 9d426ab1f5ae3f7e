"""Make an Assembly of a build: each piece's mesh from the cache or from builder processes, put in its place.

Loads no kernel itself: the kernel runs in spawned processes, so that a warm start never pays for it.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor, as_completed

from models.solids.cache import MeshCache
from models.solids.keys import make_key
from models.spec.assembly import Assembly, AssemblyPiece
from models.spec.build import Build, PlacedPiece
from models.spec.holding import find_carries, find_cautions, find_holds, find_presses
from models.spec.mesh import Mesh
from models.spec.turning import find_rotation, find_shift_mm

Progress = Callable[[int, int, str], None]
"""Called with (made so far, to make, name of the piece just made)."""

SLOW_FIRST = ("volute", "impeller", "seal-spring")
"""Kinds that take longest: started first, so that no process idles at the end."""


def make_assembly(
    build: Build, cache: MeshCache | None = None, progress: Progress | None = None
) -> Assembly:
    """Make all meshes that are not cached, place them, and attach holds, carries and press fits.

    Raises:
        RuntimeError: a generator failed; names the piece.
    """
    cache = cache or MeshCache()
    keys = {name: make_key(piece) for name, piece in build.pieces.items()}
    meshes = {key: mesh for key in set(keys.values()) if (mesh := cache.read(key)) is not None}
    missing = {key: name for name, key in keys.items() if key not in meshes}
    if missing:
        meshes |= _make_missing(build, missing, cache, progress)
    pieces = tuple(
        _assembly_piece(piece, meshes[keys[name]]) for name, piece in build.pieces.items()
    )
    return Assembly(
        build.name,
        pieces,
        find_holds(build),
        find_carries(build),
        find_presses(build),
        find_cautions(build),
    )


def _assembly_piece(piece: PlacedPiece, mesh: Mesh) -> AssemblyPiece:
    placed = mesh.moved(find_rotation(piece.pose), find_shift_mm(piece.pose))
    part = piece.part
    return AssemblyPiece(
        piece.name,
        piece.place.name,
        part.kind,
        part.material.value,
        piece.place.group,
        placed,
        part.flexible,
    )


def _make_missing(
    build: Build, missing: dict[str, str], cache: MeshCache, progress: Progress | None
) -> dict[str, Mesh]:
    """Make meshes in spawned processes; each is cached as soon as it is there, so a stop loses little."""
    order = sorted(
        missing.items(), key=lambda item: build.pieces[item[1]].part.kind not in SLOW_FIRST
    )
    made: dict[str, Mesh] = {}
    workers = min(len(order), os.cpu_count() or 1)
    spawn = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(workers, mp_context=spawn) as pool:
        wanted = {}
        for key, name in order:
            piece = build.pieces[name]
            at = {face: float(value.at) for face, value in piece.faces.items()}
            row = {dimension: float(value) for dimension, value in piece.row.items()}
            shape = piece.part.shape
            wanted[pool.submit(make_one, shape.__module__, shape.__qualname__, at, row)] = (
                key,
                name,
            )
        for done in as_completed(wanted):
            key, name = wanted[done]
            try:
                mesh = done.result()
            except Exception as error:
                pool.shutdown(cancel_futures=True)
                raise RuntimeError(f"the solid of {name} could not be made: {error}") from error
            cache.write(key, mesh)
            made[key] = mesh
            if progress:
                progress(len(made), len(missing), name)
    return made


def make_one(module: str, function: str, at: dict[str, float], row: dict[str, float]) -> Mesh:
    """Make one mesh from a generator named by module and function; runs in a builder process."""
    import importlib

    from models.solids.tessellate import make_mesh

    return make_mesh(getattr(importlib.import_module(module), function)(at, row))
