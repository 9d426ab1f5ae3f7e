"""Find the piece under the pointer: bounding boxes first, then one ray through each box it meets, nearest first."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from vtkmodules.vtkCommonCore import vtkPoints
from vtkmodules.vtkCommonDataModel import vtkStaticCellLocator

from trainer.stage.actor import PieceActor
from trainer.stage.camera import Vector
from trainer.stage.cut import Cut

_FAR_MM = 1e5
_RIM_MM = 1e-3


def find_hit(actors: Mapping[str, PieceActor], through_mm: Vector, towards: Vector) -> str | None:
    """Find the first piece that a ray meets.

    Args:
        actors: the pieces that can be hit, as they are drawn: a cut piece is hit on its half only.
        through_mm: a point (3,) on the ray.
        towards: unit vector (3,) from the scene to the eye; the ray runs against it.
    """
    names = list(actors)
    if not names:
        return None
    starts = through_mm - np.array([actors[name].offset_mm for name in names])
    boxes = np.array([actors[name].bounds_mm for name in names])
    enter = _find_entries(boxes, starts, towards)
    nearest, found = -np.inf, None
    for number in np.argsort(-enter):
        if enter[number] < nearest or enter[number] == -np.inf:
            break  # this box and all after it begin behind what was hit
        surface = actors[names[number]].surface
        for locator, cut in ((surface.skin_locator, surface.cut), (surface.cap_locator, None)):
            if locator is None:
                continue
            height = _find_height(locator, starts[number], towards, cut)
            if height is not None and height > nearest:
                nearest, found = height, names[number]
    return found


def find_surface_point(actor: PieceActor, through_mm: Vector, towards: Vector) -> Vector | None:
    """Find where a ray first meets one piece as it is drawn, (3,) mm; None where it passes by.

    Args:
        actor: the piece.
        through_mm: a point (3,) on the ray.
        towards: unit vector (3,) from the scene to the eye; the ray runs against it.
    """
    start, surface = through_mm - actor.offset_mm, actor.surface
    heights = [
        height
        for locator, cut in ((surface.skin_locator, surface.cut), (surface.cap_locator, None))
        if locator is not None
        and (height := _find_height(locator, start, towards, cut)) is not None
    ]
    return np.asarray(through_mm + max(heights) * towards) if heights else None


def _find_entries(boxes: Vector, starts: Vector, towards: Vector) -> Vector:
    """Find how far towards the eye from their starts (n, 3) rays enter boxes (n, 2, 3); -inf where they miss."""
    low, high = boxes[:, 0] - _RIM_MM, boxes[:, 1] + _RIM_MM
    with np.errstate(divide="ignore", invalid="ignore"):
        first, second = (low - starts) / towards, (high - starts) / towards
    flat = np.abs(towards) < 1e-12
    beside = np.any(flat & ((starts < low) | (starts > high)), axis=1)
    near = np.where(flat, np.inf, np.maximum(first, second)).min(axis=1)
    far = np.where(flat, -np.inf, np.minimum(first, second)).max(axis=1)
    return np.where(beside | (near < far), -np.inf, near)


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
