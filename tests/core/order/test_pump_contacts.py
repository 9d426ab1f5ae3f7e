"""Who bars whom on the real pump, held against the volumes that its meshes share when moved."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from trainer.core.order.state import Refused, State
from trainer.session.bench import Bench, open_bench

FLAT_MM, CORNER_MM = 0.1, 1.0
"""How near the contact is looked at: a corner that grazes is read late, measured 0.8 mm, since bodies
are eroded sideways and rays stand apart."""
SHARED_MM3 = 1e-2


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250")


def make_body(bench: Bench, piece: str, shift_mm: np.ndarray | None = None) -> trimesh.Trimesh:
    """Make one closed body of a piece: the kernel's meshes have a seam along every edge."""
    mesh = bench.assembly.by_name[piece].mesh
    points = np.round(mesh.points.astype(float), 4) + (0.0 if shift_mm is None else shift_mm)
    body = trimesh.Trimesh(points, mesh.triangles)
    body.merge_vertices(merge_norm=True, merge_tex=True)
    assert body.is_volume, piece
    return body


def shared_mm3(bench: Bench, moved: str, other: str, shift_mm: np.ndarray) -> float:
    bodies = [make_body(bench, moved, shift_mm), make_body(bench, other)]
    met = trimesh.boolean.intersection(bodies, engine="manifold")
    return 0.0 if met.is_empty else float(met.volume)


@pytest.mark.parametrize(
    ("piece", "in_the_way", "around_mm"),
    [
        ("lock-nut", "bearing-cap", FLAT_MM),
        ("drain-plug-seal-ring", "shaft", CORNER_MM),
        ("oil-seal-drive", "coupling-key", CORNER_MM),
    ],
)
def test_named_blocker_is_met_after_the_travel_told_and_not_before(
    bench: Bench, piece: str, in_the_way: str, around_mm: float
) -> None:
    found = State(bench.assembly, bench.blocking).look(piece)
    assert isinstance(found, Refused)
    assert found.way is not None
    assert found.way.blocked_by[0] == in_the_way
    along, travel_mm = found.way.direction.vector, found.way.travel_mm
    assert travel_mm > around_mm
    for share in (0.25, 0.5, 0.75):
        assert shared_mm3(bench, piece, in_the_way, along * travel_mm * share) < SHARED_MM3
    before = shared_mm3(bench, piece, in_the_way, along * (travel_mm - around_mm))
    beyond = shared_mm3(bench, piece, in_the_way, along * (travel_mm + around_mm))
    assert before < SHARED_MM3 < beyond


def test_cover_with_all_it_carries_is_drawn_off_without_touching(bench: Bench) -> None:
    """What is called free is free: nothing of the cover's own unit meets the parts it leaves."""
    state = State(bench.assembly, bench.blocking)
    for nut in bench.find_pieces("cover-nut"):
        state.take(nut)
    found = state.look("suction-cover")
    assert not isinstance(found, Refused)
    for other in ("volute", "shaft", "impeller-screw", "cover-stud-1"):
        for far_mm in (0.5, 5.0, 20.0, 60.0, 200.0):
            shift_mm = found.direction.vector * far_mm
            assert shared_mm3(bench, "suction-cover", other, shift_mm) < SHARED_MM3, other
