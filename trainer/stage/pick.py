"""Find the piece under the pointer: bounding boxes first, then one ray through each box it meets."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from vtkmodules.vtkCommonCore import vtkPoints
from vtkmodules.vtkCommonDataModel import vtkStaticCellLocator

from trainer.stage.actor import PieceActor
from trainer.stage.camera import Vector
from trainer.stage.cut import Cut

_FAR_MM = 1e5


def find_hit(actors: Mapping[str, PieceActor], through_mm: Vector, towards: Vector) -> str | None:
    """Find the first piece that a ray meets.

    Args:
        actors: the pieces that can be hit, as they are drawn: a cut piece is hit on its half only.
        through_mm: a point (3,) on the ray.
        towards: unit vector (3,) from the scene to the eye; the ray runs against it.
    """
    nearest, found = -np.inf, None
    for name, actor in actors.items():
        start, surface = through_mm - actor.offset_mm, actor.surface
        for locator, cut in ((surface.skin_locator, surface.cut), (surface.cap_locator, None)):
            if locator is None or not _meets_box(locator.GetDataSet().GetBounds(), start, towards):
                continue
            height = _find_height(locator, start, towards, cut)
            if height is not None and height > nearest:
                nearest, found = height, name
    return found


def _meets_box(bounds: tuple[float, ...], start: Vector, towards: Vector) -> bool:
    low, high = np.array(bounds[::2]) - 1e-3, np.array(bounds[1::2]) + 1e-3
    with np.errstate(divide="ignore", invalid="ignore"):
        first, second = (low - start) / towards, (high - start) / towards
    flat = np.abs(towards) < 1e-12
    if np.any(flat & ((start < low) | (start > high))):
        return False
    enter = np.where(flat, -np.inf, np.minimum(first, second)).max()
    leave = np.where(flat, np.inf, np.maximum(first, second)).min()
    return bool(enter <= leave)


def _find_height(
    locator: vtkStaticCellLocator, start: Vector, towards: Vector, cut: Cut | None
) -> float | None:
    """Find how far towards the eye from `start` the ray first meets what a cut leaves of the surface, in mm."""
    eye, end = start + _FAR_MM * towards, start - _FAR_MM * towards
    hits = vtkPoints()
    if not locator.IntersectWithLine(eye.tolist(), end.tolist(), 1e-6, hits, None):
        return None
    points = np.array([hits.GetPoint(index) for index in range(hits.GetNumberOfPoints())])
    points = points if cut is None else points[cut.measure_mm(points) >= 0.0]
    return float(((points - start) @ towards).max()) if len(points) else None
