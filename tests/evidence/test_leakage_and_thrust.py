"""Ring leakage and axial thrust against handbooks and an independent library of pipe flow."""

from __future__ import annotations

import math

import fluids
import pytest

from trainer.core.running.leakage import (
    ENTRANCE_AND_EXIT,
    Liquid,
    RingGap,
    find_angular_speed,
    find_friction_factor,
    find_leakage,
)
from trainer.core.running.thrust import find_momentum_force_n, find_vane_swirl

FLUIDS = "fluids 1.3, an independent library from the registry, run in the test"
LOBANOFF = "Lobanoff and Ross, Centrifugal Pumps: Design and Application, 2nd ed."
GPM_PER_M3_PER_H, LBF_PER_N, IN_MM = 4.402868, 0.2248089, 25.4


@pytest.mark.parametrize(
    "reynolds",
    [pytest.param(r, marks=pytest.mark.evidence(FLUIDS)) for r in (4e3, 1e4, 5e4)],
)  # fmt: skip
def test_friction_of_a_still_gap_is_blasius(reynolds: float) -> None:
    assert find_friction_factor(reynolds) == pytest.approx(fluids.friction.Blasius(reynolds))


@pytest.mark.parametrize(
    "reynolds",
    [pytest.param(r, marks=pytest.mark.evidence(FLUIDS)) for r in (5e3, 2e4, 9e4)],
)  # fmt: skip
def test_friction_is_that_of_smooth_pipes(reynolds: float) -> None:
    smooth = fluids.friction_factor(Re=reynolds, eD=0.0)
    assert find_friction_factor(reynolds) == pytest.approx(smooth, rel=0.05)


@pytest.mark.evidence(FLUIDS)
def test_entrance_and_exit_lose_one_and_a_half_velocity_heads() -> None:
    sharp = fluids.fittings.entrance_sharp(method="Swamee") + fluids.fittings.exit_normal()
    assert pytest.approx(sharp) == ENTRANCE_AND_EXIT


@pytest.mark.evidence(FLUIDS)
def test_a_ring_uses_up_the_pressure_that_its_losses_come_to() -> None:
    ring, liquid = RingGap(150.0, 0.46, 20.0), Liquid(998.0, 1.0)
    found = find_leakage(ring, 4e5, liquid, 0.0)
    losses = ENTRANCE_AND_EXIT + fluids.core.K_from_f(
        fd=fluids.friction.Blasius(found.reynolds), L=20e-3, D=0.46e-3
    )
    pressure = fluids.core.dP_from_K(losses, rho=998.0, V=found.speed_m_per_s)
    assert pressure == pytest.approx(4e5, rel=1e-6)


@pytest.mark.evidence(
    "Pump Handbook, 1976, section 2.1, as an engineers' forum gives it: a plain ring acts as an orifice of about 0.6"
)
def test_a_usual_ring_acts_as_an_orifice_of_about_six_tenths() -> None:
    ring = RingGap(150.0, 0.46, 20.0)
    found = find_leakage(ring, 4e5, Liquid(1000.0, 1.0), 0.0)
    ideal = math.pi * 0.150 * 0.23e-3 * math.sqrt(2 * 4e5 / 1000.0) * 3600
    assert found.flow_m3_per_h / ideal == pytest.approx(0.6, abs=0.05)


@pytest.mark.evidence(
    "Fox and McDonald, Introduction to Fluid Mechanics, example 8.1, as worked in a public textbook companion"
)
def test_laminar_leakage_past_a_piston() -> None:
    """D 25, gap 0.005, L 15 mm, 19 MPa, 0.018 Pa s, 920 kg/m3: friction at the flow of the example uses up the 19 MPa."""
    flow = math.pi / 12 * 0.025 * 5e-6**3 * 19e6 / (0.018 * 0.015)
    speed = flow / (math.pi * 0.025 * 5e-6)
    reynolds = 920.0 * speed * 2 * 5e-6 / 0.018
    used = find_friction_factor(reynolds) * 0.015 / (2 * 5e-6) * 920.0 * speed**2 / 2
    assert used == pytest.approx(19e6, rel=1e-9)


@pytest.mark.evidence("Gulich, Centrifugal Pumps, leakage of an annular seal", from_memory=True)
def test_leakage_with_a_given_friction() -> None:
    """LKG-2: zeta 1.5, lambda 0.04, 20 mm, 0.23 mm, 4 bar: 15.716 m/s; ours finds its own factor near 0.034."""
    found = find_leakage(RingGap(150.0, 0.46, 20.0), 4e5, Liquid(1000.0, 1.0), 0.0)
    given = math.sqrt(2 * 4e5 / 1000 / (1.5 + 0.04 * 20 / 0.46))
    assert given == pytest.approx(15.716, abs=0.001)
    assert found.speed_m_per_s == pytest.approx(given, rel=0.06)


@pytest.mark.evidence(LOBANOFF)
def test_momentum_force() -> None:
    """P. 353: Fx = Q^2 sg / (722 A), in lbf of gpm and square inches."""
    flow_gpm = 180.0 * GPM_PER_M3_PER_H
    area_in2 = math.pi / 4 * (130.0 / IN_MM) ** 2
    pounds = flow_gpm**2 / (722.0 * area_in2)
    found = find_momentum_force_n(180.0, 130.0, 1000.0)
    assert found * LBF_PER_N == pytest.approx(pounds, rel=0.003)


@pytest.mark.evidence(LOBANOFF)
def test_rim_speed() -> None:
    """P. 353: U = D n / 229, in ft/s of inches and rpm."""
    feet_per_s = 260.0 / IN_MM * 2950.0 / 229.0
    found_m_per_s = find_angular_speed(2950.0) * 0.130
    assert found_m_per_s / 0.3048 == pytest.approx(feet_per_s, rel=0.002)


@pytest.mark.evidence(LOBANOFF)
def test_ribs_at_fifteen_thousandths_turn_the_liquid_at_about_the_impellers_speed() -> None:
    """P. 346: ribs at 0.015 in at most; a wider gap turns it less and the load is higher."""
    assert find_vane_swirl(4.0, 0.015 * IN_MM) > 0.95
    assert find_vane_swirl(4.0, 0.060 * IN_MM) < 0.9
