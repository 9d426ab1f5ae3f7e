"""The ways in which parts are tried: the six along and across the shaft, and each fastener's own axis."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly

SAME_WAY_DEG = 0.5
"""Axes nearer to each other than this are tried as one."""


@dataclass(frozen=True, slots=True)
class Direction:
    """A way a part may move: its name (a word key) and its unit vector as (x, y, z)."""

    name: str
    along: tuple[float, float, float]

    SUCTION: ClassVar[Direction]
    DRIVE: ClassVar[Direction]
    LEFT: ClassVar[Direction]
    RIGHT: ClassVar[Direction]
    DOWN: ClassVar[Direction]
    UP: ClassVar[Direction]

    @property
    def vector(self) -> npt.NDArray[np.float64]:
        """Unit vector, shape (3,)."""
        return np.array(self.along, np.float64)

    @property
    def is_along_shaft(self) -> bool:
        """Towards the suction end or the drive end: travel is exact there, elsewhere say "about"."""
        return self in (Direction.SUCTION, Direction.DRIVE)

    @property
    def back(self) -> Direction:
        """The opposite way."""
        x, y, z = self.along
        opposite = (-x + 0.0, -y + 0.0, -z + 0.0)
        return next((way for way in SIX if way.along == opposite), Direction(self.name, opposite))


Direction.SUCTION = Direction("towards-suction-end", (-1.0, 0.0, 0.0))
Direction.DRIVE = Direction("towards-drive-end", (1.0, 0.0, 0.0))
Direction.LEFT = Direction("left", (0.0, -1.0, 0.0))
Direction.RIGHT = Direction("right", (0.0, 1.0, 0.0))
Direction.DOWN = Direction("down", (0.0, 0.0, -1.0))
Direction.UP = Direction("up", (0.0, 0.0, 1.0))

SIX = (
    Direction.SUCTION,
    Direction.DRIVE,
    Direction.LEFT,
    Direction.RIGHT,
    Direction.DOWN,
    Direction.UP,
)
"""The six ways along and across the shaft, in the order in which they are tried."""

OWN_AXIS = "own-axis"
"""Name of a direction that is some tilted fastener's own."""


def find_directions(
    assembly: Assembly,
) -> tuple[tuple[Direction, ...], npt.NDArray[np.bool_]]:
    """Find the directions of an assembly, in pairs of opposites, and which pieces are tried in each.

    Every piece is tried in the six. A tilted axis is tried by the pieces that have it and by what
    rides on them.

    Returns:
        The directions (d,), and a mask (d, pieces).
    """
    tilted: list[tuple[npt.NDArray[np.float64], set[str]]] = []
    for piece in assembly.pieces:
        if piece.axis is None:
            continue
        axis = np.array(piece.axis, np.float64)
        axis /= np.linalg.norm(axis)
        if any(_is_same(axis, way.vector) for way in SIX):
            continue
        known = next((names for other, names in tilted if _is_same(axis, other)), None)
        if known is None:
            tilted.append((axis, {piece.name}))
        else:
            known.add(piece.name)
    directions = list(SIX)
    asked = [np.ones(len(assembly.pieces), bool) for _ in SIX]
    for axis, names in tilted:
        rides = with_riders(assembly, names)
        mask = np.array([piece.name in rides for piece in assembly.pieces], bool)
        forward = Direction(OWN_AXIS, (float(axis[0]), float(axis[1]), float(axis[2])))
        directions += [forward.back, forward]
        asked += [mask, mask]
    return tuple(directions), np.array(asked)


def _is_same(one: npt.NDArray[np.float64], other: npt.NDArray[np.float64]) -> bool:
    return bool(abs(one @ other) > np.cos(np.radians(SAME_WAY_DEG)))


def with_riders(assembly: Assembly, names: set[str]) -> set[str]:
    """Add to pieces all that rides on them while nothing has been taken off."""
    found = set(names)
    while more := {c.carried for c in assembly.carries if c.carrier in found} - found:
        found |= more
    return found
