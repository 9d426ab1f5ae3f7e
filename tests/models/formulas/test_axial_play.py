"""How far a deep groove ball bearing shifts along the shaft, against circles that are made to touch."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.formulas.bearing_clearance import find_axial_play
from models.spec.length import Length

radials = st.floats(1e-4, 0.08)
balls = st.floats(5.0, 40.0)
shares = st.floats(0.505, 0.56)


def _shift_until_it_touches(radial_mm: float, ball_mm: float, inner: float, outer: float) -> float:
    """Push the outer ring along until the ball's room across both grooves is used up, by bisection.

    Groove centres lie A apart when the ball touches both; unloaded they lie A - radial / 2 apart
    across the shaft. Shifted along by s, the distance is hypot(A - radial / 2, s).
    """
    apart = (inner + outer - 1.0) * ball_mm
    low, high = 0.0, apart
    for _ in range(200):
        middle = (low + high) / 2.0
        if math.dist((0.0, 0.0), (apart - radial_mm / 2.0, middle)) < apart:
            low = middle
        else:
            high = middle
    return 2.0 * low


@given(radials, balls, shares, shares)
def test_the_rings_shift_until_the_ball_leans_on_both_grooves(
    radial_mm: float, ball_mm: float, inner: float, outer: float
) -> None:
    if radial_mm >= 1.9 * (inner + outer - 1.0) * ball_mm:
        return
    found = float(find_axial_play(Length(radial_mm), ball_mm, inner, outer))
    assert found == pytest.approx(
        _shift_until_it_touches(radial_mm, ball_mm, inner, outer), rel=1e-7, abs=1e-6
    )


@given(st.floats(1e-3, 0.04), st.floats(8.0, 40.0))
def test_the_play_along_the_shaft_exceeds_the_play_across_it(radial_mm: float, ball_mm: float) -> None:  # fmt: skip
    assert float(find_axial_play(Length(radial_mm), ball_mm)) > radial_mm


def test_its_sensitivity_is_that_of_a_small_change() -> None:
    term = ("bearing", "internal-clearance")
    play = find_axial_play(Length.of(*term, 0.013), 15.0)
    step = 1e-6
    more, less = (float(find_axial_play(Length(0.013 + s), 15.0)) for s in (step, -step))
    assert play.terms[term] == pytest.approx((more - less) / (2 * step), rel=1e-5)


@pytest.mark.parametrize("radial_mm", [0.0, -0.01])
def test_a_bearing_without_clearance_has_no_end_float(radial_mm: float) -> None:
    assert float(find_axial_play(Length(radial_mm), 15.0)) == 0.0


def test_impossible_grooves_are_refused() -> None:
    with pytest.raises(ValueError, match="do not hold"):
        find_axial_play(Length(0.01), 15.0, 0.5, 0.5)
    with pytest.raises(ValueError, match="past its grooves"):
        find_axial_play(Length(1.3), 15.0)
