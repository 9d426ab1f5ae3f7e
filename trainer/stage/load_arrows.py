"""Load arrows: which loads a bearing carries, and which it does not, drawn large beside its section."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image

from trainer.stage.camera import Camera, Vector
from trainer.stage.lettering import Lettering

ACROSS_SHARE = 0.42
"""Length of an arrow across the shaft, as a share of the bearing's outside diameter."""
ALONG_SHARE = 0.19
"""Length of one along the shaft, as a share of the same: two of them stand between two bearings."""
AWAY_SHARE = 0.02
"""Air between an arrow's tip and the bearing, as a share of the same."""
HEIGHT_SHARE = 0.4
"""How high above the axis an arrow along the shaft stands, as a share of the outside diameter: before the rings' middle."""
TEXT_SHARE = 0.16
"""Room for the word at the tail of an arrow across the shaft, as a share of its outside diameter."""
WIDTH_PX = 15.0
"""Width of an arrow's stem in a picture 720 pixels high, where its length leaves room for that."""
STEM_SHARE = 0.3
"""Most width of a stem, as a share of the arrow's length."""


@dataclass(frozen=True, slots=True, eq=False)
class LoadArrow:
    """One load: where it meets the bearing and where it comes from, (3,) mm; the word at it; whether it is carried."""

    tip_mm: Vector
    tail_mm: Vector
    text: str
    is_carried: bool


def make_load_arrows(
    low: npt.NDArray[np.floating],
    high: npt.NDArray[np.floating],
    told: Mapping[str, tuple[str, bool]],
) -> tuple[LoadArrow, ...]:
    """Make the arrows of one bearing.

    Args:
        low: lowest corner (3,) mm of what acts as one bearing.
        high: its highest corner.
        told: by load ("radial", "axial-forward", "axial-backward") the word at its arrow, and whether it is carried.
    """
    wide = float(high[2] - low[2])
    middle = (np.asarray(low, np.float64) + np.asarray(high, np.float64)) / 2.0
    up, along = np.array([0.0, 0.0, 1.0]), np.array([1.0, 0.0, 0.0])
    beside = middle + up * HEIGHT_SHARE * wide
    half = float(high[0] - low[0]) / 2.0
    places = {
        "radial": (middle + up * wide / 2.0, up, ACROSS_SHARE),
        "axial-forward": (beside - along * half, -along, ALONG_SHARE),
        "axial-backward": (beside + along * half, along, ALONG_SHARE),
    }
    return tuple(
        LoadArrow(at + out * AWAY_SHARE * wide, at + out * (AWAY_SHARE + share) * wide, *told[load])
        for load, (at, out, share) in places.items()
    )


def find_room(arrows: Sequence[LoadArrow]) -> Vector:
    """Find the points (n, 3) mm that arrows and their words reach to, so that a view can be fitted to them."""
    ends = [
        arrow.tail_mm + (arrow.tail_mm - arrow.tip_mm) * (TEXT_SHARE / ACROSS_SHARE)
        for arrow in arrows
    ]
    return np.array(ends).reshape(-1, 3)


def draw_load_arrows(
    picture: Image.Image, camera: Camera, letters: Lettering, arrows: Sequence[LoadArrow]
) -> None:
    """Draw the arrows over a finished frame that `camera` shows."""
    for arrow in arrows:
        ends = camera.project(np.stack([arrow.tail_mm, arrow.tip_mm]), picture.size)
        tail, tip = ((float(x), float(y)) for x, y, _ in ends)
        length = float(np.hypot(tip[0] - tail[0], tip[1] - tail[1]))
        width = min(WIDTH_PX * letters.scale, STEM_SHARE * length)
        letters.draw_load(picture, (tail, tip), width, arrow.text, is_carried=arrow.is_carried)
