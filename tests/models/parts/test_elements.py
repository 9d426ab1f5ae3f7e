"""How many balls a bearing holds: what goes in is what is drawn and rated."""

from __future__ import annotations

import math

import pytest

from models.parts.elements import FILL_DEG, count_elements, count_filled


@pytest.mark.parametrize(("pitch_mm", "ball_mm"), [(51.0, 13.02), (65.0, 15.5), (80.0, 18.6), (95.0, 21.7)])  # fmt: skip
def test_balls_of_a_deep_groove_bearing_go_in_past_the_pushed_ring_and_one_more_would_not(
    pitch_mm: float, ball_mm: float
) -> None:
    count = count_filled(pitch_mm, ball_mm)
    each = 2 * math.degrees(math.asin(ball_mm / pitch_mm))
    assert (count - 1) * each <= FILL_DEG < count * each
    assert count < count_elements(pitch_mm, ball_mm)


def test_many_small_balls_are_limited_by_the_cage() -> None:
    assert count_filled(100.0, 2.0) <= count_elements(100.0, 2.0)
