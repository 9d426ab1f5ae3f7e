"""How much liquid runs back through a wear ring, and what share of the pump's work that costs."""

from __future__ import annotations

import math
from dataclasses import dataclass

from trainer.core.running.ranges import check_range

GRAVITY_M_PER_S2 = 9.81
ENTRANCE_AND_EXIT = 1.5
"""Velocity heads lost where the liquid goes into the gap (0.5) and out of it (1.0).

Source: Pump Handbook, 1976, section 2.1, as an engineers' forum gives it; the book itself was not seen.
"""
LEAST_GAP_SHARE, MOST_GAP_SHARE = 0.0006, 0.0127
"""Clearance as a share of the diameter.

Source: range of the tests in "Leakage and frictional characteristics of turbulent helical flow in fine clearance",
Journal of Fluids Engineering 95 (1973), p. 493, as its abstract gives it.
"""
LEAST_LENGTH_SHARE, MOST_LENGTH_SHARE = 20.0, 750.0
"""Length of the gap in radial gaps. Source: the same abstract."""
MOST_REYNOLDS = 1e5
"""How far the friction law of smooth walls reaches. Source: usual limit of Blasius' law, from memory."""
SAME = 1e-12
MOST_ROUNDS = 200

ASSUMPTIONS = ("ring-concentric", "ring-smooth", "ring-turning", "liquid-swirl", "head-reaction")


@dataclass(frozen=True, slots=True)
class RingGap:
    """The gap of a wear ring: diameter and length in mm, clearance on the diameter in mm."""

    diameter_mm: float
    clearance_mm: float
    length_mm: float


@dataclass(frozen=True, slots=True)
class Liquid:
    """What is pumped: density in kg/m3, kinematic viscosity in mm2/s (water of 20 degrees has 1)."""

    density_kg_per_m3: float
    viscosity_mm2_per_s: float


@dataclass(frozen=True, slots=True)
class Leakage:
    """What runs through a ring.

    speed_m_per_s: along the shaft in the gap. reynolds: with twice the radial gap. friction: Darcy's factor.
    """

    flow_m3_per_h: float
    pressure_kpa: float
    speed_m_per_s: float
    reynolds: float
    friction: float


def find_angular_speed(speed_rpm: float) -> float:
    """Give a speed of rotation in rad/s."""
    return speed_rpm * math.pi / 30.0


def find_rim_pressure_pa(
    head_m: float, rim_mm: float, speed_rpm: float, density_kg_per_m3: float
) -> float:
    """Find how far the pressure at the impeller's rim lies above suction pressure, in Pa.

    The impeller gives part of its head as speed, g H / u of it round the shaft at the rim; what is pressure
    already is the share 1 - g H / (2 u^2). Losses in the impeller are left out, so H is the pump's head.
    Source: Euler's equation and Bernoulli's, a closed form; textbooks call it the degree of reaction.

    Raises:
        RefusalError: the head is more than a wheel of that diameter and speed can give (g H > u^2).
    """
    rim_speed = find_angular_speed(speed_rpm) * rim_mm / 2000.0
    coefficient = GRAVITY_M_PER_S2 * head_m / rim_speed**2
    check_range("head_m", head_m, 0.0, rim_speed**2 / GRAVITY_M_PER_S2, "m")
    return density_kg_per_m3 * GRAVITY_M_PER_S2 * head_m * (1.0 - coefficient / 2.0)


def find_swirl_drop_pa(
    outer_mm: float, inner_mm: float, swirl: float, speed_rpm: float, density_kg_per_m3: float
) -> float:
    """Find by how much pressure falls from an outer to an inner diameter in liquid that turns, in Pa.

    Args:
        outer_mm: diameter.
        inner_mm: diameter.
        swirl: speed of the liquid as a share of the impeller's; half behind a smooth shroud (common practice).
        speed_rpm: of the impeller.
        density_kg_per_m3: of the liquid.

    Source: balance of a ring of liquid turning as one body (forced vortex), a closed form.
    """
    turning = swirl * find_angular_speed(speed_rpm)
    return float(density_kg_per_m3 * turning**2 * (outer_mm**2 - inner_mm**2) / 8e6)


