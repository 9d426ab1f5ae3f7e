"""Named faces of a part: what seats touch and clearances are measured between."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from models.spec.length import Length


class FaceKind(StrEnum):
    """PLANE is square to an axis of the part; BORE and JOURNAL are cylinders about its own x axis."""

    PLANE = "plane"
    BORE = "bore"
    JOURNAL = "journal"


class Axis(StrEnum):
    """Axes of a part and of the pump.

    x along the shaft towards the drive end, z up, y to the right as seen from the driver.
    """

    X = "x"
    Y = "y"
    Z = "z"


@dataclass(frozen=True, slots=True)
class Face:
    """One face in the part's own frame.

    `at` is the position along `axis` of a plane, or the *diameter* of a cylinder, in mm.
    `facing` is +1 or -1: the side of a plane's outward normal along its axis (0 for cylinders).
    `near` is a point (axial position, radius) in mm that lies on a cylinder or plane, so that the
    face can be found on the solid among others of equal value.
    """

    kind: FaceKind
    at: Length
    axis: Axis = Axis.X
    facing: int = 0
    near: tuple[float, float] | None = None


def plane(
    at: Length | float, facing: int, axis: Axis = Axis.X, near: tuple[float, float] | None = None
) -> Face:
    """Make a plane face at `at` mm whose outward normal points to `facing` (+1 or -1) along `axis`."""
    return Face(FaceKind.PLANE, _length(at), axis, facing, near)


def bore(diameter: Length | float, near_x: Length | float) -> Face:
    """Make the face of a hole of `diameter` mm that passes axial position `near_x` mm."""
    return Face(FaceKind.BORE, _length(diameter), near=(float(near_x), float(diameter) / 2.0))


def journal(diameter: Length | float, near_x: Length | float) -> Face:
    """Make the face of an outside cylinder of `diameter` mm that passes axial position `near_x` mm."""
    return Face(FaceKind.JOURNAL, _length(diameter), near=(float(near_x), float(diameter) / 2.0))


def _length(value: Length | float) -> Length:
    return value if isinstance(value, Length) else Length(value)
