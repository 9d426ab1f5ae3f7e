"""Triangles and edge lines as plain arrays: what pictures and the order engine read."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float32]
Ints = npt.NDArray[np.int32]


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """Hold one part's surface.

    points: (n, 3) float32 mm; normals: (n, 3) float32 unit, exact from the kernel;
    triangles: (m, 3) int32, outward by the right-hand rule; edge_points: (k, 3) float32 mm;
    edges: (e, 2) int32 pairs into edge_points: the sharp edges a drawing would ink.
    """

    points: Floats
    normals: Floats
    triangles: Ints
    edge_points: Floats
    edges: Ints
    _bounds: list[tuple[Floats, Floats]] = field(default_factory=list, init=False, repr=False)

    @property
    def bounds(self) -> tuple[Floats, Floats]:
        """Lowest and highest corner in mm, each shape (3,)."""
        # Kept: of a large pump working them all out takes as long as a frame.
        if not self._bounds:
            ends = self.points.min(axis=0), self.points.max(axis=0)
            for end in ends:
                end.setflags(write=False)
            self._bounds.append(ends)
        return self._bounds[0]

    def moved(self, rotation: npt.NDArray[np.float64], shift_mm: npt.NDArray[np.float64]) -> Mesh:
        """Return this mesh turned by `rotation` (3, 3) and then shifted by `shift_mm` (3,)."""
        turn = rotation.astype(np.float32)
        shift = shift_mm.astype(np.float32)
        return Mesh(
            self.points @ turn.T + shift,
            self.normals @ turn.T,
            self.triangles,
            self.edge_points @ turn.T + shift,
            self.edges,
        )