def find_friction_factor(reynolds: float, turning_share: float = 0.0) -> float:
    """Find Darcy's friction factor in a narrow ring gap with smooth walls.

    Laminar flow between parallel walls gives 96 / Re, turbulent flow Blasius' 0.3164 / Re^0.25; the larger
    counts, so the factor does not jump where they meet, near 2040. Where the inner wall turns, the turbulent
    one grows by (1 + (7/8 u / 2 v)^2)^0.375.
    Source: closed form; Blasius; Yamada's tests of turning gaps (1962). All from memory.

    Args:
        reynolds: mean speed along the gap times twice the radial gap over the kinematic viscosity.
        turning_share: speed of the turning wall over the mean speed along the gap.

    Raises:
        RefusalError: a Reynolds number that is not above zero or beyond 1e5.
    """
    check_range("reynolds", reynolds, 1e-9, MOST_REYNOLDS)
    turning = math.exp(0.375 * math.log1p((7.0 / 8.0 * turning_share / 2.0) ** 2))
    return max(96.0 / reynolds, 0.3164 / math.sqrt(math.sqrt(reynolds)) * turning)


def check_ring(ring: RingGap) -> None:
    """Check that a ring gap has a shape that the formulas hold for. Raises RefusalError naming what has not."""
    name, share = "ring_clearance_mm", ring.diameter_mm
    check_range(name, ring.clearance_mm, LEAST_GAP_SHARE * share, MOST_GAP_SHARE * share, "mm")
    least, most = LEAST_LENGTH_SHARE, MOST_LENGTH_SHARE
    check_range(
        name, ring.clearance_mm, 2.0 * ring.length_mm / most, 2.0 * ring.length_mm / least, "mm"
    )


def find_leakage(ring: RingGap, pressure_pa: float, liquid: Liquid, speed_rpm: float) -> Leakage:
    """Find what runs through a ring gap under a pressure difference.

    The pressure difference is what entrance, exit and friction use up: dp = rho v^2 / 2 (1.5 + f L / 2s), s the
    radial gap. The friction factor follows from the speed that it slows, so speed and factor are found in turns until
    they agree; each turn brings them nearer by a half at least.
    Source: sum of losses in velocity heads, common practice; see the constants and `find_friction_factor`.

    Raises:
        RefusalError: a gap outside the range of the tests, or pressure below zero.
    """
    check_ring(ring)
    check_range("ring_pressure_kpa", pressure_pa / 1e3, 0.0, 1e4, "kPa")
    if pressure_pa == 0.0:
        return Leakage(0.0, 0.0, 0.0, 0.0, 0.0)
    gap_m = ring.clearance_mm / 2000.0
    length = ring.length_mm / 1000.0 / (2.0 * gap_m)
    wall = find_angular_speed(speed_rpm) * ring.diameter_mm / 2000.0
    heads = 2.0 * pressure_pa / liquid.density_kg_per_m3
    speed, before, reynolds, friction = math.sqrt(heads / ENTRANCE_AND_EXIT), 0.0, 0.0, 0.0
    for _ in range(MOST_ROUNDS):
        if abs(speed - before) <= SAME * speed:
            break
        before = speed
        reynolds = 2.0 * gap_m * speed / (liquid.viscosity_mm2_per_s * 1e-6)
        friction = find_friction_factor(reynolds, wall / speed)
        speed = math.sqrt(heads / (ENTRANCE_AND_EXIT + friction * length))
    area = math.pi * ring.diameter_mm / 1000.0 * gap_m
    return Leakage(area * speed * 3600.0, pressure_pa / 1e3, speed, reynolds, friction)


def find_lost_share(leakage_m3_per_h: float, flow_m3_per_h: float) -> float:
    """Find the share of the pump's work that goes into liquid which only runs round, 0 to 1.

    What the impeller moves is flow plus leakage: the share is leakage / (flow + leakage).
    Source: volumetric efficiency, a definition.
    """
    check_range("flow_m3_per_h", flow_m3_per_h, 1e-9, 1e6, "m3/h")
    return leakage_m3_per_h / (flow_m3_per_h + leakage_m3_per_h)
