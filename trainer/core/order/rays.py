"""Measure, ray by ray, how far each part can move before it meets another. Compiled loops (numba).

Each part is scan-converted along an axis into entry and exit depths on a grid of rays, turned so
that it is never parallel to edges. Parts are eroded across the motion only (a ray is kept where four
copies shifted sideways by SHIFT_MM all agree), never along it: faces in contact, press fits and
holes of nominal size then do not read as collisions sideways, while travel along stays exact.
The second smallest gap of all rays counts, since a single stray ray can err.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numba
import numpy as np
import numpy.typing as npt

STEP_MM = 0.35
"""Spacing of the rays."""
SHIFT_MM = 0.12
"""Sideways erosion; 2 x SHIFT_MM x cos(45 deg) must exceed interference plus twice the facets' sag."""
SLACK = 1e-6
"""Rays this near (in spacings) outside a triangle's range are still asked: rounding must not lose one."""
GRID_TURN_RAD = 0.3
"""Turn of the grid about the axis of motion."""

F64 = npt.NDArray[np.float64]
I32 = npt.NDArray[np.int32]
I64 = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Scan:
    """Hold one part's intervals along one axis: for the ray (i, j) of its window, starts[a:b] and ends[a:b]."""

    low: tuple[int, int]
    shape: tuple[int, int]
    index: I64
    starts: F64
    ends: F64


@numba.njit(cache=True)
def _edge(pu: float, pv: float, au: float, av: float, bu: float, bv: float) -> float:
    """Side of p to the line a-b, computed from the lower end so that both triangles of an edge agree to the bit."""
    if au < bu or (au == bu and av < bv):
        return (bu - au) * (pv - av) - (bv - av) * (pu - au)
    return -((au - bu) * (pv - bv) - (av - bv) * (pu - bu))


@numba.njit(cache=True)
def _span(one: F64, pu: float) -> tuple[float, float]:
    """Give the range of v in which the line u = pu runs through a triangle: saves asking at every ray of its box."""
    low, high = np.inf, -np.inf
    for k in range(3):
        au, av = one[k, 0], one[k, 1]
        bu, bv = one[(k + 1) % 3, 0], one[(k + 1) % 3, 1]
        if min(au, bu) <= pu <= max(au, bu):
            if au == bu:
                low, high = min(low, av, bv), max(high, av, bv)
            else:
                v = av + (pu - au) / (bu - au) * (bv - av)
                low, high = min(low, v), max(high, v)
    return low, high


@numba.njit(cache=True)
def _cross(  # noqa: PLR0913, PLR0917 - compiled: plain arrays instead of an object
    tri: F64,
    u0: float,
    v0: float,
    step: float,
    nu: int,
    nv: int,
    index: I64,
    depth: F64,
    into: I32,
    fill: bool,  # noqa: FBT001 - numba takes no keyword-only arguments
) -> None:
    """Count (fill False) or store (fill True) the crossings of every ray with every triangle."""
    for t in range(tri.shape[0]):
        au, av, aw = tri[t, 0, 0], tri[t, 0, 1], tri[t, 0, 2]
        bu, bv, bw = tri[t, 1, 0], tri[t, 1, 1], tri[t, 1, 2]
        cu, cv, cw = tri[t, 2, 0], tri[t, 2, 1], tri[t, 2, 2]
        area = (bu - au) * (cv - av) - (bv - av) * (cu - au)
        if area == 0.0:
            continue
        i0 = max(0, math.ceil((min(au, bu, cu) - u0) / step))
        i1 = min(nu - 1, math.floor((max(au, bu, cu) - u0) / step))
        sign = 1.0 if area > 0 else -1.0
        for i in range(i0, i1 + 1):
            pu = u0 + i * step
            low, high = _span(tri[t], pu)
            j0 = max(0, math.ceil((low - v0) / step - SLACK))
            j1 = min(nv - 1, math.floor((high - v0) / step + SLACK))
            for j in range(j0, j1 + 1):
                pv = v0 + j * step
                e0 = _edge(pu, pv, bu, bv, cu, cv) * sign
                e1 = _edge(pu, pv, cu, cv, au, av) * sign
                e2 = _edge(pu, pv, au, av, bu, bv) * sign
                if e0 < 0 or e1 < 0 or e2 < 0:
                    continue
                ray = i * nv + j
                if fill:
                    at = index[ray] + into[ray]
                    # a face whose outward normal points back along the ray is where the ray enters
                    w = (e0 * aw + e1 * bw + e2 * cw) / (e0 + e1 + e2)
                    depth[2 * at] = w
                    depth[2 * at + 1] = -sign
                into[ray] += 1


