"""A plane that takes away what lies on one side of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from models.spec.face import Axis

_NUMBERS = {axis: number for number, axis in enumerate(Axis)}
_NORMALS: dict[tuple[Axis, int], npt.NDArray[np.float64]] = {
    (axis, keeps): keeps * np.eye(3)[number]
    for axis, number in _NUMBERS.items()
    for keeps in (1, -1)
}
for _normal in _NORMALS.values():
    _normal.setflags(write=False)
HAIR_MM = 0.0137
"""How far beside the plane asked for a cut is made.

The seams of turned solids lie exactly in planes through the shaft, where a cut meets every vertex of the seam
and leaves slivers and open loops. A hair beside it there are none, and nobody sees the difference.
"""

EDGE_ON = 0.2
"""A plane is seen edge on where the eye's direction has no larger share square to it."""


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
        return _NUMBERS[self.axis]

    @property
    def plane_mm(self) -> float:
        """Where the cut is really made, a hair inside what is kept."""
        return self.at_mm + self.keeps * HAIR_MM

    @property
    def normal(self) -> npt.NDArray[np.float64]:
        """Unit vector (3,) towards what is kept."""
        return _NORMALS[self.axis, self.keeps]

    @property
    def turned(self) -> Cut:
        """The same plane, which takes away the other side."""
        return replace(self, keeps=-self.keeps)

    def facing(self, towards: npt.NDArray[np.floating]) -> Cut:
        """Take away the side on which the eye stands, so that it sees the cut; as it is where it is seen edge on.

        towards: unit vector (3,) from the scene to the eye.
        """
        share = float(towards[self.number])
        return self if abs(share) < EDGE_ON or share * self.keeps < 0.0 else self.turned

    def measure_mm(self, points: npt.NDArray[np.floating]) -> npt.NDArray[np.float64]:
        """Measure how far points (n, 3) mm lie inside what is kept; below zero they are taken away."""
        return np.asarray(self.keeps * (points[..., self.number] - self.plane_mm))


HALF_SECTION = Cut(Axis.Y)
"""The half section: the upright plane through the shaft, which takes away the half towards the side view."""
