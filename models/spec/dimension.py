"""What a drawing says of one dimension, and where it is written."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum


class Unit(StrEnum):
    """Units a table may use. Lengths become millimetres on reading; angles stay degrees."""

    MM = "mm"
    UM = "um"
    IN = "in"
    DEG = "deg"
    EACH = "each"

    @property
    def factor(self) -> float:
        """What a number in this unit is multiplied by to reach millimetres (1 for angles and counts)."""
        return {Unit.MM: 1.0, Unit.UM: 1e-3, Unit.IN: 25.4, Unit.DEG: 1.0, Unit.EACH: 1.0}[self]


class Distribution(StrEnum):
    """How realised values lie between the limits. Normal: limits at three standard deviations."""

    NORMAL = "normal"
    RECTANGULAR = "rectangular"
    TRIANGULAR = "triangular"

    @property
    def half_widths_per_sigma(self) -> float:
        """Half the tolerance divided by the standard deviation.

        Source: JCGM 100:2008 (GUM) 4.3.7 and 4.3.9 for rectangular and triangular, from memory;
        three sigma for normal is common practice.
        """
        return {
            Distribution.NORMAL: 3.0,
            Distribution.RECTANGULAR: math.sqrt(3.0),
            Distribution.TRIANGULAR: math.sqrt(6.0),
        }[self]


@dataclass(frozen=True, slots=True)
class Source:
    """Where a number is written: table file (relative to the tables folder), line from 1, and who says so."""

    file: str
    line: int
    title: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line} ({self.title})"


@dataclass(frozen=True, slots=True)
class Dimension:
    """One row of a drawing: nominal and limits, in mm (or degrees, or a count)."""

    key: str
    nominal: float
    lower: float
    upper: float
    unit: Unit
    distribution: Distribution
    source: Source

    @property
    def middle(self) -> float:
        """The middle of the limits: the value a piece has until somebody measures it."""
        return (self.lower + self.upper) / 2.0

    @property
    def sigma(self) -> float:
        """Standard deviation that the limits stand for under the distribution."""
        return (self.upper - self.lower) / 2.0 / self.distribution.half_widths_per_sigma
