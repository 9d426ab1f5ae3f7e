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
GROW_MM = 0.05
"""How much a part's outline is grown when asking what lies beside it."""


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
            points = piece.mesh.points.astype(np.float64)
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


def _find_clear(
    assembly: Assembly,
    travel_mm: npt.NDArray[np.float32],
    low: npt.NDArray[np.float32],
    high: npt.NDArray[np.float32],
) -> npt.NDArray[np.float32]:
    """Fill the `clear_mm` table: each part's box drawn along against the boxes of the others' triangles.

    The part's outline across the motion is its convex hull, which can only err on the side of
    "not clear yet".
    """
    n = len(assembly.pieces)
    clear = np.full((6, n, n), -np.inf, np.float32)
    corners = [piece.mesh.points[piece.mesh.triangles] for piece in assembly.pieces]
    for axis in range(3):
        across = [k for k in range(3) if k != axis]
        flat = [corner[:, :, across] for corner in corners]
        flat_low, flat_high = [t.min(axis=1) for t in flat], [t.max(axis=1) for t in flat]
        for a in range(n):
            outline = _find_outline(assembly.pieces[a].mesh.points[:, across])
            low_a, high_a = low[a][across], high[a][across]
            for b in np.flatnonzero(
                np.all((low_a < high[:, across]) & (low[:, across] < high_a), axis=1)
            ):
                if b == a:
                    continue
                beside = np.flatnonzero(
                    np.all((low_a < flat_high[b]) & (flat_low[b] < high_a), axis=1)
                )
                beside = beside[_touches(flat[b][beside], outline)]
                if not len(beside):
                    continue
                depth = corners[b][beside][:, :, axis]
                near, far = depth.min(axis=1), depth.max(axis=1)
                plus, minus = 2 * axis + 1, 2 * axis
                met = near < high[a, axis] + travel_mm[plus, a, b] - REACH_MM
                clear[plus, a, b] = (far[met] - low[a, axis]).max(initial=-np.inf)
                met = far > low[a, axis] - travel_mm[minus, a, b] + REACH_MM
                clear[minus, a, b] = (high[a, axis] - near[met]).max(initial=-np.inf)
    return clear


def _find_outline(points: npt.NDArray[np.float32]) -> npt.NDArray[np.float64]:
    """Find the convex outline (h, 2) of points seen along the motion, grown by GROW_MM so that contact counts."""
    from scipy.spatial import ConvexHull

    corners = np.array(
        [[-GROW_MM, -GROW_MM], [-GROW_MM, GROW_MM], [GROW_MM, -GROW_MM], [GROW_MM, GROW_MM]]
    )
    grown = (points.astype(np.float64)[:, None, :] + corners).reshape(-1, 2)
    rounded = np.unique(np.round(grown, 2), axis=0)
    outline: npt.NDArray[np.float64] = rounded[ConvexHull(rounded).vertices]
    return outline


def _touches(
    triangles: npt.NDArray[np.float32], outline: npt.NDArray[np.float64]
) -> npt.NDArray[np.bool_]:
    """Say which flat triangles (m, 3, 2) overlap a convex outline: no line separates the two."""
    overlap = np.ones(len(triangles), bool)
    edges = np.roll(outline, -1, axis=0) - outline
    normals = np.column_stack([edges[:, 1], -edges[:, 0]])
    outer = np.einsum("hk,hk->h", normals, outline)
    overlap &= np.all((triangles @ normals.T).min(axis=1) <= outer, axis=1)
    for i in range(3):
        edge = triangles[:, (i + 1) % 3] - triangles[:, i]
        normal = np.column_stack([edge[:, 1], -edge[:, 0]])
        mine = np.einsum("mik,mk->mi", triangles, normal)
        theirs = normal @ outline.T
        overlap &= (mine.min(axis=1) <= theirs.max(axis=1)) & (
            theirs.min(axis=1) <= mine.max(axis=1)
        )
    return overlap
