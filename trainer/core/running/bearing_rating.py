"""What a rolling bearing can carry, from its own rolling elements: no maker's catalogue stands behind it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from trainer.core.running.ranges import check_range

BALL_FACTOR, ROLLER_FACTOR = 1.3, 1.1
"""b_m of ISO 281 for today's steels: groove ball bearings, cylindrical roller bearings. From memory."""
SHARES = (0.05, 0.06, 0.07, 0.08, 0.09, 0.10, 0.12, 0.14, 0.16, 0.18, 0.20, 0.22, 0.24, 0.26, 0.28, 0.30)  # fmt: skip
"""D cos(a) / D_pw at which the tables below give a factor."""
BALL_FC = (46.7, 49.1, 51.1, 52.8, 54.3, 55.5, 57.5, 58.8, 59.6, 59.9, 59.9, 59.6, 59.0, 58.2, 57.1, 56.0)  # fmt: skip
"""f_c of groove and angular contact ball bearings. Source: ISO 281, table of f_c, from memory; held in the tests
against the formula of ISO/TR 1281-1 that the table was made with, also from memory."""
ROLLER_FC = (74.1, 76.9, 79.2, 81.2, 82.8, 84.2, 86.4, 87.7, 88.5, 88.8, 88.7, 88.2, 87.5, 86.4, 85.2, 83.8)  # fmt: skip
"""f_c of cylindrical roller bearings. Source: as above."""
STATIC_SHARES = (0.05, 0.10, 0.15, 0.20, 0.25, 0.30)
STATIC_F0 = (15.7, 16.4, 15.2, 14.0, 12.8, 11.6)
"""f_0 of groove ball bearings. Source: ISO 76, table of f_0, every fifth row, from memory."""
ROLLER_STATIC = 44.0
"""Source: ISO 76, radial roller bearings, from memory."""


@dataclass(frozen=True, slots=True)
class Rating:
    """What a bearing carries: dynamic and static load rating in N, f_0 of ball bearings, whether balls or rollers run in it."""

    dynamic_n: float
    static_n: float
    static_factor: float
    is_ball: bool

    @property
    def exponent(self) -> float:
        """Exponent of the life: 3 of balls, 10/3 of rollers. Source: ISO 281."""
        return 3.0 if self.is_ball else 10.0 / 3.0


def interpolate(x: float, at: tuple[float, ...], values: tuple[float, ...]) -> float:
    """Read a table between its rows by straight lines; x must lie between the first and last of `at`."""
    place = next((i for i in range(1, len(at) - 1) if x <= at[i]), len(at) - 1)
    share = (x - at[place - 1]) / (at[place] - at[place - 1])
    return values[place - 1] + share * (values[place] - values[place - 1])


def rate_ball_bearing(
    count: int, ball_mm: float, pitch_mm: float, contact_deg: float = 0.0, rows: int = 1
) -> Rating:
    """Rate a groove or angular contact ball bearing by its balls.

    C = b_m f_c (i cos a)^0.7 Z^(2/3) D^1.8 and C_0 = f_0 i Z D^2 cos a.
    Source: ISO 281 and ISO 76, from memory; balls to 25.4 mm, grooves of at most 0.52 of the ball.

    Args:
        count: balls in a row.
        ball_mm: diameter of a ball.
        pitch_mm: diameter of the circle that their centres run on.
        contact_deg: contact angle.
        rows: rows of balls.

    Raises:
        RefusalError: balls or proportions that the tables do not reach to.
    """
    check_range("ball_mm", ball_mm, 1.0, 25.4, "mm")
    along = math.cos(math.radians(contact_deg))
    share = check_range("ball_share", ball_mm * along / pitch_mm, SHARES[0], SHARES[-1])
    factor = BALL_FACTOR * interpolate(share, SHARES, BALL_FC)
    dynamic = factor * (rows * along) ** 0.7 * count ** (2 / 3) * ball_mm**1.8
    static_factor = interpolate(share, STATIC_SHARES, STATIC_F0)
    return Rating(dynamic, static_factor * rows * count * ball_mm**2 * along, static_factor, True)


def rate_roller_bearing(count: int, roller_mm: float, length_mm: float, pitch_mm: float) -> Rating:
    """Rate a single-row cylindrical roller bearing by its rollers.

    C = b_m f_c L^(7/9) Z^(3/4) D^(29/27) and C_0 = 44 (1 - D / D_pw) Z L D.
    Source: ISO 281 and ISO 76, from memory.

    Raises:
        RefusalError: proportions that the table does not reach to.
    """
    share = check_range("roller_share", roller_mm / pitch_mm, SHARES[0], SHARES[-1])
    factor = ROLLER_FACTOR * interpolate(share, SHARES, ROLLER_FC)
    dynamic = factor * length_mm ** (7 / 9) * count**0.75 * roller_mm ** (29 / 27)
    static = ROLLER_STATIC * (1.0 - share) * count * length_mm * roller_mm
    return Rating(dynamic, static, 0.0, False)
