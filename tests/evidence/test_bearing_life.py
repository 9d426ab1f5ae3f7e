"""Bearing life against published problems with printed answers."""

from __future__ import annotations

import pytest

from trainer.core.running.bearing_life import (
    find_life_h,
    find_radial_thrust_n,
    find_survival,
    load_deep_groove,
)
from trainer.core.running.bearing_rating import Rating

SHIGLEY = "Shigley, Mechanical Engineering Design, 8th ed., solutions manual, chapter 11"
JINDAL = "Jindal, Machine Design, example 18-2, p. 508"
MILLION = 1e6


def _rate(dynamic: float, *, is_ball: bool = True) -> Rating:
    return Rating(dynamic, dynamic, 13.0, is_ball=is_ball)


@pytest.mark.parametrize(
    ("load", "rating", "lives", "is_ball", "survival"),
    [
        pytest.param(2.278, 18.59, 540, True, 0.90, marks=pytest.mark.evidence(SHIGLEY)),
        pytest.param(2.278, 19.5, 540, True, 0.919, marks=pytest.mark.evidence(SHIGLEY)),
        pytest.param(854, 9665, 1440, True, 0.90, marks=pytest.mark.evidence(SHIGLEY)),
        pytest.param(3.8, 46.2, 1440, True, 0.927, marks=pytest.mark.evidence(SHIGLEY)),
        pytest.param(10.28, 102, 1440, False, 0.942, marks=pytest.mark.evidence(SHIGLEY)),
        pytest.param(
            3.0, 24.3, 525, True, 0.90,
            marks=pytest.mark.evidence("Shigley, Mechanical Engineering Design, a later edition's problem of a 02-series bearing for 25 kh at 350 rpm, as answered in a public course repository"),
        ),
    ],
)  # fmt: skip
def test_share_of_bearings_that_reach_a_life(
    load: float, rating: float, lives: float, is_ball: bool, survival: float
) -> None:
    """Lives are counted in millions of revolutions: 1 rpm, so that hours and revolutions are the same."""
    speed_rpm = MILLION / 60.0
    life = find_life_h(_rate(rating, is_ball=is_ball), load, speed_rpm)
    assert find_survival(life, lives) == pytest.approx(survival, abs=0.0015)


@pytest.mark.evidence(SHIGLEY)
def test_a_roller_bearing_of_the_rating_asked_for_has_the_life() -> None:
    assert find_life_h(_rate(91.1, is_ball=False), 10.279, MILLION / 60) == pytest.approx(1440, rel=2e-3)  # fmt: skip


@pytest.mark.evidence("Faires, Design of Machine Elements, problem 601, as answered")
def test_life_in_revolutions_and_hours() -> None:
    load = 0.56 * 1500 + 1.93 * 1000
    assert load == pytest.approx(2770, abs=0.5)
    hours = find_life_h(_rate(29900.0), load, 1500)
    assert hours * 60 * 1500 / MILLION == pytest.approx(1258, abs=1.0)
    assert hours == pytest.approx(14_000, rel=0.003)


@pytest.mark.parametrize(
    ("rotation_factor", "lives"),
    [
        pytest.param(1.0, 57.3, marks=pytest.mark.evidence(JINDAL)),
        pytest.param(1.2, 43.46, marks=pytest.mark.evidence(JINDAL)),
    ],
)  # fmt: skip
def test_life_under_a_combined_load(rotation_factor: float, lives: float) -> None:
    load = 0.56 * rotation_factor * 1250 + 1.2 * 625
    assert find_life_h(_rate(5590.0), load, MILLION / 60) == pytest.approx(lives, abs=0.06)


@pytest.mark.evidence(
    "an engineering examination's question, 16 kN under 2 kN, as answered on a public question site"
)
def test_life_of_an_examination_question() -> None:
    assert find_life_h(_rate(16.0), 2.0, MILLION / 60) == pytest.approx(512.0)


@pytest.mark.evidence(
    "trade page with interpolated Y, outer ring turning (V = 1.2)", from_memory=True
)
def test_interpolated_axial_factor() -> None:
    """BRG-3: C0 34 kN, Fa 3, V Fr 8.4 kN: Y 1.534, P 9.305 kN; f0 that turns F_a / C_0 0.084 into 1.03."""
    bearing = Rating(55.9e3, 34e3, 1.03 / 0.084, is_ball=True)
    assert load_deep_groove(8400.0, 3000.0, bearing).equivalent_n == pytest.approx(9305.0, abs=12.0)


@pytest.mark.evidence("Shigley, Mechanical Engineering Design, example 11-4", from_memory=True)
def test_life_of_a_deep_groove_bearing_under_thrust() -> None:
    """BRG-4: Fa 400, Fr 500, C0 4450, C 7900 lbf, 720 rpm: P 890.9 lbf, 16 140 to 16 150 h."""
    bearing = Rating(7900.0, 4450.0, 1.03 / 0.084, is_ball=True)
    load = load_deep_groove(500.0, 400.0, bearing).equivalent_n
    assert load == pytest.approx(890.9, abs=1.5)
    assert find_life_h(bearing, load, 720) == pytest.approx(16_145, rel=0.006)


@pytest.mark.parametrize(
    "factor",
    [pytest.param(k, marks=pytest.mark.evidence("The Practical Pumping Handbook, section 2.5.1, radial thrust at shut-off")) for k in (0.15, 0.38)],
)  # fmt: skip
def test_radial_thrust_at_shut_off(factor: float) -> None:
    """F = K P D B in pounds and inches, K from 0.15 to 0.38: here 13 in wide, 1.25 in with shrouds, 700 ft of water."""
    head_ft, rim_in, width_in = 700.0, 13.0, 1.25
    pressure_psi = head_ft * 0.3048 * 1000.0 * 9.81 / 6894.757
    pounds = factor * pressure_psi * rim_in * width_in
    found_n = find_radial_thrust_n(head_ft * 0.3048, 0.0, rim_in * 25.4, width_in * 25.4, 1000.0, factor)  # fmt: skip
    assert found_n * 0.2248089 == pytest.approx(pounds, rel=1e-5)
