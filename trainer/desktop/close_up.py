"""Find where a clearance lies in the half section, so that it can be looked at closely."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly
from models.spec.build import Build
from models.spec.clearance import Clearance

LEAST_WIDTH_MM = 36.0
WIDTHS = 5.0
"""How many times the clearance itself fits across a close-up."""
ON_FACE_MM = 0.01


@dataclass(frozen=True, slots=True, eq=False)
class Spot:
    """Two points (3,) mm on the faces of a clearance along the shaft, and how wide to look."""

    low_mm: npt.NDArray[np.float64]
    high_mm: npt.NDArray[np.float64]
    width_mm: float
    pieces: tuple[str, str]

    @property
    def middle_mm(self) -> npt.NDArray[np.float64]:
        """The point (3,) mm between both faces."""
        return np.asarray((self.low_mm + self.high_mm) / 2.0)


def find_spot(build: Build, assembly: Assembly, clearance: Clearance) -> Spot:
    """Find where a clearance along the shaft lies above the shaft, in the plane of the half section.

    Raises:
        ValueError: a face has no corner on its solid; the family names it wrongly.
    """
    ends_mm = [float(build.position(*end)) for end in (clearance.low, clearance.high)]
    pieces = [build.piece_at(place).name for place, _ in (clearance.low, clearance.high)]
    radii = [
        _find_radii_mm(assembly, piece, at_mm) for piece, at_mm in zip(pieces, ends_mm, strict=True)
    ]
    # The middle of where both faces reach; where they don't overlap, the middle of what parts them.
    radius_mm = (max(inner for inner, _ in radii) + min(outer for _, outer in radii)) / 2.0
    width_mm = max(LEAST_WIDTH_MM, WIDTHS * abs(ends_mm[1] - ends_mm[0]))
    return Spot(
        np.array([ends_mm[0], 0.0, radius_mm]),
        np.array([ends_mm[1], 0.0, radius_mm]),
        width_mm,
        (pieces[0], pieces[1]),
    )


def _find_radii_mm(assembly: Assembly, piece: str, at_mm: float) -> tuple[float, float]:
    """Find the least and largest radius of a piece's corners in the plane x = at_mm."""
    points = assembly.by_name[piece].mesh.points
    corners = points[np.abs(points[:, 0] - at_mm) < ON_FACE_MM]
    if not len(corners):
        raise ValueError(f"{piece} has no face at {at_mm:.3f} mm")
    radii = np.hypot(corners[:, 1], corners[:, 2])
    return float(radii.min()), float(radii.max())
