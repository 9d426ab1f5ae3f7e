"""Weigh a build piece by piece from its exact solids. What was measured once is remembered; only then no kernel is loaded."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from models.solids.keys import make_key
from models.solids.memory import Fact, FactMemory
from models.spec.build import Build, PlacedPiece
from models.spec.part import Material
from models.spec.turning import find_rotation, find_shift_mm

HOIST_KG = 25.0
"""What weighs more is not lifted by one person. Source: common practice."""
MM3_IN_M3 = 1e9

Progress = Callable[[int, int], None]
Triple = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Weight:
    """One piece, or all of them together: dry and bare. The centre counts from the casing face on the pump's axis."""

    name: str
    volume_mm3: float
    mass_kg: float
    centre_mm: Triple

    @property
    def needs_hoist(self) -> bool:
        """Say whether it is too heavy to be lifted by hand."""
        return self.mass_kg > HOIST_KG


def weigh_build(
    build: Build,
    densities: Mapping[Material, float],
    memory: FactMemory | None = None,
    progress: Progress | None = None,
) -> tuple[Weight, ...]:
    """Weigh every piece of a build, with densities in kg/m3.

    Raises:
        OSError: what was measured cannot be kept.
    """
    return weigh_pieces(tuple(build.pieces.values()), densities, memory, progress)


def weigh_pieces(
    pieces: Collection[PlacedPiece],
    densities: Mapping[Material, float],
    memory: FactMemory | None = None,
    progress: Progress | None = None,
) -> tuple[Weight, ...]:
    """Weigh some pieces of a build, with densities in kg/m3.

    Raises:
        OSError: what was measured cannot be kept.
    """
    found: dict[str, Fact] = {}
    weights = []
    for done, piece in enumerate(pieces, start=1):
        key = f"{make_key(piece)} {_version()}"
        fact = found[key] if key in found else _find_volume(key, piece, memory)
        found[key] = fact
        weights.append(_place(piece, fact, densities[piece.part.material]))
        if progress:
            progress(done, len(pieces))
    if memory is not None:
        memory.save()
    return tuple(weights)


def add_weights(name: str, weights: tuple[Weight, ...]) -> Weight:
    """Add weights up; the centre is that of the masses."""
    masses = np.array([one.mass_kg for one in weights])
    centre = masses @ np.array([one.centre_mm for one in weights]) / masses.sum()
    volume = sum(one.volume_mm3 for one in weights)
    return Weight(name, volume, float(masses.sum()), _triple(centre.tolist()))


def _find_volume(key: str, piece: PlacedPiece, memory: FactMemory | None) -> Fact:
    """Find volume and centre in the piece's own frame, or measure and keep them."""
    fact = memory.find(key) if memory is not None else None
    if fact is None:
        from models.solids.shape import make_shape
        from models.solids.volume import measure_volume

        fact = measure_volume(make_shape(piece))
        if memory is not None:
            memory.learn(key, fact)
    return fact


def _place(piece: PlacedPiece, fact: Fact, density: float) -> Weight:
    volume_mm3, *centre = fact
    there = find_rotation(piece.pose) @ np.array(centre) + find_shift_mm(piece.pose)
    mass_kg = volume_mm3 / MM3_IN_M3 * density
    return Weight(piece.name, volume_mm3, mass_kg, _triple(there.tolist()))


def _triple(values: list[float]) -> Triple:
    x, y, z = values
    return x, y, z


@cache
def _version() -> str:
    """Digest how a volume is measured; solid and kernel stand in the mesh key."""
    return hashlib.sha256(Path(__file__).with_name("volume.py").read_bytes()).hexdigest()[:16]
