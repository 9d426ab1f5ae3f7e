"""Ring leakage: limits, what grows with what, and refusals that name field and range."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.spec.errors import RefusalError
from trainer.core.running.leakage import (
    ENTRANCE_AND_EXIT,
    Liquid,
    RingGap,
    find_friction_factor,
    find_leakage,
    find_lost_share,
    find_rim_pressure_pa,
    find_swirl_drop_pa,
)

WATER = Liquid(1000.0, 1.0)
PRESSURE_PA = 4e5


def find_flow(clearance_mm: float, length_mm: float = 20.0, liquid: Liquid = WATER) -> float:
    return find_leakage(RingGap(150.0, clearance_mm, length_mm), PRESSURE_PA, liquid, 0.0).flow_m3_per_h  # fmt: skip


def test_losses_in_the_gap_use_up_the_whole_pressure() -> None:
    ring = RingGap(150.0, 0.46, 20.0)
    found = find_leakage(ring, PRESSURE_PA, WATER, 2950.0)
    heads = ENTRANCE_AND_EXIT + found.friction * ring.length_mm / ring.clearance_mm
    assert 1000.0 * found.speed_m_per_s**2 / 2 * heads == pytest.approx(PRESSURE_PA, rel=1e-9)
    assert found.reynolds == pytest.approx(found.speed_m_per_s * 0.46e-3 / 1e-6)


def test_a_thick_gap_of_thin_liquid_comes_near_the_frictionless_flow() -> None:
    """With friction going to nothing what is left is entrance and exit: Cd = 1 / sqrt(1.5) = 0.8165."""
    area_m2 = math.pi * 0.150 * 0.95e-3
    ideal = area_m2 * math.sqrt(2 * PRESSURE_PA / 1000.0) * 3600.0
    thin = find_leakage(RingGap(150.0, 1.9, 19.0), PRESSURE_PA, Liquid(1000.0, 0.9), 0.0)
    share = thin.flow_m3_per_h / ideal
    assert 0.7 < share < 1 / math.sqrt(1.5)
    assert share > find_flow(0.46) / (
        area_m2 / 1.9 * 0.46 * math.sqrt(2 * PRESSURE_PA / 1000.0) * 3600.0
    )


def test_a_doubled_clearance_lets_more_than_twice_through() -> None:
    """Friction counts for less in a wide gap: the ratio lies between 2 and the 2^1.5 of friction alone (near enough)."""
    assert 2.0 < find_flow(0.92) / find_flow(0.46) < 2.0**1.75


@given(st.floats(0.1, 1.8), st.floats(1.01, 1.5))
def test_leakage_grows_with_clearance(clearance_mm: float, times: float) -> None:
    wider = min(clearance_mm * times, 1.9)
    assert find_flow(wider) > find_flow(clearance_mm)


@given(st.floats(20.0, 40.0), st.floats(1.01, 1.5))
def test_leakage_falls_with_length_and_with_thicker_liquid(length_mm: float, times: float) -> None:
    assert find_flow(0.5, length_mm * times) < find_flow(0.5, length_mm)
    assert find_flow(0.5, length_mm, Liquid(1000.0, times)) < find_flow(0.5, length_mm)


@given(st.floats(10.0, 9e4))
def test_friction_factor_has_no_jump_and_falls(reynolds: float) -> None:
    a, b = find_friction_factor(reynolds), find_friction_factor(reynolds * 1.0001)
    assert a > b > a * 0.9998


def test_a_turning_wall_rubs_more_but_not_in_laminar_flow() -> None:
    assert find_friction_factor(1e4, 1.0) > find_friction_factor(1e4)
    assert find_friction_factor(100.0, 1.0) == find_friction_factor(100.0)


def test_no_pressure_no_leakage() -> None:
    assert find_leakage(RingGap(150.0, 0.46, 20.0), 0.0, WATER, 2950.0).flow_m3_per_h == 0.0


def test_lost_share_is_leakage_by_what_the_impeller_moves() -> None:
    assert find_lost_share(10.0, 90.0) == pytest.approx(0.1)


def test_rim_pressure_and_swirl() -> None:
    """THR-2: 151.20 kPa from rim 260 to 130, 194.15 kPa to 50, water at 2950 rpm and half speed."""
    assert find_swirl_drop_pa(260, 130, 0.5, 2950, 1000) == pytest.approx(151.20e3, rel=1e-4)
    assert find_swirl_drop_pa(260, 50, 0.5, 2950, 1000) == pytest.approx(194.15e3, rel=1e-4)
    speed = math.pi * 0.26 * 2950 / 60
    most = speed**2 / 9.81
    # at g H = u^2 half of the head is speed
    assert find_rim_pressure_pa(most * (1 - 1e-12), 260, 2950, 1000) == pytest.approx(
        1000 * 9.81 * most / 2, rel=1e-9
    )


@pytest.mark.parametrize(
    ("clearance_mm", "length_mm", "named"),
    [(0.05, 20.0, "0.09 to 1.905 mm"), (2.5, 40.0, "0.09 to 1.905 mm"), (1.5, 10.0, "to 1 mm"), (float("nan"), 20.0, "nan")],
)  # fmt: skip
def test_a_gap_outside_the_tests_is_refused_by_name_and_range(
    clearance_mm: float, length_mm: float, named: str
) -> None:
    with pytest.raises(RefusalError, match="ring_clearance_mm") as caught:
        find_flow(clearance_mm, length_mm)
    assert named in str(caught.value)


def test_a_head_that_the_wheel_cannot_give_is_refused() -> None:
    with pytest.raises(RefusalError, match=r"head_m is 400 m.*0 to 1"):
        find_rim_pressure_pa(400.0, 260.0, 2950.0, 1000.0)
