"""Make an Assembly of a build: each piece's mesh from the cache or from builder processes, put in its place.

Loads no kernel itself: the kernel runs in spawned processes, so that a warm start never pays for it.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from models.solids.builders import Builders, Made
from models.solids.cache import MeshCache
from models.solids.keys import make_key
from models.spec.assembly import Assembly, AssemblyPiece
from models.spec.build import Build, PlacedPiece
from models.spec.holding import find_carries, find_cautions, find_holds, find_presses
from models.spec.mesh import Mesh
from models.spec.turning import find_rotation, find_shift_mm

Progress = Callable[[int, int, Made], None]
"""Called with (made so far, to make, what was just made)."""


def make_assembly(
    build: Build,
    cache: MeshCache | None = None,
    progress: Progress | None = None,
    builders: Builders | None = None,
    is_wanted: Callable[[], bool] = lambda: True,
) -> Assembly:
    """Make all meshes that are not cached, place them, and attach holds, carries and press fits.

    builders: processes to make them in, which stay; without, as many as are needed come and go.
    is_wanted: asked while meshes are made; what is no longer wanted is abandoned.

    Raises:
        RuntimeError: a generator failed; names the piece. StoppedError: it was not wanted any more.
    """
    cache = cache or MeshCache()
    keys = {name: make_key(piece) for name, piece in build.pieces.items()}
    meshes = {key: mesh for key in set(keys.values()) if (mesh := cache.read(key)) is not None}
    missing = {key: build.pieces[name] for name, key in keys.items() if key not in meshes}
    if missing:
        if builders is not None:
            meshes |= _make_missing(missing, cache, progress, builders, is_wanted)
        else:
            with Builders(min(len(missing), os.cpu_count() or 1)) as passing:
                meshes |= _make_missing(missing, cache, progress, passing, is_wanted)
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


@dataclass(frozen=True, slots=True)
class ToMake:
    """What of a build's solids has to be made, and how many there are in all; equal pieces share one.

    missing: a piece for each solid that is not kept, by its key.
    """

    missing: Mapping[str, PlacedPiece]
    solids: int


def find_missing(build: Build, cache: MeshCache | None = None) -> ToMake:
    """Find the solids that would have to be made: of another build only those of changed parts.

    Takes a tenth of a second and more, as every key does that is asked for the first time.
    """
    cache = cache or MeshCache()
    keyed = {make_key(piece): piece for piece in build.pieces.values()}
    missing = {key: piece for key, piece in keyed.items() if not cache.has(key)}
    return ToMake(missing, len(keyed))


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
    missing: dict[str, PlacedPiece],
    cache: MeshCache,
    progress: Progress | None,
    builders: Builders,
    is_wanted: Callable[[], bool],
) -> dict[str, Mesh]:
    """Make meshes in builder processes; each is cached as soon as it is there, so a stop loses little."""
    keys = {piece.name: key for key, piece in missing.items()}
    made: dict[str, Mesh] = {}
    for one in builders.make(missing.values(), is_wanted):
        key = keys[one.piece.name]
        cache.write(key, one.mesh)
        made[key] = one.mesh
        if progress:
            progress(len(made), len(missing), one)
    return made
