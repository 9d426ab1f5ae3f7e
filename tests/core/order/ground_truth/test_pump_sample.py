"""A random sample of the real pump's relations, held against exact booleans of its meshes (manifold3d).

One piece is moved, and what the two solids share is asked for: lumps thicker than SLIVER_MM are a
collision; thinner ones are press fits, contacts and facets. Nothing of this knows rays or grids. Left out are
sheets, the shims: moved sideways they are thickened (`blocking.py` says so), and moved along they share
no lump.
"""

from __future__ import annotations

import random
from dataclasses import dataclass

import manifold3d
import numpy as np
import pytest

from models.spec.mesh import Mesh
from tests.bench.bodies import Floats
from trainer.core.order.blocking import THIN_MM, Blocking
from trainer.session.bench import Bench, open_bench

SLIVER_MM = 0.1
AXIAL_MM, RADIAL_MM = 0.1, 0.5
"""Promised for travel along the shaft and across it."""
PAST_MM, GROWN_MM3 = 0.4, 0.2
"""So little past the contact the solids share more than before it."""
DEEP_MM = (1.0, 2.0, 4.0, 8.0)
"""Past the contact they share a lump, here or there: a shallow cone makes it slowly."""
STOPS, LEAST_STEP_MM = 50, 0.5
"""Where a piece that never meets another is looked at on its way: so many times, but no closer than this."""
SEED = 20


@dataclass(frozen=True, slots=True)
class Relation:
    """One entry of the table."""

    moved: str
    other: str
    way: Floats
    travel_mm: float
    is_axial: bool

    def __str__(self) -> str:
        return f"{self.moved} {np.round(self.way, 3)} to {self.other}: {self.travel_mm:.3f} mm"


class Solids:
    """The pump's solids, to be moved and intersected."""

    def __init__(self, bench: Bench) -> None:
        self.meshes = {piece.name: piece.mesh for piece in bench.assembly.pieces}
        self._solids: dict[str, manifold3d.Manifold] = {}

    def solid(self, name: str) -> manifold3d.Manifold:
        if name not in self._solids:
            self._solids[name] = make_solid(self.meshes[name])
        return self._solids[name]

    def share(self, relation: Relation, travel_mm: float) -> manifold3d.Manifold:
        """Give what two solids share when one is moved."""
        moved = self.solid(relation.moved).translate(tuple(relation.way * travel_mm))
        return moved ^ self.solid(relation.other)

    def measure_lump_mm(self, relation: Relation, travel_mm: float) -> float:
        """Give the thickness of the thickest lump that two solids share when one is moved, mm."""
        lumps = self.share(relation, travel_mm).decompose()
        return max((2.0 * lump.volume() / lump.surface_area() for lump in lumps), default=0.0)

    def find_exit_mm(self, relation: Relation) -> float:
        """Give how far a piece moves until its box has passed the other's."""
        mine, theirs = (
            self.meshes[name].points.astype(float) @ relation.way
            for name in (relation.moved, relation.other)
        )
        return max(0.0, float(theirs.max() - mine.min()))


def make_solid(mesh: Mesh) -> manifold3d.Manifold:
    """Make one closed solid: the kernel's meshes have a seam along every edge."""
    facets = manifold3d.Mesh(mesh.points.astype(np.float32), mesh.triangles.astype(np.uint32))
    facets.merge()
    solid = manifold3d.Manifold(facets)
    assert solid.status() == manifold3d.Error.NoError
    return solid


def draw_relations(bench: Bench, meeting: int, clear: int) -> list[Relation]:
    """Draw relations that meet, and as many that never do though their outlines overlap."""
    table, chance = bench.blocking, random.Random(SEED)
    found: dict[bool, list[Relation]] = {True: [], False: []}
    for d, way in enumerate(table.directions):
        low, high = _see(table, way.vector)
        for a, b in np.ndindex(len(table.names), len(table.names)):
            asked = table.asked is None or table.asked[d, a]
            beside = np.all((low[a] < high[b]) & (low[b] < high[a]))
            is_sheet = min(_thinnest(table, a), _thinnest(table, b)) < THIN_MM
            if a == b or not asked or not beside or is_sheet:
                continue
            travel = float(table.travel_mm[d, a, b])
            names = table.names[a], table.names[b]
            found[np.isfinite(travel)].append(
                Relation(*names, way.vector, travel, way.is_along_shaft)
            )
    return chance.sample(found[True], meeting) + chance.sample(found[False], clear)


def _see(table: Blocking, way: Floats) -> tuple[Floats, Floats]:
    """Give the boxes across a direction; a tilted one has the whole box."""
    across = [k for k in range(3) if abs(way[k]) < 0.99]
    return table.low[:, across].astype(float), table.high[:, across].astype(float)


def _thinnest(table: Blocking, piece: int) -> float:
    return float((table.high[piece] - table.low[piece]).min())


def find_wrong(solids: Solids, relation: Relation, chance: random.Random) -> list[str]:
    """Say where the solids contradict the table."""
    travel = relation.travel_mm
    late = AXIAL_MM if relation.is_axial else RADIAL_MM
    if np.isfinite(travel):
        clear = [t for t in (travel - late - 0.05, *_between(travel - late, chance)) if t > 0.0]
        told = _find_nothing_met(solids, relation)
    else:
        end, told = solids.find_exit_mm(relation), []
        step = max(LEAST_STEP_MM, end / STOPS)
        clear = [*np.arange(step / 2, end, step)]
    lumps = [(at, solids.measure_lump_mm(relation, at)) for at in clear]
    told += [f"{lump:.3f} mm of solid shared at {at:.2f}" for at, lump in lumps if lump > SLIVER_MM]
    return [f"{relation}: {one}" for one in told]


def _find_nothing_met(solids: Solids, relation: Relation) -> list[str]:
    """Say so where nothing is met after the travel that is told."""
    travel, told = relation.travel_mm, []
    before = solids.share(relation, max(0.0, travel - PAST_MM / 2)).volume()
    grown = solids.share(relation, travel + PAST_MM).volume() - before
    if grown < GROWN_MM3:
        told.append(f"shares {grown:.3f} mm3 more {PAST_MM} mm past it")
    if all(solids.measure_lump_mm(relation, travel + deep) <= SLIVER_MM for deep in DEEP_MM):
        told.append("no lump is shared past it")
    return told


def _between(travel_mm: float, chance: random.Random) -> list[float]:
    return [chance.uniform(0.0, travel_mm) for _ in range(4)] if travel_mm > 0.0 else []


def check(bench: Bench, meeting: int, clear: int) -> None:
    solids, chance = Solids(bench), random.Random(SEED)
    relations = draw_relations(bench, meeting, clear)
    wrong = [told for relation in relations for told in find_wrong(solids, relation, chance)]
    assert not wrong, "\n".join(wrong)


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250")


def test_relations_of_the_pump_agree_with_booleans_of_its_solids(bench: Bench) -> None:
    check(bench, meeting=12, clear=4)


@pytest.mark.long
def test_many_relations_of_the_pump_agree_with_booleans_of_its_solids(bench: Bench) -> None:
    """Run with `python -m pytest tests/core/order/ground_truth --long`: 260 relations."""
    check(bench, meeting=160, clear=100)
