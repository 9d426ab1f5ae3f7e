"""The table part x direction: who stands in the way, and after what travel."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from functools import reduce
from typing import TYPE_CHECKING, TypeVar

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly
from trainer.core.order.aside import Asides, find_asides
from trainer.core.order.directions import SIX, Direction, find_directions

if TYPE_CHECKING:
    from trainer.core.order import crossing, outline, rays

REACH_MM = 1.0
"""Air in mm that counts as clear."""
THIN_MM = 1.2
"""A sheet thinner than this is taken as this thick when it is moved sideways."""
SHARES = 6
"""Shares in which the rays of one axis, and then its pairs, are worked off."""

Floats = npt.NDArray[np.float32]
Points = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]
Pairs = npt.NDArray[np.int64]
Shape = tuple[Points, npt.NDArray[np.int32]]
Result = TypeVar("Result")


@dataclass(frozen=True, slots=True, eq=False)
class Blocking:
    """Travel to contact for every ordered pair and direction.

    names: pieces in the order of the arrays. travel_mm: (d, n, n) float32, [d, a, b] is how far a
    moves along direction d until it meets b; inf when never. low, high: (n, 3) mm boxes.
    clear_mm: (d, n, n) float32, [d, a, b] is how far a must move along d until nothing of b lies beside
    it any more (what lies ahead and is met only later does not count); -inf where nothing ever did.
    directions: (d,), in pairs of opposites. asked: (d, n), whether a piece is tried in a direction at
    all (a tilted axis is its fastener's own); None when every piece is tried in every direction. Rows
    of pieces that are not tried mean nothing. asides: ways out by two moves. unsound: (n,) share of a
    piece's rays on which its mesh is not closed (0 for a sound solid); empty where nobody measured.
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
    unsound: Floats = field(default_factory=lambda: np.zeros(0, np.float32))


@dataclass(frozen=True, slots=True, eq=False)
class _View:
    """All pieces that may meet along one axis. parts: their numbers. pairs: (p, 2) which, by their place in parts."""

    parts: Pairs
    pairs: Pairs
    field: crossing.Field
    bodies: outline.Bodies


def find_blocking(
    assembly: Assembly, progress: Callable[[int, int], None] | None = None
) -> Blocking:
    """Fill the table for an assembly from its meshes.

    Overlaps (press fits, threads) read as zero travel along the axis in which they are found; they
    are judged by `verify`, not here. How many cores share the work makes no difference to the table.

    Args:
        assembly: pieces with meshes.
        progress: called with (steps done, of) more than 20 times, at last with (of, of).
    """
    n = len(assembly.pieces)
    directions, asked = find_directions(assembly)
    shapes = [(one.mesh.points.astype(np.float64), one.mesh.triangles) for one in assembly.pieces]
    travel = np.full((len(directions), n, n), np.inf, np.float32)
    clear = np.full((len(directions), n, n), -np.inf, np.float32)
    rays = np.zeros((2, n), np.int64)
    tell = _Telling(progress, (1 + 2 * SHARES) * (len(directions) // 2) + 1)
    with ThreadPoolExecutor(min(os.cpu_count() or 1, SHARES)) as workers:
        coming = workers.submit(_look, shapes, directions[1], asked[1])
        for backward in range(0, len(directions), 2):
            view = coming.result()
            if backward + 3 < len(directions):  # the next axis, while this one is measured
                coming = workers.submit(
                    _look, shapes, directions[backward + 3], asked[backward + 3]
                )
            tell.step()
            if view is None:
                for _ in range(2 * SHARES):
                    tell.step()
                continue
            both = np.ix_(np.arange(backward, backward + 2), view.parts, view.parts)
            gaps = _measure_gaps(view, workers, tell)
            travel[both] = _spread_travel(gaps, view.pairs)
            clear[both] = _find_clear(view, travel[both], workers, tell)
            rays[:, view.parts] += gaps.rays
    names = tuple(piece.name for piece in assembly.pieces)
    low = np.array([piece.mesh.bounds[0] for piece in assembly.pieces])
    high = np.array([piece.mesh.bounds[1] for piece in assembly.pieces])
    asides = find_asides(assembly, directions, asked, travel, clear)
    tell.step()
    share = (rays[1] / np.maximum(rays[0], 1)).astype(np.float32)
    return Blocking(names, travel, clear, low, high, directions, asked, asides, share)


class _Telling:
    """Count steps and tell them on."""

    def __init__(self, progress: Callable[[int, int], None] | None, of: int) -> None:
        self._progress, self._of, self._done = progress, of, 0

    def step(self) -> None:
        self._done += 1
        if self._progress:
            self._progress(self._done, self._of)


def _look(shapes: list[Shape], forward: Direction, asked: Mask) -> _View | None:
    """Look at all pieces along one axis; None where no two may meet."""
    from trainer.core.order import crossing, outline, spacing

    frame = make_frame(forward)
    seen = [turn(points, frame) for points, _ in shapes]
    met = np.array(find_pairs(seen, asked), np.int64).reshape(-1, 2)
    if not len(met):
        return None
    parts, pairs = np.unique(met, return_inverse=True)
    own = [shapes[i][1] for i in parts]
    laid = [_thicken(seen[i]) for i in parts]
    sizes = np.array([np.ptp(uvw[:, :2], axis=0).min() for uvw in laid])
    before = np.cumsum([0, *(len(uvw) for uvw in laid)]).astype(np.int32)
    corners = np.concatenate([one + before[k] for k, one in enumerate(own)])
    owner = np.repeat(np.arange(len(parts), dtype=np.int32), [len(one) for one in own])
    edges = crossing.sort_corners(crossing.turn_grid(np.concatenate(laid)), corners)
    tiles = spacing.lay_tiles(
        edges[:, crossing.BOX], owner, spacing.find_strides(sizes), asked[parts]
    )
    rows = crossing.make_field(edges, owner, tiles, len(parts))
    return _View(
        parts, pairs.reshape(-1, 2), rows, outline.wrap_bodies([seen[i] for i in parts], own)
    )


def turn(points: Points, frame: Points) -> Points:
    """Turn points (n, 3) into a frame (rows u, v, w). Term by term, so that equal points stay equal to the bit."""
    x, y, z = points.T
    return np.column_stack([x * row[0] + y * row[1] + z * row[2] for row in frame])


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


def _measure_gaps(view: _View, workers: ThreadPoolExecutor, tell: _Telling) -> rays.Gaps:
    from trainer.core.order import rays

    work = [
        workers.submit(rays.measure_gaps, view.field, rows)
        for rows in rays.split_rows(view.field, SHARES)
    ]
    return reduce(rays.Gaps.join, _await(work, tell))


def _await(work: list[Future[Result]], tell: _Telling) -> Iterator[Result]:
    for one in work:
        yield one.result()
        tell.step()


def _spread_travel(gaps: rays.Gaps, pairs: Pairs) -> Floats:
    """Make (2, n, n) travel, backwards and forwards along w; pairs that do not meet across the motion stay free."""
    ahead = gaps.find_travel_mm()
    travel = np.full((2, *ahead.shape), np.inf, np.float32)
    for a, b in (pairs.T, pairs.T[::-1]):
        travel[1, a, b] = travel[0, b, a] = ahead[a, b]
    return travel


def _find_clear(
    view: _View, travel_mm: Floats, workers: ThreadPoolExecutor, tell: _Telling
) -> Floats:
    """Fill (2, n, n) `clear_mm` from each part's outline and the others' triangles."""
    from trainer.core.order import outline

    clear = np.full(travel_mm.shape, -np.inf, np.float32)
    ordered = np.concatenate([view.pairs, view.pairs[:, ::-1]])
    shares = [ordered[k::SHARES] for k in range(SHARES)]
    work = []
    for pairs in shares:
        a, b = pairs.T
        reach = travel_mm[::-1, a, b].T.astype(np.float64) - REACH_MM
        work.append(workers.submit(outline.find_clear_mm, view.bodies, pairs, reach))
    for pairs, found in zip(shares, _await(work, tell), strict=True):
        clear[::-1, pairs[:, 0], pairs[:, 1]] = found.T
    return clear
