"""Find where the parts of a picture are seen: of each a pixel well inside it, all in one go."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.stage.camera import Region

LOOK_PX = 560
"""The longer side of the picture that is looked at; larger ones are thinned out."""
DEEP = 7
"""Pixels inside its outline (of the thinned picture) that are deep enough for a spot."""


@dataclass(frozen=True, slots=True)
class SeenPart:
    """A part that is seen: the pixel (x, y) to point at, the piece there, and how many pixels show the part."""

    piece: str
    x_px: int
    y_px: int
    area_px: int


def find_seen_parts(
    numbers: npt.NDArray[np.int32],
    pieces: Mapping[int, tuple[str, str]],
    region: Region,
    kept: Mapping[str, tuple[int, int]],
) -> dict[str, SeenPart]:
    """Find the parts seen in a region of a picture.

    Args:
        numbers: (h, w), the number of the piece that each pixel shows, 0 for none.
        pieces: by number, the piece and its part.
        region: pixels of the picture in which spots may lie.
        kept: by part a pixel (x, y) that pointed at it before; it does so again while the part is seen there.
    """
    height, width = numbers.shape
    step = max(1, -(-max(width, height) // LOOK_PX))
    left, top = max(int(region.left), 0), max(int(region.top), 0)
    small = numbers[top : int(region.bottom) : step, left : int(region.right) : step]
    if small.size == 0 or not pieces:
        return {}
    parts = list(dict.fromkeys(part for _, part in pieces.values()))
    index = {part: number for number, part in enumerate(parts, 1)}
    table = np.zeros(max(int(small.max()), *pieces) + 1, np.int16)
    for number, (_, part) in pieces.items():
        table[number] = index[part]
    shown = table[small]
    depth = _measure_depth(small)
    rows, columns = shown.shape
    flat = shown.ravel()
    order = np.argsort(flat, kind="stable")
    bounds = np.searchsorted(flat[order], np.arange(1, len(parts) + 2))
    # Of pixels that are deep enough the one nearest to the rim of the region has the shortest leader.
    down, across = np.divmod(np.arange(flat.size), columns)
    inside = np.minimum(np.minimum(down, rows - 1 - down), np.minimum(across, columns - 1 - across))
    grid = _Grid(left, top, step, shown, depth)
    found: dict[str, SeenPart] = {}
    for part, start, end in zip(parts, bounds[:-1], bounds[1:], strict=True):
        if start == end:
            continue
        area_px = int(end - start) * step * step
        spot = kept.get(part)
        if (
            spot is None
            or not grid.is_inside(spot, index[part])
            or (pieces.get(int(numbers[spot[1], spot[0]]), ("", ""))[1] != part)
        ):
            own = order[start:end]
            deep = depth.ravel()[own]
            best = own[deep >= min(int(deep.max()), DEEP)]
            y, x = divmod(int(best[int(np.argmin(inside[best]))]), columns)
            spot = left + x * step, top + y * step
        found[part] = SeenPart(pieces[int(numbers[spot[1], spot[0]])][0], *spot, area_px)
    return found


@dataclass(frozen=True, slots=True, eq=False)
class _Grid:
    """A thinned region: its corner and step in pixels, and of each of its pixels the part and the depth (h, w)."""

    left: int
    top: int
    step: int
    shown: npt.NDArray[np.int16]
    depth: npt.NDArray[np.uint8]

    def thin(self, spot: tuple[int, int]) -> tuple[int, int]:
        """Find the thinned pixel nearest to a pixel (x, y)."""
        return round((spot[0] - self.left) / self.step), round((spot[1] - self.top) / self.step)

    def is_inside(self, spot: tuple[int, int], part: int) -> bool:
        """Does a pixel still show a part, and not just at its edge?"""
        x, y = self.thin(spot)
        rows, columns = self.shown.shape
        if not (0 <= x < columns and 0 <= y < rows):
            return False
        return bool(self.shown[y, x] == part and self.depth[y, x] >= 1)


def _measure_depth(small: npt.NDArray[np.int32]) -> npt.NDArray[np.uint8]:
    """Measure how many pixels inside the outline of its piece each pixel lies, up to DEEP."""
    padded = np.pad(small, 1)
    alive = padded > 0
    depth = np.zeros(padded.shape, np.uint8)
    beside = padded[1:] == padded[:-1], padded[:, 1:] == padded[:, :-1]
    for _ in range(DEEP):
        inner = alive.copy()
        inner[1:] &= alive[:-1] & beside[0]
        inner[:-1] &= alive[1:] & beside[0]
        inner[:, 1:] &= alive[:, :-1] & beside[1]
        inner[:, :-1] &= alive[:, 1:] & beside[1]
        depth += inner
        alive = inner
    return depth[1:-1, 1:-1]
