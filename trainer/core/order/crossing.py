"""Find where rays enter and leave every part. Compiled loops.

Rays run along w and stand on a grid across it. Each counts with four copies of it, shifted sideways.
A triangle is cut by a row of rays at two of its edges; every ray between the two crosses it. Where an
edge is cut is computed from its low end, so that both triangles at it agree to the bit: no ray slips
through between them, and none crosses twice.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.core.order.compiled import loop
from trainer.core.order.spacing import MARGIN_MM, SHIFT_MM, STEP_MM, TILE, Tiles

PER_STEP = 1.0 / STEP_MM
MIDDLE = 4
"""Number of the ray itself, after its four copies."""
COPIES = MIDDLE + 1
TIE_MM = 1e-3
"""Entry and exit nearer than this are taken as entry first: bodies of one part that touch are one."""
GRID_TURN_RAD = 0.3
"""Turn of the grid about w, so that it is never parallel to edges."""
GRID_AT_MM = (1.118, 0.831)
"""Shift of the grid: were a ray to stand on the axis, rays would come in rings, with nothing between some."""

F64 = npt.NDArray[np.float64]
I8 = npt.NDArray[np.int8]
I32 = npt.NDArray[np.int32]
I64 = npt.NDArray[np.int64]
Mask = npt.NDArray[np.bool_]
Lists = tuple[I32, F64, I8, I32]
"""head (ray, copy): number of a crossing, -1 for none. Of each crossing: depth, sign (1 in, -1 out), the one after."""

# one row of `edges`, a triangle whose corners are sorted by u: low, middle and high
_U, _V, _W, _MID_U, _MID_V, _MID_W, _HIGH_U = range(7)
_LONG_V, _LONG_W, _FIRST_V, _FIRST_W, _LAST_V, _LAST_W, _TURN = range(7, 14)
_LEAST_V, _MOST_V = range(14, 16)
_WIDTH = 16
BOX = [_U, _LEAST_V, _HIGH_U, _MOST_V]
"""Columns of `edges` that are a triangle's box across the motion: low u, low v, high u, high v."""


@dataclass(frozen=True, slots=True, eq=False)
class Field:
    """Hold all triangles of a frame, and which of them each row of rays may cross.

    edges: (m, 16). owner: (m,) number of the part. index, listed: row i may cross listed[index[i]:
    index[i + 1]], parts in order. most: crossings at most, of one part in a row, of all in a row, and
    on one ray. tiles: which rays are asked. parts: how many there are.
    """

    edges: F64
    owner: I32
    index: I64
    listed: I32
    most: tuple[int, int, int]
    tiles: Tiles
    parts: int


def turn_grid(uvw: F64) -> F64:
    """Turn points (n, 3) about w and shift them. Term by term, so that equal points stay equal to the bit."""
    c, s = math.cos(GRID_TURN_RAD), math.sin(GRID_TURN_RAD)
    u, v, w = uvw.T
    return np.column_stack([c * u - s * v + GRID_AT_MM[0], s * u + c * v + GRID_AT_MM[1], w])


@loop
def sort_corners(points: F64, triangles: I32) -> F64:
    """Lay out triangles (m, 3) of points (k, 3) for the sweep: corners by u, slopes of edges from their low end.

    Both triangles at an edge then find the same place on it to the bit, so that no ray slips between.
    """
    edges = np.zeros((len(triangles), _WIDTH))
    for t in range(len(triangles)):
        a, b, c = triangles[t, 0], triangles[t, 1], triangles[t, 2]
        turn = 1.0
        if points[b, 0] < points[a, 0]:
            a, b, turn = b, a, -turn
        if points[c, 0] < points[b, 0]:
            b, c, turn = c, b, -turn
        if points[b, 0] < points[a, 0]:
            a, b, turn = b, a, -turn
        one = edges[t]
        one[_U], one[_V], one[_W] = points[a, 0], points[a, 1], points[a, 2]
        one[_MID_U], one[_MID_V], one[_MID_W] = points[b, 0], points[b, 1], points[b, 2]
        one[_HIGH_U], one[_TURN] = points[c, 0], turn
        one[_LEAST_V] = min(points[a, 1], points[b, 1], points[c, 1])
        one[_MOST_V] = max(points[a, 1], points[b, 1], points[c, 1])
        for low, high, at in ((a, c, _LONG_V), (a, b, _FIRST_V), (b, c, _LAST_V)):
            run = points[high, 0] - points[low, 0]
            if run > 0.0:
                one[at] = (points[high, 1] - points[low, 1]) / run
                one[at + 1] = (points[high, 2] - points[low, 2]) / run
    return edges


