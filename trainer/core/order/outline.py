"""Ask how far a part must move until nothing of another lies beside it any more. Compiled loops (numba).

Seen along the motion, the part is its outline: a convex polygon of DIRECTIONS sides laid round it, so
that it can only err on the side of "not clear yet". A triangle of the other part lies beside it when
no line separates the two (separating axis theorem for convex shapes).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.core.order.compiled import loop

DIRECTIONS = 64
"""Sides of the polygon; on a circle of 350 mm it stands out by 0.2 mm at the corners."""
GROW_MM = 0.05
"""How much an outline is grown, so that contact counts as beside."""

RUN = 32
"""Triangles that are left out together when the box round them is out of question."""

F64 = npt.NDArray[np.float64]
I32 = npt.NDArray[np.int32]
I64 = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """A convex polygon: normals (k, 2), how far each side lies out along its normal (k,), corners (k, 2); mm."""

    normals: F64
    reach: F64
    corners: F64


@loop
def _reach(flat: F64, normals: F64) -> F64:
    reach = np.full(len(normals), -np.inf)
    for p in range(len(flat)):
        for k in range(len(normals)):
            reach[k] = max(reach[k], flat[p, 0] * normals[k, 0] + flat[p, 1] * normals[k, 1])
    return reach


def make_outline(flat: F64) -> Outline:
    """Lay a polygon round points (n, 2)."""
    angles = 2.0 * np.pi * np.arange(DIRECTIONS) / DIRECTIONS
    normals = np.column_stack([np.cos(angles), np.sin(angles)])
    reach = _reach(flat, normals) + GROW_MM
    # neighbouring sides meet at a corner: n1 . p = r1 and n2 . p = r2
    after, reach_after = np.roll(normals, -1, axis=0), np.roll(reach, -1)
    cross = normals[:, 0] * after[:, 1] - normals[:, 1] * after[:, 0]
    corners = np.column_stack(
        [
            (reach * after[:, 1] - reach_after * normals[:, 1]) / cross,
            (reach_after * normals[:, 0] - reach * after[:, 0]) / cross,
        ]
    )
    return Outline(normals, reach, corners)


@loop
def _is_beside(one: F64, normals: F64, reach: F64, corners: F64) -> bool:
    """Say whether the triangle `one` (3, 3), its third column depth, overlaps the polygon."""
    for k in range(len(reach)):
        nu, nv = normals[k, 0], normals[k, 1]
        if (
            min(
                one[0, 0] * nu + one[0, 1] * nv,
                one[1, 0] * nu + one[1, 1] * nv,
                one[2, 0] * nu + one[2, 1] * nv,
            )
            > reach[k]
        ):
            return False
    for i in range(3):
        nu, nv = one[(i + 1) % 3, 1] - one[i, 1], one[i, 0] - one[(i + 1) % 3, 0]
        here, third = (
            one[i, 0] * nu + one[i, 1] * nv,
            one[(i + 2) % 3, 0] * nu + one[(i + 2) % 3, 1] * nv,
        )
        low, high = np.inf, -np.inf
        for k in range(len(reach)):
            at = corners[k, 0] * nu + corners[k, 1] * nv
            low, high = min(low, at), max(high, at)
        if low > max(here, third) or high < min(here, third):
            return False
    return True


@loop
def _wrap(triangles: F64, starts: I64) -> tuple[F64, I64]:
    """Put boxes round every RUN triangles of each part: (k, 6) lows, then highs, and where a part's boxes start."""
    firsts = np.zeros(len(starts), np.int64)
    for part in range(len(starts) - 1):
        firsts[part + 1] = firsts[part] + (starts[part + 1] - starts[part] + RUN - 1) // RUN
    boxes = np.empty((firsts[-1], 6))
    for part in range(len(starts) - 1):
        for k in range(firsts[part], firsts[part + 1]):
            begin = starts[part] + (k - firsts[part]) * RUN
            boxes[k, :3], boxes[k, 3:] = np.inf, -np.inf
            for t in range(begin, min(begin + RUN, starts[part + 1])):
                for corner in range(3):
                    for axis in range(3):
                        boxes[k, axis] = min(boxes[k, axis], triangles[t, corner, axis])
                        boxes[k, 3 + axis] = max(boxes[k, 3 + axis], triangles[t, corner, axis])
    return boxes, firsts


@loop
def _clear(
    triangles: F64, boxes: F64, outline: tuple[F64, F64, F64], around: F64,
    depth: tuple[float, float], travel: tuple[float, float],
) -> tuple[float, float]:  # fmt: skip
    """Find how far a part must move until none of `triangles` is beside it. around: box of its outline."""
    normals, reach, corners = outline
    low, high = depth
    ahead, behind = high + travel[0], low - travel[1]
    plus, minus = -np.inf, -np.inf
    for k in range(len(boxes)):
        box = boxes[k]
        if box[0] > around[2] or box[3] < around[0] or box[1] > around[3] or box[4] < around[1]:
            continue
        if not (
            (box[2] < ahead and box[5] - low > plus) or (box[5] > behind and high - box[2] > minus)
        ):
            continue
        for t in range(k * RUN, min(k * RUN + RUN, len(triangles))):
            one = triangles[t]
            near, far = min(one[0, 2], one[1, 2], one[2, 2]), max(one[0, 2], one[1, 2], one[2, 2])
            more_plus = near < ahead and far - low > plus
            more_minus = far > behind and high - near > minus
            if (more_plus or more_minus) and _is_beside(one, normals, reach, corners):
                if more_plus:
                    plus = far - low
                if more_minus:
                    minus = high - near
    return plus, minus