@numba.njit(cache=True)
def _pair(index: I64, depth: F64, rays: int, counts: I32, starts: F64, ends: F64) -> None:
    """Sort each ray's crossings and pair them into intervals; a ray that does not alternate is left out."""
    for ray in range(rays):
        a, b = index[ray], index[ray + 1]
        for k in range(a + 1, b):  # insertion sort: rays have few crossings
            w, s = depth[2 * k], depth[2 * k + 1]
            m = k - 1
            while m >= a and (depth[2 * m] > w or (depth[2 * m] == w and depth[2 * m + 1] < s)):
                depth[2 * m + 2], depth[2 * m + 3] = depth[2 * m], depth[2 * m + 1]
                m -= 1
            depth[2 * m + 2], depth[2 * m + 3] = w, s
        n, sound = 0, (b - a) % 2 == 0
        for k in range(a, b):
            if depth[2 * k + 1] != (1.0 if (k - a) % 2 == 0 else -1.0):
                sound = False
        if sound:
            for k in range(a, b, 2):
                starts[a + n] = depth[2 * k]
                ends[a + n] = depth[2 * k + 2]
                n += 1
        counts[ray] = n


@numba.njit(cache=True)
def _agree(
    counts: I32,
    index: I64,
    starts: F64,
    ends: F64,
    more_counts: I32,
    more_index: I64,
    more_starts: F64,
    more_ends: F64,
) -> None:
    """Keep of each ray's intervals what another, shifted scan has too."""
    for ray in range(counts.shape[0]):
        if counts[ray] != more_counts[ray]:
            counts[ray] = 0
            continue
        a, b, n = index[ray], more_index[ray], 0
        for k in range(counts[ray]):
            start, end = max(starts[a + k], more_starts[b + k]), min(ends[a + k], more_ends[b + k])
            if end > start:
                starts[a + n], ends[a + n] = start, end
                n += 1
        counts[ray] = n


@numba.njit(cache=True)
def _compact(
    counts: I32, index: I64, starts: F64, ends: F64, new_index: I64, new_starts: F64, new_ends: F64
) -> None:
    for ray in range(counts.shape[0]):
        for k in range(counts[ray]):
            new_starts[new_index[ray] + k] = starts[index[ray] + k]
            new_ends[new_index[ray] + k] = ends[index[ray] + k]


@numba.njit(cache=True)
def _least_on_ray(a_starts: F64, a_ends: F64, b_starts: F64, b_ends: F64) -> tuple[float, float]:
    """Give, on one ray, the least gap of A before B, and of B before A."""
    ahead, behind = np.inf, np.inf
    for k in range(len(a_starts)):
        for m in range(len(b_starts)):
            if b_starts[m] + b_ends[m] > a_starts[k] + a_ends[k]:
                ahead = min(ahead, b_starts[m] - a_ends[k])
            else:
                behind = min(behind, a_starts[k] - b_ends[m])
    return ahead, behind


