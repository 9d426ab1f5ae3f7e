"""How a piece lies: its rotation, where its faces come to lie, how what is mounted on it comes to lie. No kernel."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.spec.face import Axis, Face
from models.spec.length import Length
from models.spec.part import Mount

AXES = tuple(Axis)


@dataclass(frozen=True, slots=True)
class Pose:
    """Where a piece is: its origin as Lengths in mm, the pump axis its own x takes, and its turn about it."""

    origin: tuple[Length, Length, Length]
    axis: Axis = Axis.X
    sign: int = 1
    turn_deg: float = 0.0


_TURNS: dict[tuple[Axis, int], list[list[float]]] = {
    (Axis.X, +1): [[1, 0, 0], [0, 1, 0], [0, 0, 1]],
    (Axis.X, -1): [[-1, 0, 0], [0, -1, 0], [0, 0, 1]],
    (Axis.Y, +1): [[0, -1, 0], [1, 0, 0], [0, 0, 1]],
    (Axis.Y, -1): [[0, 1, 0], [-1, 0, 0], [0, 0, 1]],
    (Axis.Z, +1): [[0, 0, -1], [0, 1, 0], [1, 0, 0]],
    (Axis.Z, -1): [[0, 0, 1], [0, 1, 0], [-1, 0, 0]],
}
"""Proper rotations that lay a part's own x axis along a pump axis, the other two kept as upright as can be."""


def find_rotation(pose: Pose | Mount) -> npt.NDArray[np.float64]:
    """Find the (3, 3) rotation from the part's frame to the pump's (or, of a mount, to the host's)."""
    c, s = math.cos(math.radians(pose.turn_deg)), math.sin(math.radians(pose.turn_deg))
    about_own_x = np.array([[1, 0, 0], [0, c, -s], [0, s, c]], dtype=float)
    rotation: npt.NDArray[np.float64] = np.array(_TURNS[pose.axis, pose.sign]) @ about_own_x
    return rotation


def find_shift_mm(pose: Pose) -> npt.NDArray[np.float64]:
    """Find the (3,) position of the part's origin in the pump's frame."""
    return np.array([float(value) for value in pose.origin])


def find_facing(pose: Pose, face: Face) -> tuple[Axis, int]:
    """Find the pump axis a plane face is square to, and on which side its own axis points there.

    Raises:
        ValueError: the piece is turned so that the face is square to no axis of the pump.
    """
    return _along(find_rotation(pose)[:, AXES.index(face.axis)])


def find_position(pose: Pose, face: Face) -> Length:
    """Find the position in mm of a plane face along the pump axis it is square to."""
    axis, sign = find_facing(pose, face)
    return pose.origin[AXES.index(axis)] + face.at * float(sign)


def find_mount(host: Pose, mount: Mount) -> tuple[tuple[Length, Length, Length], Axis, int, float]:
    """Find where a mount of a posed host lies: its spot, the pump axis and sense of its x, its turn in degrees.

    Raises:
        ValueError: the host is turned so that the mount points along no axis of the pump.
    """
    spot = _turn(find_rotation(host), (mount.x, mount.y, mount.z))
    total = find_rotation(host) @ find_rotation(mount)
    axis, sign = _along(total[:, 0])
    left = np.array(_TURNS[axis, sign]).T @ total
    turn = math.degrees(math.atan2(left[2, 1], left[1, 1])) + 0.0
    x, y, z = (host.origin[i] + spot[i] for i in range(3))
    return (x, y, z), axis, sign, turn


def turn_back(pose: Pose, vector: Sequence[Length]) -> list[Length]:
    """Give a vector of the pump's frame in the axes of a posed piece."""
    return _turn(find_rotation(pose).T, vector)


def _turn(rotation: npt.NDArray[np.float64], vector: Sequence[Length | float]) -> list[Length]:
    # turns of whole quarters are made exact, so that sums of dimensions stay sums
    exact = np.where(np.abs(rotation - rotation.round()) < _ROUNDING, rotation.round(), rotation)
    turned = []
    for line in exact:
        total = Length(0)
        for part, share in zip(vector, line, strict=True):
            total = total + part * float(share)
        turned.append(total)
    return turned


def _along(direction: npt.NDArray[np.float64]) -> tuple[Axis, int]:
    best = int(np.argmax(np.abs(direction)))
    if abs(abs(direction[best]) - 1.0) > _ROUNDING:
        raise ValueError(f"a face or mount along {direction.round(3).tolist()} lies along no axis")
    return AXES[best], 1 if direction[best] > 0 else -1


_ROUNDING = 1e-9
