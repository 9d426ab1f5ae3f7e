"""Cut a long exploded view into strips that use the page well, as a long drawing is continued at a match line.

Plain sums in mm of the picture plane: `u` to the right, `v` upwards.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Boxes = npt.NDArray[np.float64]

MOST_STRIPS = 4
WORTH_A_CUT = 1.18
"""A further strip must make everything this much larger."""
MOST_CUTS = 48
"""Of more gaps than this the widest are tried."""


@dataclass(frozen=True, slots=True)
class Strip:
    """What one strip shows: from left to right and from below to above, in mm."""

    left_mm: float
    right_mm: float
    low_mm: float
    high_mm: float

    @property
    def width_mm(self) -> float:
        """Width in mm."""
        return self.right_mm - self.left_mm

    @property
    def height_mm(self) -> float:
        """Height in mm."""
        return self.high_mm - self.low_mm


def find_strips(
    boxes: Boxes, room_px: tuple[float, float], between_px: float, wished: int | None = None
) -> tuple[tuple[Strip, ...], float]:
    """Find the strips, read from left to right and from above to below, in which everything is largest.

    Args:
        boxes: (n, 4) mm, left, right, low and high of every piece.
        room_px: width and height of the room on the page.
        between_px: free space between two strips.
        wished: how many strips, as far as there are gaps for them; as many as are worth it if None.

    Returns:
        The strips, and the size of a pixel in mm.
    """
    edges = _find_edges(boxes)
    spans = _measure_spans(boxes, edges)
    best, size = (0, len(edges) - 1), np.inf
    most = min(MOST_STRIPS, len(edges) - 1)
    for count in range(1, most + 1) if wished is None else (min(wished, most),):
        inner = itertools.combinations(range(1, len(edges) - 1), count - 1)
        chosen = np.array([(0, *cut, len(edges) - 1) for cut in inner])
        width_mm, low_mm, high_mm = spans[:, chosen[:, :-1], chosen[:, 1:]]
        free_px = room_px[1] - between_px * (count - 1)
        if free_px <= 0.0:
            break
        sizes = np.maximum(
            width_mm.max(axis=1) / room_px[0], (high_mm - low_mm).sum(axis=1) / free_px
        )
        found = int(np.argmin(sizes))
        if size < WORTH_A_CUT * sizes[found]:
            break
        best, size = tuple(chosen[found]), float(sizes[found])
    strips = [
        Strip(float(edges[i]), float(edges[j]), *(float(span) for span in spans[1:, i, j]))
        for i, j in itertools.pairwise(best)
    ]
    return tuple(strips), max(size, 1e-6)


def _find_edges(boxes: Boxes) -> Boxes:
    """Find both ends, and between them the middles of the widest gaps through which an upright line runs."""
    order = np.argsort(boxes[:, 0])
    reach = np.maximum.accumulate(boxes[order, 1])
    gaps_mm = boxes[order[1:], 0] - reach[:-1]
    middles = reach[:-1] + gaps_mm / 2.0
    widest = np.argsort(-gaps_mm, kind="stable")[:MOST_CUTS]
    kept = np.sort(middles[widest[gaps_mm[widest] > 0.0]])
    return np.array([boxes[:, 0].min(), *kept, boxes[:, 1].max()])


def _measure_spans(boxes: Boxes, edges: Boxes) -> Boxes:
    """Measure what lies between every two edges: (3, k, k) mm width, low and high."""
    count = len(edges)
    spans = np.zeros((3, count, count))
    for i, j in itertools.combinations(range(count), 2):
        inside = boxes[(boxes[:, 0] >= edges[i] - 1e-9) & (boxes[:, 1] <= edges[j] + 1e-9)]
        spans[:, i, j] = edges[j] - edges[i], inside[:, 2].min(), inside[:, 3].max()
    return spans
