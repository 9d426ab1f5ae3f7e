"""A plane that takes away what lies on one side of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.spec.face import Axis

HAIR_MM = 0.0137
"""How far beside the plane asked for a cut is made.

The seams of turned solids lie exactly in planes through the shaft, where a cut meets every vertex of the seam
and leaves slivers and open loops. A hair beside it there are none, and nobody sees the difference.
"""


@dataclass(frozen=True, slots=True)
class Cut:
    """A plane square to one of the pump's axes, made in every piece at home, before it is moved.

    axis: the plane is square to it. at_mm: where on it. keeps: +1 keeps what lies beyond, -1 what lies before.
    """

    axis: Axis
    at_mm: float = 0.0
    keeps: int = 1

    @property
    def number(self) -> int:
        """Which coordinate the axis is: 0, 1 or 2."""
        return list(Axis).index(self.axis)

    @property
    def plane_mm(self) -> float:
        """Where the cut is really made, a hair inside what is kept."""
        return self.at_mm + self.keeps * HAIR_MM

    @property
    def normal(self) -> npt.NDArray[np.float64]:
        """Unit vector (3,) towards what is kept."""
        normal = np.zeros(3)
        normal[self.number] = self.keeps
        return normal

    def measure_mm(self, points: npt.NDArray[np.floating]) -> npt.NDArray[np.float64]:
        """Measure how far points (n, 3) mm lie inside what is kept; below zero they are taken away."""
        return np.asarray(self.keeps * (points[..., self.number] - self.plane_mm))


HALF_SECTION = Cut(Axis.Y)
"""The half section: the upright plane through the shaft, which takes away the half towards the side view."""