@loop
def _is_asked(stride: I32, i: int, first: int, last: int) -> bool:
    """Say whether a ray first..last of row i is asked; stride: that of the row's tiles."""
    for tile in range(first // TILE, last // TILE + 1):
        every = stride[tile]
        if every > 0 and i & (every - 1) == 0:  # strides are powers of two
            j = max(first, tile * TILE)
            j += -j & (every - 1)
            if j <= min(last, tile * TILE + TILE - 1):
                return True
    return False


@loop
def _list_rows(
    edges: F64, owner: I32, stride: I32, low: tuple[int, int], fill: bool, index: I64, listed: I32,  # noqa: FBT001
) -> tuple[int, int]:  # fmt: skip
    """Count (fill False) or list the triangles that each row may cross.

    Returns the most crossings in one row, of one part and of all.
    """
    rows, across = TILE * stride.shape[0], TILE * stride.shape[1]
    last_owner, room, room_of_all = (
        np.full(rows, -1, np.int32),
        np.zeros(rows, np.int64),
        np.zeros(rows, np.int64),
    )
    most, most_of_all = 0, 0
    for t in range(len(edges)):
        one = edges[t]
        begin = max(0, math.ceil((one[_U] - MARGIN_MM) * PER_STEP) - low[0])
        end = min(rows - 1, math.floor((one[_HIGH_U] + MARGIN_MM) * PER_STEP) - low[0])
        first = max(0, math.ceil((one[_LEAST_V] - MARGIN_MM) * PER_STEP) - low[1])
        last = min(across - 1, math.floor((one[_MOST_V] + MARGIN_MM) * PER_STEP) - low[1])
        if first > last:
            continue
        for i in range(begin, end + 1):
            if not _is_asked(stride[i // TILE], i, first, last):
                continue
            if fill:
                listed[index[i]] = t
            index[i] += 1
            if last_owner[i] != owner[t]:
                last_owner[i], room[i] = owner[t], 0
            room[i] += COPIES * (last - first + 1)
            room_of_all[i] += COPIES * (last - first + 1)
            most, most_of_all = max(most, room[i]), max(most_of_all, room_of_all[i])
    return most, most_of_all


def make_field(edges: F64, owner: I32, tiles: Tiles, parts: int) -> Field:
    """Find which triangles each row of rays may cross; what meets no asked ray is left out."""
    counts, none = np.zeros(TILE * len(tiles.stride), np.int64), np.zeros(0, np.int32)
    most, most_of_all = _list_rows(edges, owner, tiles.stride, tiles.low, False, counts, none)
    index = np.concatenate([[0], np.cumsum(counts)])
    listed = np.empty(index[-1], np.int32)
    _list_rows(edges, owner, tiles.stride, tiles.low, True, index[:-1].copy(), listed)
    on_ray = int(counts.max())  # a triangle crosses a ray once at most
    return Field(edges, owner, index, listed, (most, most_of_all, on_ray), tiles, parts)


@loop
def _cut(one: F64, u: float) -> tuple[float, float, float, float]:
    """Cut a triangle along u: v and w on its long edge, then on the shorter one."""
    run = u - one[_U]
    long_v, long_w = one[_V] + run * one[_LONG_V], one[_W] + run * one[_LONG_W]
    if u < one[_MID_U]:
        return long_v, long_w, one[_V] + run * one[_FIRST_V], one[_W] + run * one[_FIRST_W]
    run = u - one[_MID_U]
    return long_v, long_w, one[_MID_V] + run * one[_LAST_V], one[_MID_W] + run * one[_LAST_W]


@loop
def _fill(
    cut: tuple[float, float, float, float], turn: float, shift: float, copy: int, low: int, wanted: Mask,
    lists: Lists, reach: I64,
) -> None:  # fmt: skip
    """Add the crossings of one copy of a row's rays with a triangle cut along it."""
    head, depth, sign, after = lists
    near, near_w, far, far_w = cut
    if far < near:
        near, near_w, far, far_w, turn = far, far_w, near, near_w, -turn
    first = math.ceil((near - shift) * PER_STEP) - low
    last = math.ceil((far - shift) * PER_STEP) - low
    if first >= last:
        return
    reach[0], reach[1] = min(reach[0], first), max(reach[1], last)
    slope = (far_w - near_w) / (far - near)
    used = reach[2]
    for j in range(first, last):
        if wanted[j]:
            depth[used] = near_w + ((j + low) * STEP_MM + shift - near) * slope
            sign[used] = turn
            after[used] = head[j, copy]
            head[j, copy] = used
            used += 1
    reach[2] = used


@loop
def cross_row(one: F64, i: int, low: int, wanted: Mask, lists: Lists, reach: I64) -> None:
    """Add a triangle's crossings with the rays of row i to the lists.

    reach: first ray and last but one that were met, and how many crossings there are.
    """
    u = i * STEP_MM
    if one[_U] <= u < one[_HIGH_U]:
        _fill(_cut(one, u), one[_TURN], 0.0, MIDDLE, low, wanted, lists, reach)


@loop
def cross_copies(one: F64, i: int, low: int, wanted: Mask, lists: Lists, reach: I64) -> None:
    """Add a triangle's crossings with the four copies of the rays of row i to the lists."""
    for copy in range(2):
        u = i * STEP_MM + (2 * copy - 1) * SHIFT_MM
        if one[_U] <= u < one[_HIGH_U]:
            _fill(_cut(one, u), one[_TURN], 0.0, copy, low, wanted, lists, reach)
    u = i * STEP_MM
    if one[_U] <= u < one[_HIGH_U]:
        cut = _cut(one, u)
        for copy in range(2):
            shift = (2 * copy - 1) * SHIFT_MM
            _fill(cut, one[_TURN], shift, 2 + copy, low, wanted, lists, reach)


@loop
def may_meet(one: F64, low: int, first: int, last: int) -> bool:
    """Say whether a triangle may meet any of the rays first..last of a row, or a copy of one."""
    if one[_LEAST_V] > (last + low) * STEP_MM + MARGIN_MM:
        return False
    return bool(one[_MOST_V] >= (first + low) * STEP_MM - MARGIN_MM)


@loop
def sort_crossings(at: int, lists: Lists, depth: F64, sign: I8) -> int:
    """Put the crossings of one ray, listed from `at` on, into depth and sign in order. Returns how many."""
    _, depths, signs, after = lists
    n = 0
    while at >= 0:
        w, way = depths[at], signs[at]
        rank = w - TIE_MM * (way > 0)
        m = n - 1
        while m >= 0 and depth[m] - TIE_MM * (sign[m] > 0) > rank:
            depth[m + 1], sign[m + 1] = depth[m], sign[m]
            m -= 1
        depth[m + 1], sign[m + 1] = w, way
        n += 1
        at = after[at]
    return n


@loop
def pair_crossings(n: int, depth: F64, sign: I8, starts: F64, ends: F64) -> tuple[int, bool]:
    """Pair crossings in order into intervals. Returns how many, and whether entries and exits balance.

    Where they do not, crossings are paired as they come; an odd number gives nothing.
    """
    within, found, sound = 0, 0, True
    for k in range(n):
        if within == 0:
            starts[found] = depth[k]
        within += sign[k]
        sound = sound and within >= 0
        if within == 0:
            ends[found] = depth[k]
            found += ends[found] > starts[found]
    if sound and within == 0:
        return found, True
    if n % 2:
        return 0, False
    for k in range(0, n, 2):
        starts[k // 2], ends[k // 2] = depth[k], depth[k + 1]
    return n // 2, False
