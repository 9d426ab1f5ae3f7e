"""What a drawing says of one dimension, and where it is written."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from models.spec.units import MM_IN_INCH


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
        return {Unit.MM: 1.0, Unit.UM: 1e-3, Unit.IN: MM_IN_INCH, Unit.DEG: 1.0, Unit.EACH: 1.0}[
            self
        ]


class Distribution(StrEnum):
    """How realised values lie between the limits.

    NORMAL: limits at three standard deviations. TRUNCATED: normal with the limits at two standard
    deviations and what lies beyond them sorted out. TRIANGULAR: most often in the middle.
    LOPSIDED: triangular, most often at the nominal, wherever that lies between the limits, or at the
    limit next to it.
    """

    NORMAL = "normal"
    TRUNCATED = "truncated-normal"
    RECTANGULAR = "rectangular"
    TRIANGULAR = "triangular"
    LOPSIDED = "lopsided"


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
    def peak(self) -> float:
        """What is met most often: of a lopsided one the nominal, or the limit next to it; else the middle."""
        if self.distribution is Distribution.LOPSIDED:
            return min(max(self.nominal, self.lower), self.upper)
        return self.middle

    @property
    def mean(self) -> float:
        """Mean of the values that the limits stand for under the distribution; of a lopsided one not the middle."""
        if self.distribution is Distribution.LOPSIDED:
            return (self.lower + self.peak + self.upper) / 3.0
        return self.middle

    @property
    def sigma(self) -> float:
        """Standard deviation that the limits stand for under the distribution.

        Source: JCGM 100:2008 (GUM) 4.3.7 and 4.3.9 for rectangular and triangular, from memory; the
        variance of any triangle on a, b with its peak at c is (a2 + b2 + c2 - ab - ac - bc) / 18; three
        sigma for normal is common practice.
        """
        half = (self.upper - self.lower) / 2.0
        if self.distribution is Distribution.LOPSIDED:
            low, high = self.lower - self.peak, self.upper - self.peak
            return math.sqrt(max(low * low + high * high - low * high, 0.0) / 18.0)
        return half / HALF_WIDTHS_PER_SIGMA[self.distribution]


TRUNCATED_AT = 2.0
"""Standard deviations at which a truncated normal distribution ends: what a gauge sorts out beyond."""
_BELL = math.exp(-(TRUNCATED_AT**2) / 2.0) / math.sqrt(2.0 * math.pi)

HALF_WIDTHS_PER_SIGMA = {
    Distribution.NORMAL: 3.0,
    Distribution.TRUNCATED: TRUNCATED_AT
    / math.sqrt(1.0 - 2.0 * TRUNCATED_AT * _BELL / math.erf(TRUNCATED_AT / math.sqrt(2.0))),
    Distribution.RECTANGULAR: math.sqrt(3.0),
    Distribution.TRIANGULAR: math.sqrt(6.0),
}
"""Half the tolerance divided by the standard deviation, for what is even about the middle."""
