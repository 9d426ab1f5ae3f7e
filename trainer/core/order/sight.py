"""Where the eye stands for an exploded view, and what outline each piece shows from there.

An exploded view is a parallel projection. The eye looks nearly square at the axis on which most parts
lie, so that discs turn into slim ellipses, and a little from above and from the suction end, so that
they are still seen to be discs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Vector = npt.NDArray[np.float64]

END_ON, DOWN = 0.25, 0.27
"""How much the eye looks along the main axis and from above, as shares of a unit: an ellipse is a quarter as wide as high."""
SIGHTS = (
    (-END_ON, -1.0, DOWN),
    (-1.0, -END_ON, DOWN),
    (END_ON, -1.0, DOWN),
    (-0.6, -0.6, DOWN),
)
"""Ways to look that are tried, the usual one first; from the scene towards the eye."""
SEEN_SHARE = 0.3
"""A part that moves a millimetre must be seen to move this much at least."""
SEEN_SHARE_MAIN = 0.9
SIDES = 32
"""Outlines are polygons of this many directions: at most half a hundredth wider than the true one."""


@dataclass(frozen=True, slots=True, eq=False)
class Sight:
    """A way to look: `towards` (3,) from the scene to the eye, `up` (3,) in the picture; unit vectors."""

    towards: Vector
    up: Vector

    @property
    def plane(self) -> Vector:
        """The picture's axes as rows (2, 3): to the right, and upwards."""
        return np.stack([np.cross(self.up, self.towards), self.up])


def make_sight(towards: Sequence[float]) -> Sight:
    """Make a sight with z upright in the picture."""
    eye = np.array(towards, np.float64)
    eye /= np.linalg.norm(eye)
    up = np.array([0.0, 0.0, 1.0]) - eye[2] * eye
    return Sight(eye, up / np.linalg.norm(up))


def find_sight(ways: Sequence[Vector]) -> Sight:
    """Find the sight from which all moves are seen well, the commonest best of all.

    Args:
        ways: unit vector (3,) of each move.
    """
    usual = make_sight(SIGHTS[0])
    if not ways:
        return usual
    lines = np.array([way if tuple(way) > (0.0, 0.0, 0.0) else -way for way in ways])
    along, counts = np.unique(np.round(lines, 6), axis=0, return_counts=True)
    main = along[np.argmax(counts)]
    best, most = usual, -np.inf
    for towards in SIGHTS:
        sight = make_sight(towards)
        seen = np.linalg.norm(along @ sight.plane.T, axis=1)
        well = float(np.linalg.norm(sight.plane @ main))
        worth = min(float(seen.min()), SEEN_SHARE) + min(well, SEEN_SHARE_MAIN)
        if worth > most + 1e-9:
            best, most = sight, worth
    return best


class Outlines:
    """The convex outline of every piece in the picture plane, as its reach in SIDES directions.

    Two outlines whose reaches leave air between them in one direction do not meet.
    """

    def __init__(self, sight: Sight, clouds: Sequence[npt.NDArray[np.floating]]) -> None:
        angles = np.arange(SIDES) * (2.0 * np.pi / SIDES)
        self.plane = sight.plane
        self.normals = np.stack([np.cos(angles), np.sin(angles)], axis=1)
        starts = np.cumsum([0, *(len(cloud) for cloud in clouds[:-1])])
        x, y, z = np.concatenate(clouds).astype(np.float32, copy=False).T.copy()
        u, v = (x * a + y * b + z * c for a, b, c in self.plane.astype(np.float32))
        self.reach_mm = np.empty((len(clouds), SIDES))
        # What is farthest one way is nearest the other way: half the directions say all. Column by
        # column this is far quicker than as a product of matrices.
        half = SIDES // 2
        for k, (across, upwards) in enumerate(self.normals[:half].astype(np.float32)):
            along = u * across + v * upwards
            self.reach_mm[:, k] = np.maximum.reduceat(along, starts)
            self.reach_mm[:, k + half] = -np.minimum.reduceat(along, starts)

    def find_meetings(
        self,
        moving: tuple[npt.NDArray[np.intp], Vector],
        standing: tuple[npt.NDArray[np.intp], Vector],
        way: Vector,
        air_mm: float,
    ) -> Vector:
        """Find between which travels the outlines of moving pieces meet those of standing ones.

        Args:
            moving: piece numbers (n,) and where they stand from home, (n, 3) mm.
            standing: the same of the others.
            way: unit vector (3,) of the move.
            air_mm: outlines nearer than this count as meeting.

        Returns:
            (moving, standing, 2): from and to, in mm of travel along `way`; for pairs that never meet, from inf to -inf.
        """
        own, own_mm = moving
        other, other_mm = standing
        half = SIDES // 2
        out = self.reach_mm[other] + other_mm @ self.plane.T @ self.normals.T
        back = np.roll(self.reach_mm[own], half, axis=1) - own_mm @ self.plane.T @ self.normals.T
        room = out[None] + back[:, None] + air_mm
        speed = self.normals @ (self.plane @ way)
        with np.errstate(divide="ignore", invalid="ignore"):
            at = room / speed
        tiny = np.abs(speed) < 1e-9
        leave = np.where(speed > 1e-9, at, np.inf).min(axis=2)
        enter = np.where(speed < -1e-9, at, -np.inf).max(axis=2)
        never = (room[:, :, tiny] <= 0.0).any(axis=2) | (enter >= leave)
        return np.stack([np.where(never, np.inf, enter), np.where(never, -np.inf, leave)], axis=2)
