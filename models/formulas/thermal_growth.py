"""How much longer a part is warm than at the temperature at which it was measured."""

from __future__ import annotations

REFERENCE_C = 20.0
"""Temperature in C at which drawings and gauges hold. Source: ISO 1, from memory."""


def find_growth_share(expansion_per_k: float, temperature_c: float) -> float:
    """Find by what share of its length a part at one even temperature has grown since 20 C; less than zero: shrunk.

    Source: the coefficient of linear expansion by its definition, share = alpha (t - 20), with its mean over the range.

    Args:
        expansion_per_k: coefficient of linear expansion, in mm for each mm and kelvin.
        temperature_c: temperature of the whole part, within what the coefficient is a mean over.
    """
    return expansion_per_k * (temperature_c - REFERENCE_C)
