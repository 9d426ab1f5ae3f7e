"""Units of length in millimetres: the one place where they stand."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

MM_IN_INCH = 25.4
"""Exact. Source: the international yard and pound agreement of 1959."""
UNITS_MM: Mapping[str, float] = MappingProxyType(
    {"mm": 1.0, "um": 1e-3, "thou": MM_IN_INCH / 1000.0, "in": MM_IN_INCH}
)
"""Units of a length in mm, as tables write them and people type them."""
SPELT_MM: Mapping[str, float] = MappingProxyType(
    {
        **UNITS_MM,
        "µm": UNITS_MM["um"],
        "μm": UNITS_MM["um"],
        "mil": UNITS_MM["thou"],
        "inch": UNITS_MM["in"],
        "inches": UNITS_MM["in"],
        **dict.fromkeys(
            ('"', "''", "\N{RIGHT DOUBLE QUOTATION MARK}", "\N{DOUBLE PRIME}"), MM_IN_INCH
        ),
        "cm": 10.0,
        "m": 1000.0,
    }
)
"""All that is understood of who answers a question."""
