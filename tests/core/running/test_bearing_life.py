"""Bearing life: identities, the pair against ISO 281's double row, the table of f_c against the formula behind it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.spec.errors import RefusalError
from trainer.core.running.bearing_life import (
    RELATIVE_LOADS,
    find_axial_factors,
    find_life_h,
    find_radial_thrust_n,
    find_support_loads_n,
    find_survival,
    join_lives_h,
    load_angular,
    load_deep_groove,
    load_double,
    load_plain,
    share_pair,
)
from trainer.core.running.bearing_rating import (
    BALL_FC,
    ROLLER_FC,
    SHARES,
    Rating,
    rate_ball_bearing,
    rate_roller_bearing,
)

BALLS = Rating(55.3e3, 36e3, 13.1, is_ball=True)
ROLLERS = Rating(55.3e3, 36e3, 0.0, is_ball=False)


@given(st.floats(100.0, 1e4), st.floats(1.1, 2.0))
def test_life_falls_with_the_cube_of_the_load_of_balls(load_n: float, times: float) -> None:
    assert find_life_h(BALLS, load_n, 1475) / find_life_h(BALLS, load_n * times, 1475) == pytest.approx(times**3)  # fmt: skip
    assert find_life_h(ROLLERS, load_n, 1475) / find_life_h(ROLLERS, load_n * times, 1475) == pytest.approx(times ** (10 / 3))  # fmt: skip


@pytest.mark.parametrize(
    ("axial_n", "equivalent_n", "life_h"), [(2000.0, 5063.6, 7359.0), (500.0, 3000.0, 35387.0)]
)
def test_a_stated_case_of_a_deep_groove_bearing(
    axial_n: float, equivalent_n: float, life_h: float
) -> None:
    """BRG-6: C 55.3, C0 36 kN, f0 13.1, Fr 3 kN, 2950 rpm."""
    load = load_deep_groove(3000.0, axial_n, BALLS)
    assert load.equivalent_n == pytest.approx(equivalent_n, abs=0.05)
    assert find_life_h(BALLS, load.equivalent_n, 2950) == pytest.approx(life_h, abs=0.5)


@pytest.mark.parametrize(
    ("contact_deg", "equivalent_n", "life_h"), [(40.0, 3900.0, 11905.0), (30.0, 4970.0, 5753.0), (25.0, 5580.0, 4065.0)]
)  # fmt: skip
def test_a_stated_case_of_angular_contact(
    contact_deg: float, equivalent_n: float, life_h: float
) -> None:
    """BRG-6: C 50 kN, Fr 3, Fa 5 kN, 2950 rpm."""
    load = load_angular(3000.0, 5000.0, contact_deg)
    assert load.equivalent_n == pytest.approx(equivalent_n)
    rating = Rating(50e3, 40e3, 14.0, is_ball=True)
    assert find_life_h(rating, load.equivalent_n, 2950) == pytest.approx(life_h, abs=0.5)


def test_static_loads() -> None:
    """BRG-5: Fr 3, Fa 2 kN deep groove 2.8 but no less than Fr; Fr 3, Fa 5 kN at 40 degrees 2.8, so Fr."""
    assert load_deep_groove(3000.0, 2000.0, BALLS).static_n == 3000.0
    assert load_deep_groove(1000.0, 4000.0, BALLS).static_n == pytest.approx(2600.0)
    assert load_angular(1000.0, 5000.0, 40.0).static_n == pytest.approx(1800.0)


@given(st.floats(100.0, 5000.0))
def test_a_pair_without_thrust_lives_as_long_as_one_double_row_bearing(radial_n: float) -> None:
    a, b = share_pair(radial_n, 0.0, 40.0)
    lives = [find_life_h(BALLS, load.equivalent_n, 1475) for load in (a, b)]
    together = Rating(2**0.7 * BALLS.dynamic_n, 2 * BALLS.static_n, 13.1, is_ball=True)
    whole = find_life_h(together, load_double(radial_n, 0.0, 40.0).equivalent_n, 1475)
    assert join_lives_h(lives) == pytest.approx(whole, rel=1e-12)


@given(st.floats(1000.0, 9000.0))
def test_a_pair_under_thrust_alone_lives_nearly_as_long_as_one_double_row_bearing(axial_n: float) -> None:  # fmt: skip
    a, b = share_pair(0.0, axial_n, 40.0)
    assert b.equivalent_n == 0.0
    together = Rating(2**0.7 * BALLS.dynamic_n, 2 * BALLS.static_n, 13.1, is_ball=True)
    whole = find_life_h(together, load_double(0.0, axial_n, 40.0).equivalent_n, 1475)
    assert find_life_h(BALLS, a.equivalent_n, 1475) == pytest.approx(whole, rel=0.02)


@given(st.floats(0.0, 4000.0), st.floats(0.0, 4000.0))
def test_a_never_carries_less_than_b(radial_n: float, axial_n: float) -> None:
    a, b = share_pair(radial_n, axial_n, 40.0)
    assert a.equivalent_n >= b.equivalent_n * (1 - 1e-3)  # X + Y e of the table is 0.9998
    assert a.axial_n - b.axial_n == pytest.approx(axial_n, abs=1e-9)


@given(st.floats(0.0, 1.0), st.floats(0.01, 0.5))
def test_more_thrust_never_lengthens_a_life(share: float, more: float) -> None:
    one, two = (load_deep_groove(1000.0, s * 10e3, BALLS).equivalent_n for s in (share, share + more))  # fmt: skip
    assert two >= one - 1e-6


def test_axial_factors_stand_on_the_rows_of_the_table() -> None:
    at = RELATIVE_LOADS[3] * BALLS.static_n / BALLS.static_factor
    assert find_axial_factors(at, BALLS) == pytest.approx((0.28, 1.55))
    assert find_axial_factors(0.0, BALLS) == pytest.approx((0.19, 2.30))


def test_supports_balance_an_overhung_load_and_add_up_what_may_add() -> None:
    assert find_support_loads_n([(-200.0, 1000.0)], 0.0, 100.0) == pytest.approx((3000.0, 2000.0))
    both = find_support_loads_n([(-200.0, 1000.0), (150.0, 400.0)], 0.0, 100.0)
    assert both == pytest.approx((3000.0 + 200.0, 2000.0 + 600.0))


def test_a_volute_pushes_across_the_shaft_away_from_best_flow_only() -> None:
    shut = find_radial_thrust_n(80.0, 0.0, 250.0, 25.0, 998.0, 0.36)
    assert shut == pytest.approx(0.36 * 998 * 9.81 * 80 * 0.250 * 0.025)
    assert find_radial_thrust_n(80.0, 1.0, 250.0, 25.0, 998.0, 0.36) == 0.0
    low, high = (find_radial_thrust_n(80.0, share, 250.0, 25.0, 998.0, 0.36) for share in (0.5, 1.2))  # fmt: skip
    assert shut > low > high > 0.0
    with pytest.raises(RefusalError, match=r"radial_factor is 0\.5.*0\.15 to 0\.38"):
        find_radial_thrust_n(80.0, 0.0, 250.0, 25.0, 998.0, 0.5)
    with pytest.raises(RefusalError, match="flow_share is 2"):
        find_radial_thrust_n(80.0, 2.0, 250.0, 25.0, 998.0, 0.3)


def test_two_equal_bearings_together_reach_less() -> None:
    assert join_lives_h([1000.0, 1000.0]) == pytest.approx(1000.0 / 2**0.9)
    assert join_lives_h([1000.0, math.inf]) == pytest.approx(1000.0)


def test_nine_of_ten_reach_their_rating_life() -> None:
    assert find_survival(1000.0, 1000.0) == pytest.approx(0.9, abs=0.002)
    assert find_survival(1000.0, 10.0) == 1.0


@pytest.mark.parametrize(("share", "factor"), list(zip(SHARES, BALL_FC, strict=True)))
def test_table_of_ball_factors_follows_its_formula(share: float, factor: float) -> None:
    """ISO/TR 1281-1 (from memory): f_c with a reduction of 0.95, grooves of 0.52 of the ball; within 1 %."""
    inner = 1.04 * ((1 - share) / (1 + share)) ** 1.72
    shape = share**0.3 * (1 - share) ** 1.39 / (1 + share) ** (1 / 3)
    made = 39.9 * 0.95 * (1 + inner ** (10 / 3)) ** -0.3 * shape * (1.04 / 0.04) ** 0.41
    assert factor == pytest.approx(made, rel=0.01)


@pytest.mark.parametrize(("share", "factor"), list(zip(SHARES, ROLLER_FC, strict=True)))
def test_table_of_roller_factors_follows_its_formula(share: float, factor: float) -> None:
    """ISO/TR 1281-1 (from memory): f_c with a reduction of 0.83; to the digit printed."""
    inner = 1.04 * ((1 - share) / (1 + share)) ** (143 / 108)
    shape = share ** (2 / 9) * (1 - share) ** (29 / 27) / (1 + share) ** 0.25
    made = 207.9 * 0.83 * (1 + inner**4.5) ** (-2 / 9) * shape
    assert factor == pytest.approx(made, abs=0.1)


def test_more_and_thicker_balls_carry_more() -> None:
    one = rate_ball_bearing(8, 15.0, 65.0)
    assert rate_ball_bearing(9, 15.0, 65.0).dynamic_n > one.dynamic_n
    assert rate_ball_bearing(8, 16.0, 65.0).dynamic_n > one.dynamic_n
    two_rows = rate_ball_bearing(8, 15.0, 65.0, rows=2)
    assert two_rows.dynamic_n == pytest.approx(2**0.7 * one.dynamic_n)
    assert rate_roller_bearing(11, 14.0, 14.0, 66.0).exponent == pytest.approx(10 / 3)


@pytest.mark.parametrize(
    ("load_n", "named"), [(30e3, r"equivalent_n is 30000 N.*0 to 27650 N"), (-1.0, r"equivalent_n is -1")]
)  # fmt: skip
def test_a_load_beyond_half_the_rating_is_refused(load_n: float, named: str) -> None:
    with pytest.raises(RefusalError, match=named):
        find_life_h(BALLS, load_n, 1475)


def test_proportions_beyond_the_tables_are_refused() -> None:
    with pytest.raises(RefusalError, match=r"ball_share is 0\.5"):
        rate_ball_bearing(4, 20.0, 40.0)
    with pytest.raises(RefusalError, match="axial_n"):
        load_deep_groove(0.0, 40e3, BALLS)
    with pytest.raises(RefusalError, match="bearing_span_mm"):
        find_support_loads_n([(0.0, 1.0)], 10.0, 10.0)


def test_no_load_lasts_for_ever() -> None:
    assert find_life_h(BALLS, load_plain(0.0).equivalent_n, 1475) == math.inf
