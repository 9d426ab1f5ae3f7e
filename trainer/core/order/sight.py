"""Where the eye stands for an exploded view, what outline each piece shows from there, and what room it takes.

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
Numbers = npt.NDArray[np.intp]

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
HULL_SIDES = 16
"""Directions around each main axis that bound a body: a round one comes out two hundredths wider at most."""
TINY = 1e-9


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


def find_outline_ways(sight: Sight) -> Vector:
    """Find half the directions in which an outline in the picture is measured: (SIDES / 2, 3)."""
    angles = np.arange(SIDES // 2) * (2.0 * np.pi / SIDES)
    return np.stack([np.cos(angles), np.sin(angles)], axis=1) @ sight.plane


def find_hull_ways() -> Vector:
    """Find half the directions in which a body is measured: HULL_SIDES in each of the three main planes, (h, 3)."""
    angles = np.arange(HULL_SIDES // 2) * (2.0 * np.pi / HULL_SIDES)
    across, upwards = np.cos(angles), np.sin(angles)
    ways = np.zeros((3, len(angles), 3))
    for plane, (i, j) in enumerate(((0, 1), (1, 2), (2, 0))):
        ways[plane, :, i], ways[plane, :, j] = across, upwards
    return np.unique(np.round(ways.reshape(-1, 3), 9), axis=0)


class Hulls:
    """A convex body a little larger than each piece: its reach in some directions and in their opposites.

    Two bodies whose reaches leave air between them in one direction do not meet. Directions that lie in
    the picture plane give the outlines of the picture.
    """

    def __init__(self, ways: Vector, clouds: Sequence[npt.NDArray[np.floating]]) -> None:
        half = len(ways)
        self.normals = np.concatenate([ways, -ways])
        starts = np.cumsum([0, *(len(cloud) for cloud in clouds[:-1])])
        x, y, z = np.concatenate(clouds).astype(np.float32, copy=False).T.copy()
        self.reach_mm = np.empty((len(clouds), 2 * half))
        # What is farthest one way is nearest the other way: half the directions say all. Column by
        # column this is far quicker than as a product of matrices.
        for k, (a, b, c) in enumerate(ways.astype(np.float32)):
            along = x * a + y * b + z * c
            self.reach_mm[:, k] = np.maximum.reduceat(along, starts)
            self.reach_mm[:, k + half] = -np.minimum.reduceat(along, starts)
        self._back_mm = np.roll(self.reach_mm, half, axis=1)

    def find_meetings(
        self, moving: Numbers, standing: Numbers, apart_mm: Vector, way: Vector, air_mm: float
    ) -> Vector:
        """Find between which travels of one piece of each pair it meets the other.

        Args:
            moving: numbers (n,) of the pieces that move.
            standing: numbers (n,) of the other pieces.
            apart_mm: how much farther from home the other stands, (n, 3).
            way: unit vector (3,) of the move.
            air_mm: pieces nearer than this count as meeting.

        Returns:
            (n, 2): from and to, in mm of travel along `way`; for pairs that never meet, from inf to -inf.
        """
        room = self.reach_mm[standing] + self._back_mm[moving] + apart_mm @ self.normals.T + air_mm
        speed = self.normals @ way
        ahead, against = speed > TINY, speed < -TINY
        leave = (room[:, ahead] / speed[ahead]).min(axis=1)
        enter = (room[:, against] / speed[against]).max(axis=1)
        never = (room[:, ~(ahead | against)] <= 0.0).any(axis=1) | (enter >= leave)
        return np.stack([np.where(never, np.inf, enter), np.where(never, -np.inf, leave)], axis=1)
