"""Refuse what lies outside the range that a formula holds for."""

from __future__ import annotations

import math

from models.spec.errors import RefusalError


def check_range(field: str, value: float, low: float, high: float, unit: str = "") -> float:
    """Check that a value lies inside the range that a formula was found or checked for, and give it back.

    Args:
        field: the name under which a person typed it or reads it.
        value: in `unit`.
        low: least that the formula holds for.
        high: most that it holds for.
        unit: written behind the numbers; "" for a plain number.

    Raises:
        RefusalError: naming the field, its value and the range.
    """
    if math.isfinite(value) and low <= value <= high:
        return value
    shown = f" {unit}" if unit else ""
    raise RefusalError(
        f"{field} is {value:g}{shown}; the formula holds from {low:g} to {high:g}{shown}: "
        "give a value between them"
    )
