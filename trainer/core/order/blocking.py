"""The table part x direction: who stands in the way, and after what travel."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly
from trainer.core.order.aside import Asides, find_asides
from trainer.core.order.directions import SIX, Direction, find_directions

REACH_MM = 1.0
"""Air in mm that counts as clear."""
THIN_MM = 1.2
"""A sheet thinner than this is taken as this thick when it is moved sideways."""

Floats = npt.NDArray[np.float32]
Points = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Blocking:
    """Travel to contact for every ordered pair and direction.

    names: pieces in the order of the arrays. travel_mm: (d, n, n) float32, [d, a, b] is how far a
    moves along direction d until it meets b; inf when never. low, high: (n, 3) mm boxes.
    clear_mm: (d, n, n) float32, [d, a, b] is how far a must move along d until nothing of b lies beside
    it any more (what lies ahead and is met only later does not count); -inf where nothing ever did.
    directions: (d,), in pairs of opposites. asked: (d, n), whether a piece is tried in a direction at
    all (a tilted axis is its fastener's own); None when every piece is tried in every direction. Rows
    of pieces that are not tried mean nothing. asides: ways out by two moves.
    Travel across the shaft is less certain than along it: say "about".
    """

    names: tuple[str, ...]
    travel_mm: Floats
    clear_mm: Floats
    low: Floats
    high: Floats
    directions: tuple[Direction, ...] = SIX
    asked: Mask | None = None
    asides: Asides = field(default_factory=Asides)


def find_blocking(
    assembly: Assembly, progress: Callable[[int, int], None] | None = None
) -> Blocking:
    """Fill the table for an assembly from its meshes.

    Overlaps (press fits, threads) read as zero travel along the axis in which they are found; they
    are judged by `verify`, not here.
    """
    n = len(assembly.pieces)
    directions, asked = find_directions(assembly)
    points = [piece.mesh.points.astype(np.float64) for piece in assembly.pieces]
    triangles = [piece.mesh.triangles for piece in assembly.pieces]
    travel = np.full((len(directions), n, n), np.inf, np.float32)
    clear = np.full((len(directions), n, n), -np.inf, np.float32)
    for backward in range(0, len(directions), 2):
        both = slice(backward, backward + 2)
        frame = make_frame(directions[backward + 1])
        seen = [flat @ frame.T for flat in points]
        pairs = find_pairs(seen, asked[backward])
        travel[both] = _find_travel(seen, triangles, pairs)
        clear[both] = _find_clear(seen, triangles, pairs, travel[both])
        if progress:
            progress(backward + 2, len(directions))
    names = tuple(piece.name for piece in assembly.pieces)
    low = np.array([piece.mesh.bounds[0] for piece in assembly.pieces])
    high = np.array([piece.mesh.bounds[1] for piece in assembly.pieces])
    asides = find_asides(assembly, directions, asked, travel, clear)
    return Blocking(names, travel, clear, low, high, directions, asked, asides)


def make_frame(forward: Direction) -> Points:
    """Make the (3, 3) rows u, v, w of a frame whose w lies along the motion."""
    w = forward.vector
    u = np.zeros(3)
    u[(int(np.argmax(np.abs(w))) + 1) % 3] = 1.0
    u -= (u @ w) * w
    u /= np.linalg.norm(u)
    return np.array([u, np.cross(w, u), w])


def find_pairs(seen: list[Points], asked: Mask) -> list[tuple[int, int]]:
    """Find the pairs (a < b) whose boxes across the motion overlap and of which one at least is tried."""
    low = np.array([uvw[:, :2].min(axis=0) for uvw in seen])
    high = np.array([uvw[:, :2].max(axis=0) for uvw in seen])
    apart = (low[:, None] > high[None]) | (high[:, None] < low[None])
    meet = ~apart.any(axis=2) & (asked[:, None] | asked[None])
    return [(int(a), int(b)) for a, b in np.argwhere(np.triu(meet, 1))]


def _find_travel(
    seen: list[Points], triangles: list[npt.NDArray[np.int32]], pairs: list[tuple[int, int]]
) -> Floats:
    """Fill (2, n, n) travel, backwards and forwards along w."""
    from trainer.core.order import rays

    n = len(seen)
    travel = np.full((2, n, n), np.inf, np.float32)
    c, s = np.cos(rays.GRID_TURN_RAD), np.sin(rays.GRID_TURN_RAD)
    turn = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    scans = {
        i: rays.scan(np.ascontiguousarray((_thicken(seen[i]) @ turn.T)[triangles[i]]))
        for i in sorted({i for pair in pairs for i in pair})
    }
    for a, b in pairs:
        ahead, behind = rays.measure_gaps(scans[a], scans[b])
        travel[1, a, b] = travel[0, b, a] = max(ahead, 0.0)
        travel[1, b, a] = travel[0, a, b] = max(behind, 0.0)
    return travel


def _thicken(uvw: Points) -> Points:
    """Stretch a sheet about its middle to THIN_MM across the motion: eroded as it is, a shim would vanish.

    It then reads as blocked by what it lies between, which is so until that is gone.
    """
    thick = uvw.copy()
    low, high = uvw.min(axis=0), uvw.max(axis=0)
    for k in range(2):
        thickness = high[k] - low[k]
        if thickness < THIN_MM:
            middle = (low[k] + high[k]) / 2.0
            thick[:, k] = middle + (uvw[:, k] - middle) * (THIN_MM / thickness)
    return thick


def _find_clear(
    seen: list[Points],
    triangles: list[npt.NDArray[np.int32]],
    pairs: list[tuple[int, int]],
    travel_mm: Floats,
) -> Floats:
    """Fill (2, n, n) `clear_mm` from each part's outline and the others' triangles."""
    from trainer.core.order import outline

    n = len(seen)
    clear = np.full((2, n, n), -np.inf, np.float32)
    bodies = {i: seen[i][triangles[i]] for i in {i for pair in pairs for i in pair}}
    around = {i: outline.make_outline(seen[i][:, :2]) for i in bodies}
    for a, b in [*pairs, *[(b, a) for a, b in pairs]]:
        depth = float(seen[a][:, 2].min()), float(seen[a][:, 2].max())
        forwards, backwards = float(travel_mm[1, a, b]), float(travel_mm[0, a, b])
        reach = (forwards - REACH_MM, backwards - REACH_MM)
        clear[1, a, b], clear[0, a, b] = outline.find_clear_mm(around[a], depth, bodies[b], reach)
    return clear