@loop
def _clear_all(
    pairs: I64,
    bodies: tuple[F64, I64, F64, I64],
    outlines: tuple[F64, F64, F64],
    depth: F64,
    travel: F64,
    found: F64,
) -> None:
    triangles, starts, boxes, firsts = bodies
    normals, reach, corners = outlines
    around = np.empty(4)
    for p in range(len(pairs)):
        a, b = pairs[p, 0], pairs[p, 1]
        around[0], around[1] = corners[a, :, 0].min(), corners[a, :, 1].min()
        around[2], around[3] = corners[a, :, 0].max(), corners[a, :, 1].max()
        found[p, 0], found[p, 1] = _clear(
            triangles[starts[b] : starts[b + 1]], boxes[firsts[b] : firsts[b + 1]],
            (normals, reach[a], corners[a]), around,
            (depth[a, 0], depth[a, 1]), (travel[p, 0], travel[p, 1]),
        )  # fmt: skip


@loop
def _ahead(
    triangles: F64, normals: F64, reach: F64, corners: F64, low: float, high: float
) -> tuple[bool, bool]:
    u_low, u_high = corners[:, 0].min(), corners[:, 0].max()
    v_low, v_high = corners[:, 1].min(), corners[:, 1].max()
    backwards, forwards = False, False
    for t in range(triangles.shape[0]):
        one = triangles[t]
        new_back = not backwards and min(one[0, 2], one[1, 2], one[2, 2]) < high
        new_fore = not forwards and max(one[0, 2], one[1, 2], one[2, 2]) > low
        if not (new_back or new_fore):
            continue
        if (
            min(one[0, 0], one[1, 0], one[2, 0]) > u_high
            or max(one[0, 0], one[1, 0], one[2, 0]) < u_low
        ):
            continue
        if (
            min(one[0, 1], one[1, 1], one[2, 1]) > v_high
            or max(one[0, 1], one[1, 1], one[2, 1]) < v_low
        ):
            continue
        if _is_beside(one, normals, reach, corners):
            backwards, forwards = backwards or new_back, forwards or new_fore
            if backwards and forwards:
                break
    return backwards, forwards


def find_ahead(outline: Outline, depth: tuple[float, float], triangles: F64) -> tuple[bool, bool]:
    """Say whether a part meets another at all when it moves for good, backwards and forwards along the axis.

    Args:
        outline: the part's outline across the motion.
        depth: where the part begins and ends along the axis, mm.
        triangles: the other part's (m, 3, 3): two columns across, the third along the axis.
    """
    return _ahead(triangles, outline.normals, outline.reach, outline.corners, *depth)


@dataclass(frozen=True, slots=True, eq=False)
class Bodies:
    """All parts seen along one motion.

    triangles: (m, 3, 3), two columns across, the third along, mm; those of part k are starts[k]:starts[k + 1].
    boxes, firsts: the same for the boxes (b, 6) round every RUN of them. outlines: each part's.
    depth: (n, 2) where each begins and ends along the motion, mm.
    """

    triangles: F64
    starts: I64
    boxes: F64
    firsts: I64
    outlines: tuple[Outline, ...]
    depth: F64


def wrap_bodies(points: list[F64], triangles: list[I32]) -> Bodies:
    """Wrap parts given by their points (k, 3), columns across, across and along, and triangles (m, 3)."""
    starts = np.cumsum([0, *(len(one) for one in triangles)])
    flat = np.concatenate([at[corners] for at, corners in zip(points, triangles, strict=True)])
    boxes, firsts = _wrap(flat, starts)
    outlines = tuple(make_outline(at) for at in points)
    depth = np.array([(at[:, 2].min(), at[:, 2].max()) for at in points])
    return Bodies(flat, starts, boxes, firsts, outlines, depth)


def find_clear_mm(bodies: Bodies, pairs: I64, travel_mm: F64) -> F64:
    """Find how far the first of each pair must move until nothing of the second lies beside it any more.

    Args:
        bodies: all parts.
        pairs: (p, 2) numbers of parts.
        travel_mm: (p, 2) how far the first moves until it meets the second, forwards and backwards;
            what lies beyond that is ahead, not beside.

    Returns:
        (p, 2) forwards and backwards, mm; -inf where nothing of the other is beside it.
    """
    found = np.empty((len(pairs), 2))
    reach = np.array([one.reach for one in bodies.outlines])
    corners = np.array([one.corners for one in bodies.outlines])
    laid = bodies.triangles, bodies.starts, bodies.boxes, bodies.firsts
    outlines = bodies.outlines[0].normals, reach, corners
    _clear_all(pairs, laid, outlines, bodies.depth, travel_mm, found)
    return found
