"""The table part x direction: who stands in the way, and after what travel."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly

REACH_MM = 1.0
"""Air in mm that counts as clear."""
THIN_MM = 1.2
"""A sheet thinner than this is taken as this thick when it is moved sideways."""


class Direction(StrEnum):
    """The six ways along and across the shaft."""

    SUCTION = "towards-suction-end"
    DRIVE = "towards-drive-end"
    LEFT = "left"
    RIGHT = "right"
    DOWN = "down"
    UP = "up"

    @property
    def axis(self) -> int:
        """0, 1 or 2 for x, y, z."""
        return list(Direction).index(self) // 2

    @property
    def sign(self) -> int:
        """+1 or -1 along its axis."""
        return 1 if list(Direction).index(self) % 2 else -1

    @property
    def vector(self) -> npt.NDArray[np.float64]:
        """Unit vector, shape (3,)."""
        vector = np.zeros(3)
        vector[self.axis] = self.sign
        return vector


@dataclass(frozen=True, slots=True, eq=False)
class Blocking:
    """Travel to contact for every ordered pair and direction.

    names: pieces in the order of the arrays. travel_mm: (6, n, n) float32, [d, a, b] is how far a
    moves along direction d until it meets b; inf when never. low, high: (n, 3) mm boxes.
    clear_mm: (6, n, n) float32, [d, a, b] is how far a must move along d until nothing of b lies beside
    it any more (what lies ahead and is met only later does not count); -inf where nothing ever did.
    Travel across the shaft is less certain than along it: say "about".
    """

    names: tuple[str, ...]
    travel_mm: npt.NDArray[np.float32]
    clear_mm: npt.NDArray[np.float32]
    low: npt.NDArray[np.float32]
    high: npt.NDArray[np.float32]


def find_blocking(
    assembly: Assembly, progress: Callable[[int, int], None] | None = None
) -> Blocking:
    """Fill the table for an assembly from its meshes.

    Overlaps (press fits, threads) read as zero travel along the axis in which they are found; they
    are judged by `verify`, not here.
    """
    from trainer.core.order import rays

    names = tuple(piece.name for piece in assembly.pieces)
    n = len(names)
    travel = np.full((6, n, n), np.inf, np.float32)
    turn = np.array(
        [
            [np.cos(rays.GRID_TURN_RAD), -np.sin(rays.GRID_TURN_RAD)],
            [np.sin(rays.GRID_TURN_RAD), np.cos(rays.GRID_TURN_RAD)],
        ]
    )
    low = np.array([piece.mesh.bounds[0] for piece in assembly.pieces])
    high = np.array([piece.mesh.bounds[1] for piece in assembly.pieces])
    for axis in range(3):
        across = [(axis + 1) % 3, (axis + 2) % 3]
        scans = []
        for i, piece in enumerate(assembly.pieces):
            points = _thicken(piece.mesh.points.astype(np.float64), across)
            uvw = np.column_stack([points[:, across] @ turn.T, points[:, axis]])
            scans.append(rays.scan(np.ascontiguousarray(uvw[piece.mesh.triangles])))
            if progress:
                progress(axis * n + i + 1, 3 * n)
        for a in range(n):
            for b in range(a + 1, n):
                if any(low[a, k] > high[b, k] or low[b, k] > high[a, k] for k in across):
                    continue
                up, down = rays.measure_gaps(scans[a], scans[b])
                plus, minus = 2 * axis + 1, 2 * axis
                travel[plus, a, b] = travel[minus, b, a] = max(up, 0.0)
                travel[plus, b, a] = travel[minus, a, b] = max(down, 0.0)
    return Blocking(names, travel, _find_clear(assembly, travel, low, high), low, high)


def _thicken(points: npt.NDArray[np.float64], across: list[int]) -> npt.NDArray[np.float64]:
    """Stretch a sheet about its middle to THIN_MM across the motion: eroded as it is, a shim would vanish.

    It then reads as blocked by what it lies between, which is so until that is gone.
    """
    low, high = points.min(axis=0), points.max(axis=0)
    for k in across:
        thickness = high[k] - low[k]
        if thickness < THIN_MM:
            middle = (low[k] + high[k]) / 2.0
            points[:, k] = middle + (points[:, k] - middle) * (THIN_MM / thickness)
    return points


def _find_clear(
    assembly: Assembly,
    travel_mm: npt.NDArray[np.float32],
    low: npt.NDArray[np.float32],
    high: npt.NDArray[np.float32],
) -> npt.NDArray[np.float32]:
    """Fill the `clear_mm` table from each part's outline and the others' triangles."""
    from trainer.core.order import outline

    n = len(assembly.pieces)
    clear = np.full((6, n, n), -np.inf, np.float32)
    for axis in range(3):
        columns = [(axis + 1) % 3, (axis + 2) % 3, axis]
        points = [piece.mesh.points[:, columns].astype(np.float64) for piece in assembly.pieces]
        triangles = [
            flat[piece.mesh.triangles] for flat, piece in zip(points, assembly.pieces, strict=True)
        ]
        across, plus, minus = columns[:2], 2 * axis + 1, 2 * axis
        for a in range(n):
            around = outline.make_outline(points[a][:, :2])
            apart = (low[a] > high)[:, across] | (low > high[a])[:, across]
            for b in np.flatnonzero(~apart.any(axis=1)):
                if b != a:
                    met = float(travel_mm[plus, a, b]), float(travel_mm[minus, a, b])
                    depth = float(low[a, axis]), float(high[a, axis])
                    reach = (met[0] - REACH_MM, met[1] - REACH_MM)
                    clear[[plus, minus], a, b] = outline.find_clear_mm(
                        around, depth, triangles[b], reach
                    )
    return clear
