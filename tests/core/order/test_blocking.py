"""Travel to contact, against shapes whose answer is known by hand."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from models.spec.mesh import Mesh
from trainer.core.order.blocking import Blocking, find_blocking
from trainer.core.order.directions import SIX, Direction
from trainer.core.order.spacing import SHIFT_MM

if TYPE_CHECKING:
    from tests.core.order.conftest import Shop

WITHIN_MM = 0.1
EDGE_MM = 2.0
"""Overlap of outlines below this lies within the ray grid: neither answer is asked for."""
DRIVE, SUCTION, UP, DOWN = Direction.DRIVE, Direction.SUCTION, Direction.UP, Direction.DOWN
ACROSS = (Direction.LEFT, Direction.RIGHT, Direction.UP, Direction.DOWN)


def travel_mm(found: Blocking, direction: Direction, moved: str, other: str) -> float:
    """Read one entry of the table."""
    at = SIX.index(direction), found.names.index(moved), found.names.index(other)
    return float(found.travel_mm[at])


def clear_mm(found: Blocking, direction: Direction, moved: str, other: str) -> float:
    at = SIX.index(direction), found.names.index(moved), found.names.index(other)
    return float(found.clear_mm[at])


def measure(shop: Shop, **meshes: Mesh) -> Blocking:
    return find_blocking(shop.assemble(meshes))


def test_directions_are_the_axes_in_pairs() -> None:
    for backward, forward in zip(SIX[::2], SIX[1::2], strict=True):
        assert forward.back == backward
        assert backward.back == forward
        assert (forward.vector == -backward.vector).all()
    assert sorted(way.along.index(1.0) for way in SIX[1::2]) == [0, 1, 2]
    assert DRIVE.vector.tolist() == [1, 0, 0]
    assert UP.vector.tolist() == [0, 0, 1]


corner = st.tuples(*[st.floats(-25, 25)] * 3)
size = st.tuples(*[st.floats(3, 20)] * 3)


@given(corner, size, corner, size)
def test_boxes_meet_after_the_gap_between_them_or_never(
    shop: Shop,
    low_a: tuple[float, ...], size_a: tuple[float, ...],
    low_b: tuple[float, ...], size_b: tuple[float, ...],
) -> None:  # fmt: skip
    a, b = np.array([low_a, np.add(low_a, size_a)]), np.array([low_b, np.add(low_b, size_b)])
    shared = np.minimum(a[1], b[1]) - np.maximum(a[0], b[0])
    assume(np.all(np.abs(shared) > EDGE_MM))
    assume(not np.all(shared > 0))
    found = measure(shop, a=shop.box(*a), b=shop.box(*b))
    for direction in SIX:
        k = int(np.abs(direction.vector).argmax())
        gap = b[0][k] - a[1][k] if direction.vector[k] > 0 else a[0][k] - b[1][k]
        faces = all(shared[other] > 0 for other in range(3) if other != k)
        truth = gap if faces and gap > 0 else math.inf
        assert travel_mm(found, direction, "a", "b") == pytest.approx(truth, abs=1e-3)


@given(corner, size, corner, size)
def test_what_stops_one_stops_the_other_coming_the_opposite_way(
    shop: Shop,
    low_a: tuple[float, ...], size_a: tuple[float, ...],
    low_b: tuple[float, ...], size_b: tuple[float, ...],
) -> None:  # fmt: skip
    a = shop.box(low_a, np.add(low_a, size_a))
    b = shop.box(low_b, np.add(low_b, size_b))
    found = measure(shop, a=a, b=b)
    for one, other in ((SUCTION, DRIVE), ACROSS[:2], (DOWN, UP)):
        assert travel_mm(found, one, "a", "b") == travel_mm(found, other, "b", "a")


def test_boxes_in_contact_cannot_move_into_each_other_and_slide_along(shop: Shop) -> None:
    found = measure(shop, left=shop.box((0, 0, 0), (10, 20, 20)),
                    right=shop.box((10, 0, 0), (20, 20, 20)))  # fmt: skip
    assert travel_mm(found, DRIVE, "left", "right") == pytest.approx(0, abs=1e-4)
    for direction in (SUCTION, *ACROSS):
        assert travel_mm(found, direction, "left", "right") == math.inf


@pytest.mark.parametrize("fit_mm", [0.0, -0.02, -0.05, 0.25, 2.0])
def test_ring_comes_off_along_its_shaft_whatever_the_fit_and_never_across(
    shop: Shop, fit_mm: float
) -> None:
    """Negative: a press fit of that interference on the diameter."""
    ring = shop.tube(0, 10, outside=60, bore=40 + fit_mm)
    found = measure(shop, ring=ring, shaft=shop.tube(-30, 50, outside=40))
    for direction in (SUCTION, DRIVE):
        assert travel_mm(found, direction, "ring", "shaft") == math.inf
    for direction in ACROSS:
        room_mm = max(fit_mm / 2, 0.0)
        assert travel_mm(found, direction, "ring", "shaft") == pytest.approx(room_mm, abs=WITHIN_MM)


@pytest.mark.parametrize("interference_mm", [0.02, 0.05])
def test_ring_pressed_into_a_counterbore_leaves_by_the_open_side_only(
    shop: Shop, interference_mm: float
) -> None:
    cover = shop.turned((20, 0), (50, 0), (50, 30), (30, 30), (30, 10), (20, 10))
    ring = shop.tube(10, 29, outside=60 + interference_mm, bore=48)
    found = measure(shop, ring=ring, cover=cover)
    assert travel_mm(found, SUCTION, "ring", "cover") == pytest.approx(0, abs=1e-3)
    assert travel_mm(found, DRIVE, "ring", "cover") == math.inf
    assert travel_mm(found, UP, "ring", "cover") == pytest.approx(0, abs=WITHIN_MM)


@pytest.mark.parametrize("gap_mm", [0.25, 7.3, 41.0])
def test_ring_travels_to_the_shoulder_ahead(shop: Shop, gap_mm: float) -> None:
    shaft = shop.turned(
        (0, -30), (20, -30), (20, 10 + gap_mm), (26, 10 + gap_mm), (26, 80), (0, 80)
    )
    found = measure(shop, ring=shop.tube(0, 10, outside=60, bore=40), shaft=shaft)
    assert travel_mm(found, DRIVE, "ring", "shaft") == pytest.approx(gap_mm, abs=1e-3)
    assert travel_mm(found, SUCTION, "ring", "shaft") == math.inf


def test_low_shoulder_of_a_running_gap_stops_nothing(shop: Shop) -> None:
    """A step of 0.25 mm on the radius under a bore with as much room is no shoulder."""
    shaft = shop.turned((0, -30), (19.7, -30), (19.7, 20), (19.95, 20), (19.95, 60), (0, 60))
    found = measure(shop, ring=shop.tube(0, 10, outside=60, bore=40), shaft=shaft)
    assert travel_mm(found, DRIVE, "ring", "shaft") == math.inf


def test_step_of_half_a_millimetre_stops_a_close_bore(shop: Shop) -> None:
    shaft = shop.turned((0, -30), (20, -30), (20, 15), (20.5, 15), (20.5, 60), (0, 60))
    found = measure(shop, ring=shop.tube(0, 10, outside=60, bore=40.02), shaft=shaft)
    assert travel_mm(found, DRIVE, "ring", "shaft") == pytest.approx(5, abs=WITHIN_MM)


def test_cone_runs_up_to_a_flat_and_leaves_backwards(shop: Shop) -> None:
    cone = shop.turned((0, 0), (30, 0), (8, 40), (0, 40))
    found = measure(shop, cone=cone, plate=shop.box((52.5, -40, -40), (60, 40, 40)))
    assert travel_mm(found, DRIVE, "cone", "plate") == pytest.approx(12.5, abs=1e-3)
    assert travel_mm(found, SUCTION, "cone", "plate") == math.inf


@pytest.mark.parametrize("half_angle_deg", [20.0, 45.0, 70.0])
def test_cone_reads_its_seat_never_too_near_and_late_by_the_erosion_at_most(
    shop: Shop, half_angle_deg: float
) -> None:
    """Both cones are eroded sideways, which on a slope moves each back along it."""
    slope = math.tan(math.radians(half_angle_deg))
    far = 30 + 20 / slope
    cone = shop.turned((0, 0), (30, 0), (30, 30), (10, far), (0, far))
    gap_mm = 5.0
    seat = shop.turned((10, far + gap_mm), (30, 30 + gap_mm), (45, 30 + gap_mm), (45, 120),
                       (10, 120))  # fmt: skip
    found = travel_mm(measure(shop, cone=cone, seat=seat), DRIVE, "cone", "seat")
    assert gap_mm - 1e-3 <= found <= gap_mm + 2 * SHIFT_MM / slope + 1e-3


def test_slender_ring_inside_a_groove_is_caught_both_ways(shop: Shop) -> None:
    hub = shop.turned(
        (0, 0), (30, 0), (30, 10), (25, 10), (25, 14.7), (30, 14.7), (30, 40), (0, 40)
    )
    ring = shop.tube(11, 14, outside=62, bore=50.1)
    found = measure(shop, ring=ring, hub=hub)
    assert travel_mm(found, SUCTION, "ring", "hub") == pytest.approx(1.0, abs=1e-3)
    assert travel_mm(found, DRIVE, "ring", "hub") == pytest.approx(0.7, abs=1e-3)


@pytest.mark.parametrize("thickness_mm", [0.05, 0.1, 0.5])
def test_thin_shim_between_two_faces_is_caught_both_ways(shop: Shop, thickness_mm: float) -> None:
    found = measure(
        shop,
        shim=shop.tube(0, thickness_mm, outside=37, bore=30),
        shoulder=shop.tube(thickness_mm, 20, outside=38),
        hub=shop.tube(-20, 0, outside=60, bore=30),
    )
    assert travel_mm(found, DRIVE, "shim", "shoulder") == pytest.approx(0, abs=1e-3)
    assert travel_mm(found, SUCTION, "shim", "hub") == pytest.approx(0, abs=1e-3)


def test_shim_round_a_shaft_never_slips_off_sideways(shop: Shop) -> None:
    shim = shop.tube(0, 0.1, outside=37, bore=30.2)
    found = measure(shop, shim=shim, shaft=shop.tube(-40, 40, outside=30))
    for direction in ACROSS:
        assert travel_mm(found, direction, "shim", "shaft") == pytest.approx(0.1, abs=WITHIN_MM)


def test_bolt_in_a_hole_of_its_own_size_draws_out_along_it(shop: Shop) -> None:
    block = shop.tube(0, 30, outside=80, bore=12)
    bolt = shop.turned((0, 2), (6, 2), (6, 30), (9, 30), (9, 38), (0, 38))
    found = measure(shop, bolt=bolt, block=block)
    assert travel_mm(found, DRIVE, "bolt", "block") == math.inf
    assert travel_mm(found, SUCTION, "bolt", "block") == pytest.approx(0, abs=1e-3)


def test_nearest_of_several_faces_counts(shop: Shop) -> None:
    comb = shop.join(
        shop.box((20, 0, 0), (22, 5, 20)),
        shop.box((14, 7, 0), (16, 12, 20)),
        shop.box((30, 14, 0), (31, 19, 20)),
    )
    found = measure(shop, block=shop.box((0, 0, 0), (10, 20, 20)), comb=comb)
    assert travel_mm(found, DRIVE, "block", "comb") == pytest.approx(4, abs=1e-3)


def test_body_inside_another_is_shut_in_every_way(shop: Shop) -> None:
    walls = [shop.box((-10, -10, -10), (-8, 10, 10)), shop.box((8, -10, -10), (10, 10, 10)),
             shop.box((-8, -10, -10), (8, -8, 10)), shop.box((-8, 8, -10), (8, 10, 10)),
             shop.box((-8, -8, -10), (8, 8, -8)), shop.box((-8, -8, 8), (8, 8, 10))]  # fmt: skip
    crate = shop.join(*walls)
    found = measure(shop, core=shop.box((-5, -4, -3), (5, 4, 3)), crate=crate)
    for direction, gap_mm in zip(SIX, (3, 3, 4, 4, 5, 5), strict=True):
        assert travel_mm(found, direction, "core", "crate") == pytest.approx(gap_mm, abs=1e-3)


def test_answer_does_not_depend_on_where_the_assembly_stands(shop: Shop) -> None:
    def both(shift: float) -> Blocking:
        move = (shift, 2 * shift, -shift)
        meshes = {
            name: mesh.moved(np.eye(3), np.array(move))
            for name, mesh in (
                ("ring", shop.tube(0, 10, outside=60, bore=40.4)),
                ("shaft", shop.turned((0, -9), (20, -9), (20, 17), (30, 17), (30, 40), (0, 40))),
            )
        }
        return find_blocking(shop.assemble(meshes))

    here, there = both(0.0), both(123.456)
    assert np.array_equal(np.isinf(here.travel_mm), np.isinf(there.travel_mm))
    reached = np.isfinite(here.travel_mm)
    assert np.abs(here.travel_mm[reached] - there.travel_mm[reached]).max() < WITHIN_MM


def test_ring_is_clear_of_its_shaft_when_it_has_passed_the_end(shop: Shop) -> None:
    ring = shop.tube(0, 10, outside=60, bore=40)
    found = measure(shop, ring=ring, shaft=shop.tube(-30, 50, outside=40))
    assert clear_mm(found, DRIVE, "ring", "shaft") == pytest.approx(50, abs=1e-3)
    assert clear_mm(found, SUCTION, "ring", "shaft") == pytest.approx(40, abs=1e-3)


def test_what_lies_ahead_and_what_lies_apart_is_not_beside(shop: Shop) -> None:
    found = measure(
        shop,
        block=shop.box((0, 0, 0), (10, 10, 10)),
        ahead=shop.box((40, 0, 0), (50, 10, 10)),
        apart=shop.box((0, 30, 30), (60, 40, 40)),
        under=shop.box((-5, 0, -10), (25, 10, 0)),
    )
    assert clear_mm(found, DRIVE, "block", "ahead") == -math.inf
    assert clear_mm(found, DRIVE, "block", "apart") == -math.inf
    assert clear_mm(found, DRIVE, "block", "under") == pytest.approx(25, abs=1e-3)


def test_progress_is_told_to_the_end(shop: Shop) -> None:
    told: list[tuple[int, int]] = []
    pair = {"a": shop.box((0, 0, 0), (5, 5, 5)), "b": shop.box((9, 0, 0), (12, 5, 5))}
    find_blocking(shop.assemble(pair), lambda done, of: told.append((done, of)))
    assert len(told) >= 20
    assert [done for done, _ in told] == sorted({done for done, _ in told})
    assert {of for _, of in told} == {told[-1][0]}
