"""Axial thrust: closed form against strips, limits of the back vanes, and how it follows their gap."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.spec.errors import RefusalError
from trainer.core.running.leakage import Liquid, RingGap
from trainer.core.running.thrust import (
    HubRing,
    Running,
    Wheel,
    Zone,
    find_thrust,
    find_vane_swirl,
    find_zone_force_n,
)

WATER = Liquid(1000.0, 1.0)
RUNNING = Running(5e5, 0.0, 180.0, 2950.0, 0.5, WATER)
PLAIN = Wheel(260.0, 130.0, 130.0, 50.0, 230.0, 50.0, 0.0)
VANED = replace(PLAIN, vane_height_mm=5.0)
OMEGA = math.pi * 2950.0 / 30.0


def test_the_force_of_a_smooth_shroud_is_the_sum_of_its_strips() -> None:
    """THR-1: 3702.0 N on the 11 309.7 mm2 inside the ring that the front does not balance."""
    edges = np.linspace(0.025, 0.065, 200_001)
    middles = (edges[1:] + edges[:-1]) / 2
    pressure = 5e5 - 1000 / 2 * (0.5 * OMEGA) ** 2 * (0.13**2 - middles**2)
    strips = float((pressure * np.pi * np.diff(edges**2)).sum())
    found = find_thrust(PLAIN, RUNNING, 1.0)
    assert found.back_n + found.front_n == pytest.approx(strips, rel=1e-9)
    assert strips == pytest.approx(3702.0, abs=0.05)


def test_zones_of_one_swirl_are_one_zone() -> None:
    whole = find_zone_force_n([Zone(260, 50, 0.5)], 5e5, 2950, 1000)
    parts = find_zone_force_n([Zone(260, 150, 0.5), Zone(150, 50, 0.5)], 5e5, 2950, 1000)
    assert parts == pytest.approx(whole, rel=1e-12)


def test_relief_of_the_back_vanes() -> None:
    """THR-3: 7024 N with vanes of 5 mm at 1 mm, from 230 down to the shaft of 50."""
    found = find_thrust(VANED, RUNNING, 1.0)
    assert found.vane_swirl == pytest.approx(0.9167, abs=5e-5)
    assert found.without_relief_n - found.total_n == pytest.approx(7024.0, abs=0.5)


def test_vanes_that_touch_relieve_by_three_eighths() -> None:
    """At no gap: 3/8 A rho (u_v^2 - u_i^2) / 2, and at a very wide one nothing."""
    outer, inner = 0.115, 0.025
    area = math.pi * (outer**2 - inner**2)
    most = 3 / 8 * area * 1000.0 * OMEGA**2 * (outer**2 - inner**2) / 2
    found = find_thrust(VANED, RUNNING, 0.0)
    assert found.without_relief_n - found.total_n == pytest.approx(most, rel=1e-12)
    assert find_vane_swirl(5.0, 20.0) == pytest.approx(0.5 + 0.5 * 5 / 25)


@given(st.floats(0.0, 19.0), st.floats(0.01, 1.0))
def test_thrust_towards_suction_grows_with_the_gap(gap_mm: float, more_mm: float) -> None:
    assert find_thrust(VANED, RUNNING, gap_mm + more_mm).total_n > find_thrust(VANED, RUNNING, gap_mm).total_n  # fmt: skip


@given(st.floats(1.1, 3.0))
def test_hydraulic_forces_grow_with_the_square_of_the_speed(times: float) -> None:
    faster = Running(5e5 * times**2, 0.0, 180.0 * times, 2950.0 * times, 0.5, WATER)
    slow, fast = find_thrust(VANED, RUNNING, 0.5), find_thrust(VANED, faster, 0.5)
    assert fast.total_n == pytest.approx(slow.total_n * times**2, rel=1e-9)


def test_suction_pressure_pushes_the_shaft_out() -> None:
    """THR-5: 3 bar on a shaft of 50 mm is 589.05 N away from suction."""
    pressed = replace(RUNNING, suction_pa=3e5)
    assert find_thrust(PLAIN, pressed, 1.0).shaft_n == pytest.approx(-589.05, abs=0.005)


def test_a_hub_ring_as_wide_as_the_eye_ring_with_a_free_way_back_leaves_only_momentum() -> None:
    ring = RingGap(130.0, 0.4, 15.0)
    relieved = find_thrust(replace(PLAIN, hub_ring=HubRing(ring, 1e9)), RUNNING, 1.0)
    assert relieved.back_n + relieved.front_n == pytest.approx(0.0, abs=1e-3)
    assert relieved.total_n == pytest.approx(relieved.momentum_n, abs=1e-3)


def test_what_comes_through_the_hub_ring_goes_back_through_the_holes() -> None:
    hub = HubRing(RingGap(130.0, 0.4, 15.0), 300.0)
    found = find_thrust(replace(PLAIN, hub_ring=hub), RUNNING, 1.0)
    back_m3_per_s = 300e-6 * math.sqrt(2 * found.chamber_kpa * 1e3 / 1000.0 / 1.5)
    assert back_m3_per_s * 3600 == pytest.approx(found.hub_leakage_m3_per_h, rel=1e-7)
    free = find_thrust(replace(PLAIN, hub_ring=HubRing(hub.ring, 1e9)), RUNNING, 1.0)
    assert found.total_n > free.total_n


def test_a_worn_hub_ring_relieves_less() -> None:
    def push(clearance_mm: float) -> float:
        hub = HubRing(RingGap(130.0, clearance_mm, 15.0), 300.0)
        return find_thrust(replace(PLAIN, hub_ring=hub), RUNNING, 1.0).total_n

    assert push(0.8) > push(0.4)


def test_a_semi_open_impeller_is_pushed_harder_than_an_enclosed_one() -> None:
    opened = replace(PLAIN, is_open=True)
    assert find_thrust(opened, RUNNING, 1.0).total_n > find_thrust(PLAIN, RUNNING, 1.0).total_n


def test_boiling_behind_the_impeller_is_said() -> None:
    assert not find_thrust(VANED, RUNNING, 0.5).boils
    assert find_thrust(VANED, replace(RUNNING, rim_pa=2e5, suction_pa=-5e4), 0.0).boils


@pytest.mark.parametrize(
    ("running", "gap_mm", "named"),
    [
        (RUNNING, -0.1, r"back_vane_gap_mm is -0.1 mm.*0 to 20 mm"),
        (RUNNING, 21.0, r"back_vane_gap_mm is 21 mm"),
        (RUNNING, float("nan"), r"back_vane_gap_mm is nan"),
        (replace(RUNNING, swirl=0.9), 0.5, r"swirl is 0.9.*0.4 to 0.6"),
    ],
)
def test_what_no_formula_holds_for_is_refused(running: Running, gap_mm: float, named: str) -> None:
    with pytest.raises(RefusalError, match=named):
        find_thrust(VANED, running, gap_mm)
