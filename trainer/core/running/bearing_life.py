"""How long rolling bearings last under what a pump lays on them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trainer.core.running.bearing_rating import Rating, interpolate
from trainer.core.running.ranges import check_range

RELATIVE_LOADS = (0.172, 0.345, 0.689, 1.03, 1.38, 2.07, 3.45, 5.17, 6.89)
"""f_0 F_a / C_0 at which the two columns below stand."""
LIMITS = (0.19, 0.22, 0.26, 0.28, 0.30, 0.34, 0.38, 0.42, 0.44)
AXIAL = (2.30, 1.99, 1.71, 1.55, 1.45, 1.31, 1.15, 1.04, 1.00)
"""e and Y of deep groove bearings; X is 0.56. Source: ISO 281:2007, table 3, from memory."""
DEEP_X = 0.56
SINGLE = {
    25.0: (0.41, 0.87, 0.68),
    30.0: (0.39, 0.76, 0.80),
    35.0: (0.37, 0.66, 0.95),
    40.0: (0.35, 0.57, 1.14),
}
"""X, Y, e of single-row angular contact bearings by contact angle. Source: ISO 281, table 3, from memory."""
DOUBLE = {
    25.0: (0.92, 0.67, 1.41),
    30.0: (0.78, 0.63, 1.24),
    35.0: (0.66, 0.60, 1.07),
    40.0: (0.55, 0.57, 0.93),
}
"""Y1, X2, Y2 of double-row ones; e is that of the single row. Source: as above."""
STATIC_Y = {25.0: 0.38, 30.0: 0.33, 35.0: 0.29, 40.0: 0.26}
"""Y_0 of single-row angular contact bearings, X_0 being 0.5. Source: ISO 76, from memory."""
LEAST_LIFE, THETA, SHAPE = 0.02, 4.439, 1.483
"""Weibull's x_0, theta - x_0 and b. Source: Shigley, Mechanical Engineering Design, chapter 11, as its solutions use them."""
MOST_LOAD_SHARE = 0.5
"""Equivalent load by dynamic rating up to which the life formula holds. Source: ISO 281, from memory."""
ASSUMPTIONS = ("bearings-drawn", "bearings-clean", "loads-worst-side", "pair-no-preload")


@dataclass(frozen=True, slots=True)
class BearingLoad:
    """What one bearing carries, in N: across the shaft, along it, and the one load across that wears it as much."""

    radial_n: float
    axial_n: float
    equivalent_n: float
    static_n: float


@dataclass(frozen=True, slots=True)
class BearingLife:
    """How one bearing fares. life_h: hours that nine of ten reach. static_safety: static rating by static load. survival: share that reach the hours asked for."""

    name: str
    rating: Rating
    load: BearingLoad
    life_h: float
    static_safety: float
    survival: float


def find_radial_thrust_n(
    head_m: float,
    flow_share: float,
    rim_mm: float,
    width_mm: float,
    density_kg_per_m3: float,
    factor: float,
) -> float:
    """Find the force of a volute across the shaft, in N: K (1 - (Q / Q_n)^2) rho g H D B.

    Source: The Practical Pumping Handbook, section 2.5.1 (p. 28): K at no flow from 0.15 to 0.38,
    B with the shrouds; the exponent 2 is Stepanoff's, from memory.

    Args:
        head_m: at the duty point.
        flow_share: flow by that of best efficiency.
        rim_mm: impeller diameter.
        width_mm: of the impeller at the rim, shrouds included.
        density_kg_per_m3: of the liquid.
        factor: K at no flow.

    Raises:
        RefusalError: K outside 0.15 to 0.38, flow beyond 1.3 of the best.
    """
    check_range("radial_factor", factor, 0.15, 0.38)
    check_range("flow_share", flow_share, 0.0, 1.3)
    share = abs(1.0 - flow_share**2)
    return factor * share * density_kg_per_m3 * 9.81 * head_m * rim_mm * width_mm * 1e-6


def find_support_loads_n(
    loads: Sequence[tuple[float, float]], inboard_mm: float, outboard_mm: float
) -> tuple[float, float]:
    """Find what two bearings carry across the shaft, in N, each as a size.

    Which way each force pushes is not known, so what each lays on a bearing by itself is added up: the worst side.
    Source: balance of forces and moments.

    Args:
        loads: (place along the shaft in mm, force in N).
        inboard_mm: place of one bearing.
        outboard_mm: place of the other.

    Raises:
        RefusalError: the bearings stand at one place.
    """
    span = check_range("bearing_span_mm", outboard_mm - inboard_mm, 1.0, 5000.0, "mm")
    arms = [(force, (place - inboard_mm) / span) for place, force in loads]
    inboard = sum(abs(force * (1.0 - arm)) for force, arm in arms)
    return inboard, sum(abs(force * arm) for force, arm in arms)


def find_axial_factors(axial_n: float, rating: Rating) -> tuple[float, float]:
    """Find e and Y of a deep groove bearing from f_0 F_a / C_0, by straight lines between the rows of the table.

    Below the first row its values stand; beyond the last the bearing would carry more than C_0 allows.

    Raises:
        RefusalError: an axial load beyond the last row.
    """
    most = RELATIVE_LOADS[-1] * rating.static_n / rating.static_factor
    check_range("axial_n", axial_n, 0.0, most, "N")
    relative = max(rating.static_factor * axial_n / rating.static_n, RELATIVE_LOADS[0])
    return interpolate(relative, RELATIVE_LOADS, LIMITS), interpolate(relative, RELATIVE_LOADS, AXIAL)  # fmt: skip


