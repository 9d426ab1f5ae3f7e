"""A number that remembers which dimensions it was summed from."""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import NoReturn, SupportsFloat

Term = tuple[str, str]
"""(piece, dimension): the identity of one realised dimension."""

_NONE: Mapping[Term, float] = MappingProxyType({})


class Length:
    """Hold a value in millimetres and its sensitivity to each (piece, dimension) behind it.

    Sums are exact; products, quotients and roots carry first derivatives. What two Lengths have
    in common cancels in their difference: the terms that remain are the dimension chain.

    Comparing Lengths raises TypeError, because "equal" could mean the value or the chain:
    compare `float(a)` with `float(b)` instead.
    """

    __slots__ = ("_terms", "_value")

    def __init__(self, value: SupportsFloat, terms: Mapping[Term, float] | None = None) -> None:
        self._value = float(value)
        self._terms = (
            MappingProxyType({k: v for k, v in terms.items() if v != 0.0}) if terms else _NONE
        )

    @classmethod
    def of(cls, piece: str, dimension: str, value: SupportsFloat) -> Length:
        """Make the Length of one realised dimension: sensitivity 1 to itself."""
        return cls(value, {(piece, dimension): 1.0})

    @property
    def value(self) -> float:
        """The value in millimetres (degrees or a plain count where the dimension is one)."""
        return self._value

    @property
    def terms(self) -> Mapping[Term, float]:
        """Sensitivity (dimensionless for sums) by (piece, dimension); zeros are dropped."""
        return self._terms

    def __float__(self) -> float:
        return self._value

    def _mix(self, mine: float, other: Length, theirs: float, value: float) -> Length:
        terms = {key: mine * s for key, s in self._terms.items()}
        for key, s in other._terms.items():
            terms[key] = terms.get(key, 0.0) + theirs * s
        return Length(value, terms)

    def __add__(self, other: Length | float) -> Length:
        if isinstance(other, Length):
            return self._mix(1.0, other, 1.0, self._value + other._value)
        return Length(self._value + other, self._terms)

    __radd__ = __add__

    def __neg__(self) -> Length:
        return self * -1.0

    def __sub__(self, other: Length | float) -> Length:
        if isinstance(other, Length):
            return self._mix(1.0, other, -1.0, self._value - other._value)
        return Length(self._value - other, self._terms)

    def __rsub__(self, other: float) -> Length:
        return -self + other

    def __mul__(self, other: Length | float) -> Length:
        if isinstance(other, Length):
            return self._mix(other._value, other, self._value, self._value * other._value)
        return Length(self._value * other, {key: s * other for key, s in self._terms.items()})

    __rmul__ = __mul__

    def __truediv__(self, other: Length | float) -> Length:
        if isinstance(other, Length):
            quotient = self._value / other._value
            return self._mix(1.0 / other._value, other, -quotient / other._value, quotient)
        return self * (1.0 / other)

    def __rtruediv__(self, other: float) -> Length:
        return Length(other) / self

    def sqrt(self) -> Length:
        """Take the square root, with its first derivative. Raises ValueError at or below zero."""
        if self._value <= 0.0:
            raise ValueError(
                f"no usable root of {self._value}: its derivative is not finite at or below zero"
            )
        root = math.sqrt(self._value)
        return Length(root, {key: s / (2.0 * root) for key, s in self._terms.items()})

    def _no_comparing(self, _other: object) -> NoReturn:
        raise TypeError(
            "Lengths are not compared: compare float(a) with float(b), or look at the chain of a - b"
        )

    __lt__ = __le__ = __gt__ = __ge__ = _no_comparing

    def __eq__(self, other: object) -> bool:
        self._no_comparing(other)

    def __ne__(self, other: object) -> bool:
        self._no_comparing(other)

    def __bool__(self) -> bool:
        raise TypeError("a Length is neither true nor false: test float(length)")

    __hash__ = None  # type: ignore[assignment]  # unhashable on purpose: equality is refused

    def __reduce__(self) -> tuple[type[Length], tuple[float, dict[Term, float]]]:
        return Length, (self._value, dict(self._terms))

    def __repr__(self) -> str:
        chain = " ".join(f"{s:+g}·{piece}.{name}" for (piece, name), s in self._terms.items())
        return f"Length({self._value:g}{': ' + chain if chain else ''})"
