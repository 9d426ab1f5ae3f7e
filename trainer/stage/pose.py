"""A pose: all that a picture shows, as plain values that travel to another process, and what draws it into a file."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import numpy.typing as npt
from PIL import Image

from models.spec.assembly import Assembly
from trainer.stage.camera import Camera
from trainer.stage.cut import Cut
from trainer.stage.look import Look
from trainer.stage.marks import Marks
from trainer.stage.scene import Finish, Stage

WIDER = 0.6
"""How much lines grow with a picture, as a share of what it grows by itself: a poster is looked at from nearer."""
Pixels = npt.NDArray[np.uint8]


@dataclass(frozen=True, slots=True, eq=False)
class Pose:
    """What a stage shows: pieces, where they stand, marks, cut, look; seen by a camera in a picture of `size` pixels."""

    assembly: Assembly
    offsets: Mapping[str, npt.NDArray[np.float64]]
    marks: Marks
    cut: Cut | None
    camera: Camera
    size: tuple[int, int]


def draw_pose(pose: Pose, look: Look, size: tuple[int, int]) -> Pixels:
    """Draw a pose with all care into a picture of another size; what was seen stays in its middle, whole.

    Returns:
        (height, width, 3).
    """
    scale = find_scale(pose.size, size)
    wider = max(1.0, WIDER * scale)
    lines = {name: wider * getattr(look, name) for name in ("edge_px", "outline_px", "mark_px")}
    stage = Stage(pose.assembly, replace(look, **lines))
    stage.set_offsets(pose.offsets)
    stage.set_cut(pose.cut)
    stage.set_marks(pose.marks)
    stage.camera = pose.camera.zoomed(scale)
    return stage.frame_with_numbers(*size, Finish.PRINT)[0]


def find_scale(seen: tuple[int, int], size: tuple[int, int]) -> float:
    """Find how much larger a picture is than what is seen in a window, both (width, height) in pixels."""
    return min(size[0] / seen[0], size[1] / seen[1])


def write_pose(pose: Pose, look: Look, over: Pixels, path: Path) -> None:
    """Draw a pose, lay over it what was painted above the window's picture, and write it as a PNG file.

    Args:
        pose: what is seen.
        look: its colours.
        over: (h, w, 4) red green blue alpha, colours already multiplied by alpha; its size is the picture's.
        path: where to; what stands there is replaced once the new picture is complete.

    Raises:
        OSError: it cannot be written. SurroundingsError: the machine cannot draw.
    """
    height, width, _ = over.shape
    picture = draw_pose(pose, look, (width, height))
    rows, columns = np.nonzero(over[..., 3])
    clear = 255 - over[rows, columns, 3:].astype(np.uint16)
    under = picture[rows, columns].astype(np.uint16) * clear // 255
    picture[rows, columns] = np.minimum(under + over[rows, columns, :3], 255).astype(np.uint8)
    handle, name = tempfile.mkstemp(suffix=".png", prefix=".", dir=path.parent)
    os.close(handle)
    try:
        Image.fromarray(picture).save(name, compress_level=4)
        Path(name).chmod(0o644)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
