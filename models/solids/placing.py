"""Turn a pose into a rotation and a shift. No kernel."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from models.spec.build import Pose
from models.spec.face import Axis

_TURNS: dict[tuple[Axis, int], list[list[float]]] = {
    (Axis.X, +1): [[1, 0, 0], [0, 1, 0], [0, 0, 1]],
    (Axis.X, -1): [[-1, 0, 0], [0, -1, 0], [0, 0, 1]],
    (Axis.Y, +1): [[0, -1, 0], [1, 0, 0], [0, 0, 1]],
    (Axis.Y, -1): [[0, 1, 0], [-1, 0, 0], [0, 0, 1]],
    (Axis.Z, +1): [[0, 0, -1], [0, 1, 0], [1, 0, 0]],
    (Axis.Z, -1): [[0, 0, 1], [0, 1, 0], [-1, 0, 0]],
}
"""Proper rotations that lay a part's own x axis along a pump axis, the other two kept as upright as can be."""


def find_rotation(pose: Pose) -> npt.NDArray[np.float64]:
    """Find the (3, 3) rotation from the part's frame to the pump's."""
    c, s = math.cos(math.radians(pose.turn_deg)), math.sin(math.radians(pose.turn_deg))
    about_own_x = np.array([[1, 0, 0], [0, c, -s], [0, s, c]], dtype=float)
    rotation: npt.NDArray[np.float64] = np.array(_TURNS[pose.axis, pose.sign]) @ about_own_x
    return rotation


def find_shift_mm(pose: Pose) -> npt.NDArray[np.float64]:
    """Find the (3,) position of the part's origin in the pump's frame."""
    return np.array([float(value) for value in pose.origin])