def load_deep_groove(radial_n: float, axial_n: float, rating: Rating) -> BearingLoad:
    """Find the equivalent loads of a deep groove bearing: P = X F_r + Y F_a, P_0 = 0.6 F_r + 0.5 F_a.

    Source: ISO 281:2007 and ISO 76, from memory.
    """
    limit, factor = find_axial_factors(axial_n, rating)
    beyond = axial_n > limit * radial_n
    equivalent = DEEP_X * radial_n + factor * axial_n if beyond else radial_n
    static = max(radial_n, 0.6 * radial_n + 0.5 * axial_n)
    return BearingLoad(radial_n, axial_n, max(equivalent, radial_n), static)


def load_angular(radial_n: float, axial_n: float, contact_deg: float) -> BearingLoad:
    """Find the equivalent loads of a single-row angular contact bearing. Source: ISO 281, ISO 76, from memory."""
    x, y, limit = SINGLE[contact_deg]
    beyond = axial_n > limit * radial_n
    equivalent = x * radial_n + y * axial_n if beyond else radial_n
    static = max(radial_n, 0.5 * radial_n + STATIC_Y[contact_deg] * axial_n)
    return BearingLoad(radial_n, axial_n, equivalent, static)


def load_double(radial_n: float, axial_n: float, contact_deg: float) -> BearingLoad:
    """Find the equivalent loads of a double-row angular contact bearing, or a pair taken as one.

    Source: ISO 281, ISO 76, from memory.
    """
    y1, x2, y2 = DOUBLE[contact_deg]
    beyond = axial_n > SINGLE[contact_deg][2] * radial_n
    equivalent = x2 * radial_n + y2 * axial_n if beyond else radial_n + y1 * axial_n
    static = radial_n + 2.0 * STATIC_Y[contact_deg] * axial_n
    return BearingLoad(radial_n, axial_n, equivalent, static)


def load_plain(radial_n: float) -> BearingLoad:
    """Give the loads of a roller bearing of form NU, which carries nothing along the shaft. Source: ISO 281."""
    return BearingLoad(radial_n, 0.0, radial_n, radial_n)


def share_pair(
    radial_n: float, axial_n: float, contact_deg: float
) -> tuple[BearingLoad, BearingLoad]:
    """Share the load of a back-to-back pair between a, which carries the thrust, and b, which holds against it.

    Each carries half of the radial load, which by the slant of its contact presses along the shaft with e F_r.
    What a is pushed with is the larger of that and b's press plus the thrust; b keeps its own press.
    Source: the usual way with two single bearings; taken together both give the life that ISO 281 gives the pair as
    one double-row bearing, exactly without thrust and within 2 % under thrust alone: see the tests.
    """
    half = radial_n / 2.0
    press = SINGLE[contact_deg][2] * half
    return (
        load_angular(half, press + axial_n, contact_deg),
        load_angular(half, press, contact_deg),
    )


def find_life_h(rating: Rating, equivalent_n: float, speed_rpm: float) -> float:
    """Find the basic rating life in hours: 10^6 / (60 n) (C / P)^p. No load gives an endless life (infinity).

    Source: ISO 281:2007.

    Raises:
        RefusalError: a load beyond half the rating, where the formula no longer holds; speed not above zero.
    """
    check_range("speed_rpm", speed_rpm, 1e-3, 1e5, "rpm")
    check_range("equivalent_n", equivalent_n, 0.0, MOST_LOAD_SHARE * rating.dynamic_n, "N")
    if equivalent_n == 0.0:
        return math.inf
    return float((rating.dynamic_n / equivalent_n) ** rating.exponent * 1e6 / (60.0 * speed_rpm))


def join_lives_h(lives_h: Sequence[float], *, of_balls: bool = True) -> float:
    """Find the life that nine of ten sets of bearings reach before the first of a set fails, in hours.

    Source: Lundberg and Palmgren's Weibull slope, 10/9 of balls and 9/8 of rollers, from memory.
    """
    slope = 10.0 / 9.0 if of_balls else 9.0 / 8.0
    worn = sum(life**-slope for life in lives_h)
    return float(worn ** (-1.0 / slope)) if worn else math.inf


def find_survival(life_h: float, hours: float) -> float:
    """Find the share of such bearings that still run after so many hours, 0 to 1.

    Source: Shigley, Mechanical Engineering Design, chapter 11, Weibull with x_0 0.02, theta 4.459, b 1.483.

    Raises:
        RefusalError: hours below zero.
    """
    check_range("run_h", hours, 0.0, 1e6, "h")
    lives = hours / life_h
    return math.exp(-((max(lives - LEAST_LIFE, 0.0) / THETA) ** SHAPE))


def judge_bearing(
    name: str, rating: Rating, load: BearingLoad, speed_rpm: float, hours: float
) -> BearingLife:
    """Judge one bearing: life, static safety, and the share of such bearings that reach the hours."""
    life = find_life_h(rating, load.equivalent_n, speed_rpm)
    safety = rating.static_n / load.static_n if load.static_n else math.inf
    return BearingLife(name, rating, load, life, safety, find_survival(life, hours))
