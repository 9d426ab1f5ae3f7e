"""Keep the blocking table on disk, by what decides it: each piece's mesh, its place, and the code that fills it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path

from models.solids.arrays import DAMAGED, read_arrays, write_arrays
from models.solids.cache import MeshCache
from models.solids.keys import make_key
from models.spec.assembly import Assembly
from models.spec.build import Build
from trainer.core.order import blocking as blocking_code
from trainer.core.order.aside import Asides
from trainer.core.order.blocking import Blocking, find_blocking
from trainer.core.order.directions import SIX

_ARRAYS = ("travel_mm", "clear_mm", "low", "high")
_ASIDES = ("head", "first", "then", "draw_mm", "bars")
_CODE = (
    "aside.py",
    "directions.py",
    "blocking.py",
    "crossing.py",
    "outline.py",
    "rays.py",
    "spacing.py",
)


def find_relations(
    build: Build,
    assembly: Assembly,
    cache: MeshCache,
    progress: Callable[[int, int], None] | None = None,
) -> Blocking:
    """Read the table of a build from the cache, or fill it and keep it."""
    found = read_relations(build, cache)
    if found is None:  # absent or damaged: filled anew, nothing is lost
        found = find_blocking(assembly, progress)
        arrays = {name: getattr(found, name) for name in _ARRAYS}
        arrays |= {name: getattr(found.asides, name) for name in _ASIDES}
        write_arrays(_path(build, cache), arrays)
    return found


def read_relations(build: Build, cache: MeshCache) -> Blocking | None:
    """Read the table of a build from the cache; None when it is absent or damaged."""
    names = tuple(build.pieces)
    try:
        travel, clear, low, high, *asides = read_arrays(_path(build, cache), (*_ARRAYS, *_ASIDES))
    except DAMAGED:
        return None
    shape = (len(SIX), len(names), len(names))
    if travel.shape != shape or clear.shape != shape:
        return None
    return Blocking(names, travel, clear, low, high, asides=Asides(*asides))


def _path(build: Build, cache: MeshCache) -> Path:
    return cache.folder.parent / "relations" / f"{_key(build)}.npz"


def _key(build: Build) -> str:
    folder = Path(blocking_code.__file__).parent
    told = {
        "pieces": {
            name: [
                make_key(piece),
                [repr(float(x)) for x in piece.pose.origin],
                piece.pose.axis,
                piece.pose.sign,
                repr(piece.pose.turn_deg),
            ]
            for name, piece in build.pieces.items()
        },
        "code": [hashlib.sha256((folder / file).read_bytes()).hexdigest() for file in _CODE],
    }
    return hashlib.sha256(json.dumps(told).encode()).hexdigest()
