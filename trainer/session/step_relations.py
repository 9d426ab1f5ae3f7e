"""Keep the relations of somebody's assembly on disk, by all that decides them: meshes in place, joints, and the code."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import fields
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from models.solids.arrays import DAMAGED, read_arrays, write_arrays
from models.spec.assembly import Assembly
from trainer.core.order import blocking as blocking_code
from trainer.core.order.aside import Asides
from trainer.core.order.blocking import Blocking, find_blocking
from trainer.core.order.directions import find_directions

MOST_KEPT = 200
"""Tables kept; the oldest are dropped beyond that."""


def find_step_relations(
    assembly: Assembly, folder: Path, progress: Callable[[int, int], None] | None = None
) -> Blocking:
    """Read the table of an assembly from a folder, or fill it and keep it."""
    path = folder / f"step-{_key(assembly)}.npz"
    found = _read(path, assembly)
    if found is None:  # absent or damaged: filled anew, nothing is lost
        found = find_blocking(assembly, progress)
        write_arrays(path, _name_arrays(found))
        _trim(folder)
    return found


def has_step_relations(assembly: Assembly, folder: Path) -> bool:
    """Say whether the table of an assembly lies in a folder, undamaged."""
    return _read(folder / f"step-{_key(assembly)}.npz", assembly) is not None


def _trim(folder: Path) -> None:
    files = sorted(folder.glob("step-*.npz"), key=lambda file: file.stat().st_mtime)
    for file in files[:-MOST_KEPT]:
        file.unlink(missing_ok=True)


def _key(assembly: Assembly) -> str:
    """Digest all that decides the relations: meshes in place, axes, what rides on what, and the code."""
    digest = hashlib.sha256()
    for file in sorted(Path(blocking_code.__file__).parent.glob("*.py")):
        digest.update(file.read_bytes())
    for piece in assembly.pieces:
        digest.update(f"{piece.name} {piece.axis} {piece.flexible}".encode())
        digest.update(piece.mesh.points.tobytes())
        digest.update(piece.mesh.triangles.tobytes())
    digest.update(repr(assembly.carries).encode())
    digest.update(
        repr([sorted(map(sorted, (h.members, h.present))) for h in assembly.holds]).encode()
    )
    return digest.hexdigest()


def _name_arrays(found: Blocking) -> dict[str, npt.NDArray[Any]]:
    arrays = {f.name: getattr(found, f.name) for f in fields(found)}
    arrays |= {f"asides.{f.name}": getattr(found.asides, f.name) for f in fields(Asides)}
    return {name: array for name, array in arrays.items() if isinstance(array, np.ndarray)}


def _read(path: Path, assembly: Assembly) -> Blocking | None:
    """Read kept relations; None when they are absent or damaged, and then they are worked out anew."""
    names = tuple(piece.name for piece in assembly.pieces)
    directions, _ = find_directions(assembly)
    told = [f.name for f in fields(Blocking) if f.name not in ("names", "directions", "asides")]
    aside = [f.name for f in fields(Asides)]
    try:
        found = read_arrays(path, [*told, *(f"asides.{name}" for name in aside)])
    except DAMAGED:
        return None
    arrays: dict[str, Any] = dict(zip(told, found, strict=False))
    asides = Asides(**dict(zip(aside, found[len(told) :], strict=True)))
    if arrays["travel_mm"].shape != (len(directions), len(names), len(names)):
        return None
    return Blocking(names=names, directions=directions, asides=asides, **arrays)
