"""Read what was measured: a number that always carries its unit, for a bare number would be a guess."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from models.spec.errors import RefusalError
from models.spec.units import UNITS_MM


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity: its units with their factors, how one is written, and between what it lies at all."""

    units: Mapping[str, float]
    like: str
    least: float
    most: float


LENGTH_MM = Kind(UNITS_MM, "0.48 mm", -1e4, 1e4)
LENGTH_IN = Kind(UNITS_MM, "0.019 in", -1e4, 1e4)
"""The same length, told to whoever works in inches; read in mm too."""
TORQUE_NM = Kind({"N m": 1.0, "Nm": 1.0, "lbf ft": 1.3558179483314004}, "55 N m", 0.01, 5000.0)
"""Source: 1 lbf = 4.4482216152605 N and 1 ft = 0.3048 m, both exact."""
PRESSURE_BAR = Kind({"bar": 1.0, "kPa": 0.01, "MPa": 10.0, "psi": 0.0689475729}, "8 bar", 0.01, 1e3)
"""Source: 1 psi is 1 lbf on a square inch of 25.4 mm, here rounded to nine places."""

_QUANTITY = re.compile(r"([+-]?(?:\d+[.,]?\d*|[.,]\d+))\s*(.*)")
_DECIMAL_COMMA = re.compile(r"[+-]?\d*,\d+")
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")


def put_point(number: str) -> str:
    """Put a point where a decimal comma stands; what is no such number is left as it is.

    Raises:
        RefusalError: the comma may part thousands as well: 1,250 is one and a quarter to some and over a thousand to
            others, while 0,508 and 10,5 are clear to all.
    """
    if _THOUSANDS.fullmatch(number):
        meant = number.replace(",", "."), number.replace(",", "")
        raise RefusalError(f"{number!r} can be read in two ways; write {meant[0]} or {meant[1]}")
    return number.replace(",", ".") if _DECIMAL_COMMA.fullmatch(number) else number


def read_quantity(text: str, kind: Kind) -> float:
    """Read a number with its unit, such as "0.48 mm", "19 thou", "55 N m" or "8 bar".

    Returns:
        The value in mm, N m or bar.

    Raises:
        RefusalError: no number, one that can be read in two ways, no unit or an unknown one, or a value that cannot
            be; what stands behind the semicolon is the remedy.
    """
    found = _QUANTITY.fullmatch(text.strip())
    units = ", ".join(kind.units)
    if found is None or found[2].startswith((".", ",")):
        raise RefusalError(f'{text!r} is no number with a unit; write it like "{kind.like}"')
    number = put_point(found[1])
    unit = " ".join(found[2].split())
    if not unit:
        raise RefusalError(f'{text!r} carries no unit; write it like "{kind.like}", in {units}')
    if unit not in kind.units:
        raise RefusalError(f"{text!r} has the unknown unit {unit!r}; known are {units}")
    value = float(number) * kind.units[unit]
    if not kind.least <= value <= kind.most:
        raise RefusalError(f'{text!r} cannot be; write it like "{kind.like}"')
    return value
