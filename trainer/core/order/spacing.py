"""Choose which rays are asked: where two parts at least lie over one another, the finer the smaller the part.

What two parts share across the motion is a strip along the smaller one's outline: as long as that part
is large. So rays may stand wider for large parts and still as many of them meet the strip. The plane
across the motion is laid out in tiles; in each the smallest part that touches it sets the spacing.

A strip of 0.05 mm all round a part meets ten rays and
more. What only two large parts share, a lug of one in a slot of the other say, is seen when its area is
above two to four times spacing x spacing: 0.5 mm2 below 40 mm of width, 2 mm2 below 160, 8 mm2 below 640.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.core.order.compiled import loop

STEP_MM = 0.35
"""Spacing of the rays where they are closest."""
TILE = 8
"""Rays along one side of a tile, in which they are all equally wide apart."""
SHIFT_MM = 0.12
"""How far the copies of a ray are shifted: two along u, two along v."""
MARGIN_MM = SHIFT_MM + 1e-6
"""How far about a triangle a ray or a copy of it may meet it; the little more is for rounding."""
MM_PER_STRIDE = 10.0
"""A part this wide times the stride squared (its smaller way across, mm) is asked at every stride-th ray only."""
WIDEST = 8
"""Widest stride; strides are powers of two, and a tile holds a whole number of them."""

F64 = npt.NDArray[np.float64]
I32 = npt.NDArray[np.int32]
I64 = npt.NDArray[np.int64]
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Tiles:
    """Say which rays are asked. low: (i, j) of the first ray of the first tile. stride: (a, b) every so many; 0 none."""

    low: tuple[int, int]
    stride: I32


def find_strides(width_mm: F64) -> I32:
    """Find how wide apart rays may be for parts whose smaller way across is `width_mm`, in steps."""
    doublings = np.floor(np.log2(np.maximum(width_mm / MM_PER_STRIDE, 1.0)) / 2.0)
    return np.minimum(2.0**doublings, WIDEST).astype(np.int32)


@loop
def _mark(
    tiles: I64, owner: I32, strides: I32, asked: Mask,
    count: I32, last: I32, any_asked: Mask, stride: I32,
) -> None:  # fmt: skip
    """Count the parts that touch each tile (tiles: first and last of each triangle), and find the finest stride."""
    for t in range(len(tiles)):
        part = owner[t]
        for a in range(tiles[t, 0], tiles[t, 2] + 1):
            for b in range(tiles[t, 1], tiles[t, 3] + 1):
                if last[a, b] != part:
                    last[a, b] = part
                    count[a, b] += 1
                    any_asked[a, b] = any_asked[a, b] or asked[part]
                    stride[a, b] = min(stride[a, b], strides[part])


def lay_tiles(boxes_mm: F64, owner: I32, strides: I32, asked: Mask) -> Tiles:
    """Lay tiles over all triangles and choose the rays of each.

    Args:
        boxes_mm: (m, 4) low u, low v, high u, high v of each triangle.
        owner: (m,) the part of each, in rising order.
        strides: (n,) how wide rays may be for a part, in steps.
        asked: (n,) whether a part is tried along this motion; a tile without any such is not asked.
    """
    grown = boxes_mm + MARGIN_MM * np.array([-1.0, -1.0, 1.0, 1.0])
    tiles = np.floor(grown / (STEP_MM * TILE)).astype(np.int64)
    first, last = tiles.min(axis=0), tiles.max(axis=0)
    low = first[:2]
    shape = (int(last[2] - low[0]) + 1, int(last[3] - low[1]) + 1)
    count, seen = np.zeros(shape, np.int32), np.full(shape, -1, np.int32)
    any_asked = np.zeros(shape, bool)
    stride = np.full(shape, WIDEST, np.int32)
    _mark(tiles - np.tile(low, 2), owner, strides, asked, count, seen, any_asked, stride)
    stride[(count < 2) | ~any_asked] = 0  # a part alone meets nothing
    return Tiles((int(low[0]) * TILE, int(low[1]) * TILE), stride)
