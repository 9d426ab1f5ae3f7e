"""The benches at tiny size, so that they cannot rot; and the stack and the oracle they stand on."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from tests.bench import bench_builds, bench_marking, bench_relations
from tests.bench.bodies import Body, Round, add, cut, rod, tube
from tests.bench.oracle import Frame, find_travel_mm, find_truth
from tests.bench.stack import SMALLEST, make_stack
from trainer.core.order.directions import find_directions

PRESSED = {
    frozenset({"shaft", "bearing"}),
    frozenset({"suction-casing", "wear-ring-1"}),
    frozenset({"cover", "throat-bush"}),
}
"""Pairs of the stack of 50 that are made with interference, besides casings and wear rings of later stages."""


def test_relations_of_a_small_stack_are_right_and_the_table_tells_it() -> None:
    size = bench_relations.Size(parts=SMALLEST, curve=(SMALLEST,), plain=2, fine=2, fresh=False)
    result = bench_relations.run(size)
    assert result.errors.wrong == 0
    assert result.errors.off == 0
    assert result.errors.asked == 6 * SMALLEST * (SMALLEST - 1) + 2 * (SMALLEST - 1)
    assert result.plain.steps < result.plain.all_steps
    assert result.fine_false == 0
    told = bench_relations.tell(result)
    assert f"Relations of {SMALLEST} parts" in told
    assert f"ratio {result.ratio:.0f}" in told


def test_a_wrong_table_is_found_wrong() -> None:
    stack = make_stack(SMALLEST)
    assembly = stack.assemble()
    directions, asked = find_directions(assembly)
    sure, may = bench_relations.find_whole_truth(stack, directions, asked)
    right = np.where(np.isfinite(sure), (sure + may) / 2, np.inf).astype(np.float32)
    assert bench_relations.compare(assembly, right, sure, may).wrong == 0
    freed = right.copy()
    at = tuple(np.argwhere(np.isfinite(right[0]))[0])
    freed[0][at] = np.inf
    assert bench_relations.compare(assembly, freed, sure, may).wrong == 1
    late = right.copy()
    late[0][at] += 0.3
    assert bench_relations.compare(assembly, late, sure, may).off == 1


def test_marking_refuses_what_the_plain_replay_refuses_and_is_faster() -> None:
    size = bench_marking.Size(parts=50, orders=40, repeats=20, sample=12)
    result = bench_marking.run(size)
    assert result.different == 0
    assert result.marked > 30
    assert 0 < result.valid < size.orders
    assert all(row.ratio > 1.5 for row in result.rows)
    assert "learners' orders" in bench_marking.tell(result)


def test_builds_make_only_what_a_change_touches_and_nothing_from_a_full_cache() -> None:
    only = ("wear-ring", "bearing-cap", "shim-1", "seal-seat")
    size = bench_builds.Size(
        build="end-suction/100-250",
        only=only,
        changes=((("wear-ring", "bore"), 0.02), (("bearing-cap", "length"), 0.1)),
        workers=1,
    )
    result = bench_builds.run(size)
    assert result.solids == len(only)
    assert [change.solids for change in result.changes] == [1, 1]
    assert result.cached_s < result.cold_s
    assert result.changes[1].took_s < result.changes[0].took_s  # the first waits for the kernel
    told = bench_builds.tell(result)
    assert "first change: wear-ring.bore (solids: 1)" in told
    assert f"ratio {result.cold_ratio:.2f}" in told


@pytest.mark.parametrize("parts", [SMALLEST, 50, 94])
def test_stack_has_as_many_closed_parts_and_shares_volume_only_where_pressed(parts: int) -> None:
    stack = make_stack(parts)
    solids = {name: body.make_solid() for name, body in stack.bodies.items()}
    assert len(solids) == parts
    assert {name: len(solid.decompose()) for name, solid in solids.items()} == dict.fromkeys(
        solids, 1
    )
    pressed = set()
    for one, other in itertools.combinations(solids, 2):
        shared = solids[one] ^ solids[other]
        if shared.volume() > 1e-3:
            pressed.add(frozenset({one, other}))
            assert 2 * shared.volume() / shared.surface_area() < 0.05, (one, other)
    later = {
        frozenset({f"casing-{i}", f"wear-ring-{i + 1}"})
        for i in range(1, 9)
        if f"wear-ring-{i + 1}" in solids
    }
    assert pressed == {pair for pair in PRESSED | later if pair <= solids.keys()}


def test_too_small_a_stack_is_refused() -> None:
    with pytest.raises(ValueError, match=f"{SMALLEST} parts at least"):
        make_stack(SMALLEST - 1)


def test_oracle_knows_a_ring_a_shoulder_and_a_tilted_pin() -> None:
    shaft = Body(add(rod(-30, 40, 20), rod(40, 60, 26)))
    ring = Body(tube(0, 10, 30, 20.4))
    along, across = Frame.along((1, 0, 0)), Frame.along((0, 0, 1))
    assert find_travel_mm(ring, shaft, along)[0] == pytest.approx((30.0, math.inf))
    assert find_travel_mm(ring, shaft, across)[1] == pytest.approx((0.4, 0.4), abs=1e-3)
    tilt = math.radians(40)
    axis = (math.sin(tilt), 0.0, math.cos(tilt))
    tip = tuple(30 * x for x in axis)
    disc = Body(add(Round(tip, tuple(36 * x for x in axis), 8, 8)))  # type: ignore[arg-type]
    floor = Body(add(rod(-100, 100, 50, z=-60)))
    nearest = (
        30 * math.cos(tilt) - 8 * math.sin(tilt) + 10
    )  # the floor's highest line, under the rim's lowest point
    down = find_travel_mm(disc, floor, Frame.along((0, 0, -1)))[1][0]
    assert down == pytest.approx(nearest, abs=0.05)


def test_oracle_keeps_a_press_fit_and_a_contact_from_deciding_and_tells_what_is_grey() -> None:
    pressed = {"ring": Body(tube(0, 10, 30, 19.98)), "shaft": Body(add(rod(-30, 40, 20)))}
    asked = np.ones(2, bool)
    assert np.isinf(find_truth(pressed, (1, 0, 0), asked).travel_mm).all()
    low = {"ring": pressed["ring"], "shaft": Body(add(rod(-30, 20, 19.98), rod(20, 40, 20.2)))}
    truth = find_truth(low, (1, 0, 0), asked)
    assert truth.is_grey[0, 0, 1]
    assert truth.travel_mm[0, 0, 1] == pytest.approx(10.0)


def test_rays_through_a_cone_and_a_cut_are_met_where_the_formula_says() -> None:
    hollow = Body((*add(rod(0, 30, 30, end=10)), *cut(rod(-1, 31, 5))))
    starts, ends = hollow.find_intervals(
        np.array([[-50.0, 20.0, 0.0], [-50.0, 3.0, 0.0]]), np.array([1.0, 0, 0])
    )
    assert starts[0, 0] == pytest.approx(50.0)
    assert ends[0, 0] == pytest.approx(65.0)
    assert np.isinf(starts[1]).all()
    across = hollow.find_intervals(np.array([[15.0, -90.0, 0.0]]), np.array([0.0, 1.0, 0.0]))
    assert across[0][0] == pytest.approx([70.0, 95.0])
    assert across[1][0] == pytest.approx([85.0, 110.0])


def test_mesh_of_a_body_holds_what_the_body_contains() -> None:
    body = make_stack(SMALLEST).bodies["impeller-1"]
    solid, chance = body.make_solid(), np.random.default_rng(3)
    low, high = body.box
    inside = body.contains(low + (high - low) * chance.random((200_000, 3))).mean()
    assert inside * np.prod(high - low) == pytest.approx(solid.volume(), rel=0.01)
