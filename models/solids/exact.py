"""Ask the solids themselves: the gap between two faces, or how far apart two pieces stand. Loads no kernel until it must.

What was measured once is remembered by content, so that the same solids are never measured twice.
"""

from __future__ import annotations

import hashlib
import importlib.metadata
import json
from collections.abc import Callable
from functools import cache
from pathlib import Path

import numpy as np
import numpy.typing as npt

from models.solids.cache import MeshCache
from models.solids.keys import make_key
from models.solids.memory import Fact, FactMemory
from models.spec.build import Build, PlacedPiece
from models.spec.clearance import Clearance, ClearanceKind
from models.spec.turning import find_rotation, find_shift_mm

_SOURCES = ("exact.py", "measuring.py", "shape.py")
Vector = npt.NDArray[np.float64]


def can_be_measured(build: Build, clearance: Clearance) -> bool:
    """Can the kernel measure this clearance: is it the plain distance of two faces, with air between them?

    What is pressed together overlaps, and has no gap; what is computed has no two faces that say it.
    """
    if not clearance.is_plain:
        return False
    return clearance.kind is not ClearanceKind.DIAMETRAL or float(build.read_chain(clearance)) > 0.0


def make_gap_key(build: Build, clearance: Clearance) -> str:
    """Make the key under which the gap of two solids is remembered: all that decides it."""
    told: list[object] = ["gap", clearance.kind]
    for place, face in (clearance.low, clearance.high):
        piece = build.piece_at(place)
        told += [make_key(piece), face, *_say_pose(piece)]
    return _make_key(told)


def make_pair_key(build: Build, names: tuple[str, str], shift_mm: Vector) -> str:
    """Make the key under which the distance of two pieces is remembered, the first moved by (3,) mm."""
    told: list[object] = ["pair", shift_mm.round(6).tolist()]
    for name in names:
        piece = build.pieces[name]
        told += [make_key(piece), *_say_pose(piece)]
    return _make_key(told)


def find_known(key: str) -> Fact | None:
    """Find what was measured before; None when it never was."""
    return FactMemory().find(key)


def measure_gap(build: Build, clearance: Clearance) -> Fact:
    """Measure the gap between the two faces of a clearance on their solids, in mm; () when a face is not there.

    Loads the kernel: for a process of its own.
    """

    def measure() -> Fact:
        from models.solids.measuring import Measurer

        low, high = (
            (build.piece_at(place), face) for place, face in (clearance.low, clearance.high)
        )
        keys = make_key(low[0]), make_key(high[0])
        found = Measurer(MeshCache()).measure_clearance(keys, low, high, clearance.kind)
        return () if found is None else (found,)

    return _remember(make_gap_key(build, clearance), measure)


def measure_pair(build: Build, names: tuple[str, str], shift_mm: Vector) -> Fact:
    """Measure how far apart two pieces stand, in mm: as they are, and with the first moved by (3,) mm.

    Loads the kernel: for a process of its own.
    """

    def measure() -> Fact:
        import cadquery as cq

        from models.solids.shape import make_shape, measure_gap_mm, place

        one, other = (place(make_shape(build.pieces[n]), build.pieces[n].pose) for n in names)
        moved = one.moved(cq.Location(cq.Vector(*shift_mm)))
        return (measure_gap_mm(one, other), measure_gap_mm(moved, other))

    return _remember(make_pair_key(build, names, shift_mm), measure)


def _remember(key: str, measure: Callable[[], Fact]) -> Fact:
    memory = FactMemory()
    fact = memory.find(key)
    if fact is None:
        fact = measure()
        if fact:
            memory.learn(key, fact)
            memory.save()
    return fact


def _say_pose(piece: PlacedPiece) -> list[object]:
    turn, shift = find_rotation(piece.pose), find_shift_mm(piece.pose)
    return [(turn.round(9) + 0.0).tolist(), (shift.round(7) + 0.0).tolist()]


def _make_key(told: list[object]) -> str:
    text = json.dumps([_version(), told], sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:32]


@cache
def _version() -> str:
    """Digest what decides a fact beside the solids: our own measuring and the library it asks."""
    digest = hashlib.sha256()
    for name in _SOURCES:
        digest.update(Path(__file__).with_name(name).read_bytes())
    digest.update(importlib.metadata.version("cadquery-ocp").encode())
    return digest.hexdigest()
