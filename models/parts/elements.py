"""Rolling elements of a bearing as numbers: how many, how thick, on what circle. What is drawn and what is rated are the same."""

from __future__ import annotations

import math
from dataclasses import dataclass

PITCH_SHARE = 1.3
"""Spacing of rolling elements round the pitch circle in their own diameters."""
FILL_DEG = 195.0
"""How far round its pitch circle a deep groove bearing can be filled while its rings lie against each other (from memory)."""


@dataclass(frozen=True, slots=True)
class Elements:
    """Rows of balls or rollers: how many in each row, diameters in mm, contact angle in degrees; length_mm of rollers, 0 for balls."""

    count: int
    diameter_mm: float
    pitch_mm: float
    contact_deg: float = 0.0
    rows: int = 1
    length_mm: float = 0.0


def count_elements(pitch_mm: float, diameter_mm: float) -> int:
    """Count the rolling elements that go round a pitch circle with room for the cage between them."""
    return math.floor(math.pi * pitch_mm / (PITCH_SHARE * diameter_mm))


def count_filled(pitch_mm: float, ball_mm: float) -> int:
    """Count the balls that go into a deep groove bearing, laid in between rings pushed to one side.

    Source: how such bearings are put together, common practice; the balls touch there, each taking
    2 asin(ball / pitch) of the circle.
    """
    each = 2.0 * math.degrees(math.asin(ball_mm / pitch_mm))
    return min(1 + math.floor(FILL_DEG / each), count_elements(pitch_mm, ball_mm))
