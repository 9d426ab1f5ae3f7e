"""Work out in the background what pictures need of meshes: asked for by the window's own thread it would stand still."""

from __future__ import annotations

import weakref
from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

import numpy as np
import numpy.typing as npt

from trainer.stage.camera import Vector, find_outer_points
from trainer.stage.cut import HALF_SECTION
from trainer.stage.slicing import Spans, measure_spans

if TYPE_CHECKING:
    from models.spec.assembly import Assembly
    from models.spec.mesh import Mesh

WELD_MM = 1e-4
"""Points nearer than this are one."""
Numbers = npt.NDArray[np.int64]
Result = TypeVar("Result")
Welded = tuple[npt.NDArray[np.float32], npt.NDArray[np.int32]]

_OUTER: dict[int, Vector] = {}
_WELDED: dict[int, Welded] = {}
_SPANS: tuple[dict[int, Spans], ...] = ({}, {}, {})


def _find_once(
    known: dict[int, Result], points: npt.NDArray[np.float32], find: Callable[[], Result]
) -> Result:
    """Find what belongs to an array of points, once as long as somebody holds that array."""
    number = id(points)
    if number not in known:
        known[number] = find()
        weakref.finalize(points, known.pop, number, None)
    return known[number]


def find_outer_once(points: npt.NDArray[np.float32]) -> Vector:
    """Find the few points (n, 3) mm that say how far a mesh reaches, as `find_outer_points` does."""
    return _find_once(_OUTER, points, lambda: find_outer_points(points))


def weld_once(mesh: Mesh) -> Welded:
    """Weld a mesh's points by their place: exact normals split them along every edge, and a cut needs closed loops."""
    return _find_once(_WELDED, mesh.points, lambda: _weld(mesh))


def measure_spans_once(mesh: Mesh, number: int) -> Spans:
    """Measure how far each triangle of a welded mesh reaches along an axis by its number."""
    return _find_once(_SPANS[number], mesh.points, lambda: measure_spans(*weld_once(mesh), number))


def _weld(mesh: Mesh) -> Welded:
    first, back = find_spots(mesh.points)
    return mesh.points[first], drop_flat(back[mesh.triangles])


def find_spots(points: npt.NDArray[np.float32]) -> tuple[Numbers, Numbers]:
    """Find the distinct spots of points (n, 3) mm: one point of each spot, and for each point which spot it is."""
    grid = np.round(points.astype(np.float64) / WELD_MM).astype(np.int64)
    _, first, back = np.unique(grid, axis=0, return_index=True, return_inverse=True)
    return first, back.reshape(-1)


def drop_flat(triangles: Numbers) -> npt.NDArray[np.int32]:
    """Leave out the triangles (n, 3) of which two corners are one."""
    one, two, three = triangles.T
    kept = (one != two) & (two != three) & (three != one)
    return np.asarray(triangles[kept], dtype=np.int32)


def prepare_reach(assembly: Assembly) -> None:
    """Find how far every mesh of an assembly reaches: what the first picture is fitted by."""
    for piece in assembly.pieces:
        if len(piece.mesh.points):
            find_outer_once(piece.mesh.points)
            _ = piece.mesh.bounds  # kept by the mesh


def prepare_cut(assembly: Assembly) -> None:
    """Weld every mesh of an assembly, and measure it along the axis of the half section: what the first cut needs."""
    for piece in assembly.pieces:
        if len(piece.mesh.points):
            measure_spans_once(piece.mesh, HALF_SECTION.number)
