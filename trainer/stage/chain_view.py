"""Where to look so that a dimension chain is seen: the section along its axis, all of it or the gap closely."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import numpy.typing as npt

from models.spec.face import Axis
from trainer.stage.camera import Camera, Region, Vector, ViewName, make_camera
from trainer.stage.chain_drawing import (
    CLOSE_WIDTHS,
    LEAST_CLOSE_MM,
    MARGIN_SHARE,
    ChainDrawing,
)
from trainer.stage.cut import HALF_SECTION, Cut

BELOW_AXIS_SHARE = 0.1
"""How far below the shaft's axis the section is still shown, as a share of what is shown above it."""
ABOVE_MM = 8.0
LEVEL_SECTION = Cut(Axis.Z, keeps=-1)
"""What shows a chain across the pump: the level plane through the shaft, seen from above."""


def find_section(drawing: ChainDrawing) -> tuple[ViewName, Cut]:
    """Find the standing view and the cut in which a chain is seen at its full length."""
    if drawing.axis is Axis.Y:
        return ViewName.TOP, LEVEL_SECTION
    return ViewName.SIDE, HALF_SECTION


def frame_chain(
    drawing: ChainDrawing,
    ends: Iterable[tuple[Vector, Vector]],
    size: tuple[int, int],
    region: Region,
    *,
    is_close: bool,
) -> Camera:
    """Look at a chain, or at its gap closely, within a region of a picture of `size` pixels.

    Args:
        drawing: the chain.
        ends: the points (3,) mm that its arrows go from and to, the gap's own last, as they stand now.
        size: of the picture, in pixels.
        region: where in the picture the chain is to be, in pixels.
        is_close: look at the gap alone.
    """
    view, _ = find_section(drawing)
    camera = make_camera(view)
    pairs = list(ends)
    if is_close:
        points = _find_close(camera, drawing, pairs[-1])
    else:
        points = _find_all(camera, pairs, region, is_shaft=drawing.axis is Axis.X)
    return camera.fitted(points, size, region)


def _find_close(
    camera: Camera, drawing: ChainDrawing, gap: tuple[Vector, Vector]
) -> npt.NDArray[np.float64]:
    """Find the corners of a square round the gap, where both its faces reach."""
    number = list(Axis).index(drawing.axis)
    low, high = (float(end[number]) for end in gap)
    middle = drawing.close_up.copy()
    middle[number] = (low + high) / 2.0
    half = max(LEAST_CLOSE_MM, CLOSE_WIDTHS * abs(high - low)) / 2.0
    corners = [(a * half * camera.right + b * half * camera.up) for a in (-1, 1) for b in (-1, 1)]
    return np.asarray(middle + np.array(corners))


def _find_all(
    camera: Camera, pairs: list[tuple[Vector, Vector]], region: Region, *, is_shaft: bool
) -> npt.NDArray[np.float64]:
    """Find the corners of what holds all ends, with some of what stands round them."""
    places = np.array([end for pair in pairs for end in pair])
    across, up = places @ camera.right, places @ camera.up
    margin = max(MARGIN_SHARE * float(np.ptp(across)), LEAST_CLOSE_MM)
    low, high = float(up.min()) - margin, float(up.max()) + ABOVE_MM
    left, right = float(across.min()) - margin, float(across.max()) + margin
    if is_shaft:
        low = min(float(up.min()), -BELOW_AXIS_SHARE * high)
        high = max(high, low + (right - left) * region.height / region.width)
    return np.array([a * camera.right + b * camera.up for a in (left, right) for b in (low, high)])