@numba.njit(cache=True)
def _gaps(  # noqa: PLR0913, PLR0917 - compiled: plain arrays instead of an object
    ai: I64, a_starts: F64, a_ends: F64, a_low: I64, a_shape: I64,
    bi: I64, b_starts: F64, b_ends: F64, b_low: I64, b_shape: I64,
) -> tuple[float, float]:  # fmt: skip
    """Give the second smallest gap of A moving up to B, and of B moving up to A; infinite where none."""
    first = np.full(2, np.inf)
    second = np.full(2, np.inf)
    i0, i1 = max(a_low[0], b_low[0]), min(a_low[0] + a_shape[0], b_low[0] + b_shape[0])
    j0, j1 = max(a_low[1], b_low[1]), min(a_low[1] + a_shape[1], b_low[1] + b_shape[1])
    for i in range(i0, i1):
        for j in range(j0, j1):
            ra = (i - a_low[0]) * a_shape[1] + (j - a_low[1])
            rb = (i - b_low[0]) * b_shape[1] + (j - b_low[1])
            least = _least_on_ray(
                a_starts[ai[ra] : ai[ra + 1]], a_ends[ai[ra] : ai[ra + 1]],
                b_starts[bi[rb] : bi[rb + 1]], b_ends[bi[rb] : bi[rb + 1]],
            )  # fmt: skip
            for way in range(2):
                if least[way] < first[way]:
                    second[way] = first[way]
                    first[way] = least[way]
                elif least[way] < second[way]:
                    second[way] = least[way]
    return second[0], second[1]


def scan(triangles: F64, step_mm: float = STEP_MM, shift_mm: float = SHIFT_MM) -> Scan:
    """Scan-convert triangles (m, 3, 3) given as (u, v, w), w along the motion, eroded sideways by shift_mm."""
    uv = triangles[:, :, :2].reshape(-1, 2)
    low = np.floor(uv.min(axis=0) / step_mm).astype(int) - 1
    high = np.ceil(uv.max(axis=0) / step_mm).astype(int) + 1
    shape = (int(high[0] - low[0]) + 1, int(high[1] - low[1]) + 1)
    kept: tuple[I32, I64, F64, F64] | None = None
    for du, dv in ((shift_mm, 0.0), (-shift_mm, 0.0), (0.0, shift_mm), (0.0, -shift_mm)):
        one = _intervals(triangles, low[0] * step_mm + du, low[1] * step_mm + dv, step_mm, shape)
        if kept is None:
            kept = one
        else:
            _agree(*kept, *one)
    assert kept is not None
    counts, index, starts, ends = kept
    new_index = np.concatenate([[0], np.cumsum(counts, dtype=np.int64)])
    new_starts, new_ends = np.empty(new_index[-1]), np.empty(new_index[-1])
    _compact(counts, index, starts, ends, new_index, new_starts, new_ends)
    return Scan((int(low[0]), int(low[1])), shape, new_index, new_starts, new_ends)


def _intervals(
    triangles: F64, u0: float, v0: float, step: float, shape: tuple[int, int]
) -> tuple[I32, I64, F64, F64]:
    rays = shape[0] * shape[1]
    counts = np.zeros(rays, np.int32)
    none_index, none_depth = np.zeros(1, np.int64), np.zeros(1)
    _cross(triangles, u0, v0, step, *shape, none_index, none_depth, counts, False)
    index = np.concatenate([[0], np.cumsum(counts, dtype=np.int64)])
    depth = np.empty(2 * index[-1])
    into = np.zeros(rays, np.int32)
    _cross(triangles, u0, v0, step, *shape, index, depth, into, True)
    starts, ends = np.empty(index[-1]), np.empty(index[-1])
    _pair(index, depth, rays, counts, starts, ends)
    return counts, index, starts, ends


def measure_gaps(one: Scan, other: Scan) -> tuple[float, float]:
    """Measure the gap in mm of `one` moving along +w until it meets `other`, and the reverse; inf when they never meet."""
    a, b = one, other
    return _gaps(
        a.index, a.starts, a.ends, np.array(a.low), np.array(a.shape),
        b.index, b.starts, b.ends, np.array(b.low), np.array(b.shape),
    )  # fmt: skip
