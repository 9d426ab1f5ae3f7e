"""Keep a number and its unit on one line.

Source: the space between them is part of how a quantity is written (SI Brochure, 9th edition, 5.4.3); that no line
ends there is common practice.
"""

from __future__ import annotations

import re

UNITS = ("mm", "µm", "in", "thou", "N m", "Nm", "N", "m³/h", "h", "kPa", "bar", "°C", "rpm", "kg", "%", "turns", "flats", "m")  # fmt: skip
GAP = "\N{NO-BREAK SPACE}"
AMOUNT = re.compile(rf"(?<=\d) ({'|'.join(map(re.escape, UNITS))})(?!\w)")


def bind_units(text: str) -> str:
    """Bind every number in a text to the unit after it."""
    return AMOUNT.sub(lambda found: GAP + found[1].replace(" ", GAP), text)
