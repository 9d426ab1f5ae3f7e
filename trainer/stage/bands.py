"""Draw a very large picture band by band: what a graphics library keeps beside a picture is many times the picture."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt
from vtkmodules.vtkRenderingCore import vtkRenderWindow

from trainer.stage.camera import Camera
from trainer.stage.offscreen import read_depths, read_picture

MOST_PX = 9_000_000
"""A picture with more pixels than this is drawn in bands of no more."""
LAP_PX = 100
"""How much more of the picture a band draws above and below: soft shade reaches that far."""

Drawn = tuple[npt.NDArray[np.uint8], npt.NDArray[np.float32]]


def is_large(size: tuple[int, int]) -> bool:
    """Tell whether a picture of this size, in pixels that are really drawn, is better drawn in bands."""
    return size[0] * size[1] > MOST_PX


def draw_in_bands(
    window: vtkRenderWindow,
    camera: Camera,
    size: tuple[int, int],
    aim_at: Callable[[Camera, float], tuple[float, float]],
) -> Drawn:
    """Draw what a window's renderers show.

    Args:
        window: takes the size of a band, and keeps it.
        camera: of the whole picture, its pixels those that are really drawn.
        size: of the whole picture in such pixels.
        aim_at: points the renderers as a camera stands, for a picture so many pixels high; gives the nearest and the
            farthest that is drawn, in mm.

    Returns:
        The picture (h, w, 3), and how far from the eye each pixel (h, w) lies, in mm.
    """
    width, height = size
    rows = max(MOST_PX // width - 2 * LAP_PX, LAP_PX)
    picture = np.empty((height, width, 3), np.uint8)
    depths = np.empty((height, width), np.float32)
    for top in range(0, height, rows):
        bottom = min(top + rows, height)
        first, last = max(top - LAP_PX, 0), min(bottom + LAP_PX, height)
        clipping_mm = aim_at(camera.panned(0.0, (height - first - last) / 2.0), last - first)
        window.SetSize(width, last - first)
        window.Render()
        held = slice(top - first, bottom - first)
        picture[top:bottom] = read_picture(window)[held]
        depths[top:bottom] = read_depths(window, clipping_mm)[held]
    return picture, depths
