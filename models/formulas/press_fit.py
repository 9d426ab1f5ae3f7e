"""Two rings pressed into each other: pressure, force, torque, stress, and how far bore and outside move."""

from __future__ import annotations

import math
from dataclasses import dataclass

from models.spec.materials import Metal

FRICTION = 0.12
"""Friction between a pressed ring and its seat, lightly oiled metal. Source: common practice, 0.08 to 0.15."""


@dataclass(frozen=True, slots=True)
class PressFit:
    """Two plain cylinders that meet at one diameter, in mm, of their metals.

    fit_mm: where they meet. bore_mm: inside of the inner one, 0 when it is solid. outside_mm: of the outer
    one, infinite when it is as good as a solid wall. inner, outer: of what they are made.

    Each share is a plain number, so that a fit that carries its dimensions is multiplied by it: how far
    something moves for each mm of interference on the diameter.

    Source: Lame's equations for thick cylinders, plane stress (open ends), as in every text on the strength
    of materials; held against published examples and an independent solution in tests/evidence.
    Valid while both stay elastic and are about as long as each other.
    """

    fit_mm: float
    bore_mm: float
    outside_mm: float
    inner: Metal
    outer: Metal

    def __post_init__(self) -> None:
        """Refuse cylinders without a wall."""
        if not 0.0 <= self.bore_mm < self.fit_mm < self.outside_mm:
            raise ValueError(
                f"a bore of {self.bore_mm:g}, a fit of {self.fit_mm:g} and an outside of "
                f"{self.outside_mm:g} mm leave no walls; each must exceed the one before"
            )

    @property
    def pressure_mpa_per_mm(self) -> float:
        """Pressure between them for each mm of interference."""
        return 1.0 / (self.fit_mm * (self._give_of_inner + self._give_of_outer))

    @property
    def bore_closing_share(self) -> float:
        """How far the bore of the inner one closes."""
        if self.bore_mm == 0.0:
            return 0.0
        squeeze = 2.0 * self.fit_mm**2 / (self.fit_mm**2 - self.bore_mm**2)
        return self.pressure_mpa_per_mm * squeeze * self.bore_mm / self.inner.modulus_mpa

    @property
    def outside_growth_share(self) -> float:
        """How far the outside of the outer one grows."""
        if math.isinf(self.outside_mm):
            return 0.0
        stretch = 2.0 * self.fit_mm**2 / (self.outside_mm**2 - self.fit_mm**2)
        return self.pressure_mpa_per_mm * stretch * self.outside_mm / self.outer.modulus_mpa

    @property
    def hoop_at_fit_share(self) -> float:
        """Hoop stress in the outer one where they meet, for each MPa of pressure; the largest there is in it."""
        return _spread(self.fit_mm / self.outside_mm)

    @property
    def hoop_at_bore_share(self) -> float:
        """Hoop stress at the bore of the inner one for each MPa of pressure: below zero, it is squeezed.

        In a solid one the stress is the same everywhere.
        """
        if self.bore_mm == 0.0:
            return -1.0
        return -2.0 / (1.0 - (self.bore_mm / self.fit_mm) ** 2)

    def find_force_n(
        self, interference_mm: float, length_mm: float, friction: float = FRICTION
    ) -> float:
        """Find the force in N that moves them along each other, when they meet over length_mm.

        Source: friction on the cylinder, F = friction pressure pi d L.
        """
        pressure_mpa = self.pressure_mpa_per_mm * max(interference_mm, 0.0)
        return friction * pressure_mpa * math.pi * self.fit_mm * length_mm

    def find_torque_nm(
        self, interference_mm: float, length_mm: float, friction: float = FRICTION
    ) -> float:
        """Find the torque in N m at which they slip round."""
        force_n = self.find_force_n(interference_mm, length_mm, friction)
        return force_n * self.fit_mm / 2.0 / 1000.0

    @property
    def _give_of_outer(self) -> float:
        metal = self.outer
        return (_spread(self.fit_mm / self.outside_mm) + metal.poisson_ratio) / metal.modulus_mpa

    @property
    def _give_of_inner(self) -> float:
        metal = self.inner
        return (_spread(self.bore_mm / self.fit_mm) - metal.poisson_ratio) / metal.modulus_mpa


def _spread(ratio: float) -> float:
    """Give (1 + r2) / (1 - r2) of a diameter ratio below one: 1 for a solid or an endless wall."""
    return (1.0 + ratio**2) / (1.0 - ratio**2)
