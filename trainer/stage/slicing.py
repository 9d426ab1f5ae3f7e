"""Find where a plane square to an axis runs through a closed mesh: the outline of what it lays open."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from trainer.stage.cut import Cut

Floats = npt.NDArray[np.float32]
Ints = npt.NDArray[np.int32]
Spans = tuple[Floats, Floats]
"""Of each triangle the least and the greatest of its corners' coordinates along an axis, in mm."""


def measure_spans(points: Floats, triangles: Ints, number: int) -> Spans:
    """Measure how far each triangle (m, 3) of points (n, 3) mm reaches along an axis by its number."""
    one, two, three = points[:, number][triangles].T
    return np.minimum(np.minimum(one, two), three), np.maximum(np.maximum(one, two), three)


def slice_mesh(points: Floats, triangles: Ints, spans: Spans, cut: Cut) -> tuple[Floats, Ints]:
    """Slice a closed mesh.

    Args:
        points: (n, 3) mm, each spot once.
        triangles: (m, 3) indices into them.
        spans: of the triangles along the cut's axis.
        cut: whose plane is meant.

    Returns:
        The points (k, 3) mm of the outline, each once, and its segments (s, 2) as indices into them.
    """
    at_mm = np.float32(cut.plane_mm)
    # A corner in the plane itself counts as beyond it, for all triangles alike: so loops stay closed.
    met = triangles[np.flatnonzero((spans[0] < at_mm) & (spans[1] >= at_mm))]
    is_beyond = points[:, cut.number][met] >= at_mm
    following = met[:, [1, 2, 0]]
    crossed = is_beyond != is_beyond[:, [1, 2, 0]]  # two sides of each triangle
    ends = np.sort(np.stack([met[crossed], following[crossed]], axis=1), axis=1).astype(np.int64)
    keys, back = np.unique(ends[:, 0] * len(points) + ends[:, 1], return_inverse=True)
    start, end = points[keys // len(points)], points[keys % len(points)]
    before, after = start[:, cut.number].astype(np.float64), end[:, cut.number].astype(np.float64)
    share = (cut.plane_mm - before) / (after - before)
    outline = (start + share[:, None] * (end - start)).astype(np.float32)
    outline[:, cut.number] = at_mm
    return outline, back.reshape(-1, 2).astype(np.int32)
