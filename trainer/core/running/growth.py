"""How far heat moves what stands on a shaft against what stands on the casing."""

from __future__ import annotations

from trainer.core.running.ranges import check_range

DRAWING_C = 20.0
"""Temperature that all dimensions of a drawing hold at. Source: ISO 1."""
COLDEST_C, HOTTEST_C = -20.0, 150.0
"""Between these one coefficient of expansion serves, within a few hundredths of itself (from memory)."""
ASSUMPTIONS = ("heat-even",)


def find_growth_mm(length_mm: float, expansion_per_k: float, temperature_c: float) -> float:
    """Find how much longer a part is at a temperature than on its drawing, in mm: alpha L (T - 20).

    Source: linear thermal expansion, in any textbook, as OpenStax, College Physics, section 13.2.

    Raises:
        RefusalError: a temperature that one coefficient does not serve.
    """
    check_range("temperature_c", temperature_c, COLDEST_C, HOTTEST_C, "degrees C")
    return expansion_per_k * length_mm * (temperature_c - DRAWING_C)


def find_gap_growth_mm(
    length_mm: float, shaft: tuple[float, float], casing: tuple[float, float]
) -> float:
    """Find by how much the gap behind an impeller opens by heat, in mm; negative where it closes.

    Shaft and casing are both held at the thrust bearing; from there to the impeller each grows by itself. A shaft that
    grows more carries the impeller towards suction, and the gap behind it opens.
    Source: geometry, with `find_growth_mm`.

    Args:
        length_mm: from the thrust bearing to the gap.
        shaft: expansion per kelvin, temperature in degrees C.
        casing: the same of the casing.
    """
    return find_growth_mm(length_mm, *shaft) - find_growth_mm(length_mm, *casing)
