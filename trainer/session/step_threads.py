"""Make an assembly's solids fit to be measured: holes opened to what is screwed into them, tolerated overlaps cut off.

A drawn thread is a screw of full diameter in a hole of tapping size, or two helices; as solids neither
comes apart by a straight move. What is screwed together is taken as a smooth shank in a hole of its own size.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.solids.overlaps import Facets, cut_free, make_cylinder, make_facets
from models.spec.mesh import Mesh
from trainer.core.order.fasteners import Look
from trainer.core.order.guess import Guessed, Kind

Pair = frozenset[str]
Vector = npt.NDArray[np.float64]
NEAR_HEAD = 0.15
"""Share of a shank next to its head where a fillet may make it thicker."""
AIR_MM = 0.005


@dataclass(frozen=True, slots=True)
class Opened:
    """Meshes to measure with, for the pieces that were cut; `uncut` names those that could not be."""

    meshes: Mapping[str, Mesh]
    uncut: tuple[str, ...]


def find_thread_pairs(guessed: Guessed, kinds: Mapping[str, Kind]) -> dict[Pair, str]:
    """Find the pairs of a screw or stud and what it runs through, each with its screw."""
    return {
        frozenset({shank, hole.piece}): shank
        for shank, holes in guessed.holes.items()
        if kinds[shank] in (Kind.SCREW, Kind.STUD)
        for hole in holes
    }


def open_pieces(
    meshes: Mapping[str, Mesh],
    threads: Mapping[Pair, str],
    looks: Mapping[str, Look],
    tolerated: Collection[Pair],
) -> Opened:
    """Cut pieces free of each other: of a thread the one with the hole, of a tolerated overlap the larger one.

    Args:
        meshes: all pieces in place.
        threads: pairs whose hole is too narrow, each with its screw.
        looks: of every screw, in the frame and size of the meshes.
        tolerated: pairs whose shared volume is cut off.
    """
    cutters: dict[str, list[Facets | None]] = {}
    for pair, shank in threads.items():
        (host,) = pair - {shank}
        cutters.setdefault(host, []).append(_make_smooth(meshes[shank], looks[shank]))
    for pair in tolerated:
        smaller, larger = sorted(pair, key=lambda name: (_bulk(meshes[name]), name))
        cutters.setdefault(larger, []).append(make_facets(meshes[smaller]))
    cut: dict[str, Mesh] = {}
    uncut = []
    for name, some in cutters.items():
        left = cut_free(meshes[name], some)
        if left is None:
            uncut.append(name)
        else:
            cut[name] = left
    return Opened(cut, tuple(sorted(uncut)))


def _make_smooth(mesh: Mesh, look: Look) -> Facets:
    """Make the cylinder that a shank with all its threads just fits into."""
    off = mesh.points.astype(np.float64) - look.at
    along = off @ look.axis
    out = np.linalg.norm(off - along[:, None] * look.axis, axis=1)
    top = look.seat_mm - NEAR_HEAD * (look.seat_mm - look.low_mm)
    radius = float(out[along <= top].max(initial=look.radius_mm)) + AIR_MM
    return make_cylinder(look.at, look.axis, radius, (look.low_mm, look.seat_mm))


def _bulk(mesh: Mesh) -> float:
    low, high = mesh.bounds
    return float((high - low).prod())
