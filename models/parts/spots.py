"""Spots on circles and axes where repeated pieces are mounted. No kernel."""

from __future__ import annotations

import math

from models.spec.part import Mount


def circle_points(
    count: int, circle_mm: float, start_deg: float = 0.0
) -> list[tuple[float, float]]:
    """Give equally spaced points on a circle of diameter circle_mm, the first `start_deg` past straight up."""
    angles = [math.radians(90.0 + start_deg) + 2 * math.pi * i / count for i in range(count)]
    return [(circle_mm / 2 * math.cos(a), circle_mm / 2 * math.sin(a)) for a in angles]


def circle_mounts(
    count: int, circle_mm: float, start_deg: float = 0.0, sign: int = 1
) -> tuple[Mount, ...]:
    """Give equally spaced mounts on a circle about the shaft, the first `start_deg` past straight up.

    Counted from the top in the same sense for both signs, so that piece 3 of each set shares a spot.
    """
    return tuple(Mount(y=y, z=z, sign=sign) for y, z in circle_points(count, circle_mm, start_deg))
