"""Bodies of known shape and assemblies of a few of them, for every test of orders."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np
import pytest
import trimesh

from models.spec.assembly import Assembly, AssemblyPiece, Carry, Hold
from models.spec.joint import JointKind
from models.spec.mesh import Mesh
from trainer.core.order.aside import Asides
from trainer.core.order.blocking import Blocking
from trainer.core.order.directions import SIX, Direction

FACETS = 360
"""Sides of a round body: on a radius of 40 mm they sag by 0.0015 mm."""
EVERY_WAY = SIX

Travels = Mapping[tuple[str, str], Mapping[Direction, float]]


def to_mesh(body: trimesh.Trimesh) -> Mesh:
    none = np.zeros((0, 3), np.float32), np.zeros((0, 2), np.int32)
    points = np.asarray(body.vertices, np.float32)
    return Mesh(points, np.asarray(body.vertex_normals, np.float32),
                np.asarray(body.faces, np.int32), *none)  # fmt: skip


def make_box(low: Iterable[float], high: Iterable[float]) -> Mesh:
    """Make a box from its two corners, mm."""
    return to_mesh(trimesh.creation.box(bounds=np.array([list(low), list(high)])))


def make_turned(*outline: tuple[float, float]) -> Mesh:
    """Turn a closed outline of (radius, x) points, mm, about the x axis."""
    body = trimesh.creation.revolve(np.array([*outline, outline[0]], float), sections=FACETS)
    if body.volume < 0:
        body.invert()
    points = np.column_stack([body.vertices[:, 2], body.vertices[:, 0], body.vertices[:, 1]])
    return to_mesh(trimesh.Trimesh(points, body.faces, process=False))


def make_tube(start: float, end: float, outside: float, bore: float = 0.0) -> Mesh:
    """Make a tube along x from `start` to `end`, with outside and bore diameters, mm."""
    inner, outer = bore / 2, outside / 2
    return make_turned((inner, start), (outer, start), (outer, end), (inner, end))


def join(*meshes: Mesh) -> Mesh:
    """Put bodies into one mesh; they must not share volume."""
    counts = np.cumsum([0, *(len(mesh.points) for mesh in meshes)])
    return Mesh(
        np.concatenate([mesh.points for mesh in meshes]),
        np.concatenate([mesh.normals for mesh in meshes]),
        np.concatenate(
            [mesh.triangles + np.int32(n) for mesh, n in zip(meshes, counts, strict=False)]
        ),
        meshes[0].edge_points,
        meshes[0].edges,
    )


@dataclass
class Shop:
    """Make assemblies of a few pieces, from bodies or from plain words about who bars whom."""

    box = staticmethod(make_box)
    turned = staticmethod(make_turned)
    tube = staticmethod(make_tube)
    join = staticmethod(join)
    unit_box: Mesh = field(default_factory=lambda: make_box((0, 0, 0), (1, 1, 1)))

    def assemble(
        self,
        meshes: Mapping[str, Mesh],
        holds: Iterable[Hold] = (),
        carries: Iterable[Carry] = (),
        *,
        flexible: Iterable[str] = (),
    ) -> Assembly:
        """Make an assembly of meshes by name; a name less its number is the part."""
        soft = set(flexible)
        pieces = tuple(
            AssemblyPiece(name, name.rstrip("-0123456789"), "made-up", "carbon-steel", "", mesh,
                          name in soft)
            for name, mesh in meshes.items()
        )  # fmt: skip
        return Assembly("made-up", pieces, tuple(holds), tuple(carries))

    def name(
        self,
        names: Iterable[str],
        holds: Iterable[Hold] = (),
        carries: Iterable[Carry] = (),
        *,
        flexible: Iterable[str] = (),
    ) -> Assembly:
        """Make an assembly whose shapes do not matter."""
        meshes = dict.fromkeys(names, self.unit_box)
        return self.assemble(meshes, holds, carries, flexible=flexible)

    def bar(
        self,
        names: Iterable[str],
        travels: Travels,
        *,
        asides: Iterable[tuple[str, Direction, float, Direction, Iterable[str]]] = (),
        bulk: Mapping[str, float] | None = None,
    ) -> Blocking:
        """Make a table: (moved, in the way) to travel by direction. All else is free.

        asides: ways out by two moves: piece, first move, its length in mm, second move, who bars that.
        bulk: a piece's volume in cubic mm, 1 where not named.
        """
        known = tuple(names)
        travel = np.full((6, len(known), len(known)), np.inf, np.float32)
        clear = np.full((6, len(known), len(known)), np.inf, np.float32)
        for (moved, other), ways in travels.items():
            for direction, far in ways.items():
                at = EVERY_WAY.index(direction), known.index(moved), known.index(other)
                travel[at] = far
        low = np.zeros((len(known), 3), np.float32)
        high = np.ones((len(known), 3), np.float32)
        high[:, 2] = [(bulk or {}).get(name, 1.0) for name in known]
        rows = [
            (known.index(head), EVERY_WAY.index(first), EVERY_WAY.index(then), far,
             [name in set(barred) for name in known])
            for head, first, far, then, barred in asides
        ]  # fmt: skip
        second = (
            Asides(*(np.array(column) for column in zip(*rows, strict=True))) if rows else Asides()
        )
        return Blocking(known, travel, clear, low, high, asides=second)

    def shut(self, travel_mm: float = 0.0) -> dict[Direction, float]:
        """Bar every way after the same travel."""
        return dict.fromkeys(EVERY_WAY, travel_mm)

    def bolt(self, members: Iterable[str], bolts: Iterable[str]) -> list[Hold]:
        """Hold members together by bolts, each of which holds alone."""
        body = frozenset(members)
        return [Hold("made-up-joint", JointKind.BOLTED, body, frozenset({bolt})) for bolt in bolts]

    def ride(self, carrier: str, carried: str, tool: str = "") -> Carry:
        """Let one piece ride on another."""
        return Carry("made-up-fit", JointKind.PRESS, carrier, carried, tool)


@pytest.fixture(scope="session")
def shop() -> Shop:
    return Shop()
