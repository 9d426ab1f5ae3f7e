"""Find where a clearance lies in the half section, so that it can be looked at closely."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly
from models.spec.build import PlacedPiece
from models.spec.face import Axis, FaceKind
from trainer.lesson.lesson import Show
from trainer.session.bench import Bench

ON_FACE_MM = 0.01
AROUND = 1.5
"""How much of the surroundings is shown, as many times the size of what is looked at closely."""
ABOVE_SHARE = 0.35
"""How far beside the shaft, as a share of its height over it, a point still stands right above: some twenty degrees."""


def find_face_point(
    assembly: Assembly, pieces: Sequence[str], axis: Axis, at_mm: float
) -> npt.NDArray[np.float64]:
    """Find a point (3,) mm on the face that the first of these pieces which has one has at `at_mm` along an axis.

    It lies in the plane of the half section; along the shaft above it, half way across the face.

    Raises:
        ValueError: none of the pieces has a face there.
    """
    number = list(Axis).index(axis)
    for piece in pieces:
        points = assembly.by_name[piece].mesh.points
        corners = points[np.abs(points[:, number] - at_mm) < ON_FACE_MM]
        if len(corners):
            break
    else:
        raise ValueError(f"{', '.join(pieces)} have no face at {at_mm:.3f} mm")
    if axis is Axis.X:
        inner, outer = _find_radii_mm(assembly, piece, at_mm)
        return np.array([at_mm, 0.0, (inner + outer) / 2.0])
    middle = (corners.min(axis=0) + corners.max(axis=0)) / 2.0
    return np.asarray(middle, dtype=np.float64)


def find_middle(
    assembly: Assembly, pieces: tuple[str, str], axis: Axis, ends_mm: tuple[float, float]
) -> npt.NDArray[np.float64]:
    """Find the point (3,) mm between two faces, where both reach; where they do not, half way from one to the other."""
    points = [
        find_face_point(assembly, (piece,), axis, at)
        for piece, at in zip(pieces, ends_mm, strict=True)
    ]
    middle = np.asarray((points[0] + points[1]) / 2.0)
    if axis is Axis.X:
        radii = [
            _find_radii_mm(assembly, piece, at) for piece, at in zip(pieces, ends_mm, strict=True)
        ]
        middle[2] = (max(inner for inner, _ in radii) + min(outer for _, outer in radii)) / 2.0
    return middle


def find_spot_above(assembly: Assembly, piece: str) -> npt.NDArray[np.float64]:
    """Find a spot (3,) mm in the plane of the half section where a piece stands above the shaft, near its middle."""
    points = assembly.by_name[piece].mesh.points
    above = keep_above(points)
    if not len(above):
        middle = (points.min(axis=0) + points.max(axis=0)) / 2.0
        return np.array([middle[0], 0.0, middle[2]], dtype=np.float64)
    radii = np.hypot(above[:, 1], above[:, 2])
    along = (above[:, 0].min() + above[:, 0].max()) / 2.0
    return np.array([along, 0.0, (radii.min() + radii.max()) / 2.0], dtype=np.float64)


def find_spot_on(piece: PlacedPiece, face: str) -> npt.NDArray[np.float64] | None:
    """Find a spot (3,) mm on a face round the shaft, above it in the plane of the half section; None for any other face."""
    named = piece.faces[face]
    if named.kind is FaceKind.PLANE or named.near is None or piece.pose.axis is not Axis.X:
        return None
    along, radius = named.near
    x = float(piece.pose.origin[0]) + piece.pose.sign * along
    return np.array([x, 0.0, radius], dtype=np.float64)


def keep_above(points: npt.NDArray[np.float32]) -> npt.NDArray[np.float32]:
    """Keep those of the points (n, 3) mm that stand right above the shaft."""
    side, height = np.abs(points[:, 1]), points[:, 2]
    return points[(height > 0) & (side <= ABOVE_SHARE * height)]


def _find_radii_mm(assembly: Assembly, piece: str, at_mm: float) -> tuple[float, float]:
    """Find the least and largest radius of a piece's corners in the plane x = at_mm."""
    points = assembly.by_name[piece].mesh.points
    corners = points[np.abs(points[:, 0] - at_mm) < ON_FACE_MM]
    if not len(corners):
        raise ValueError(f"{piece} has no face at {at_mm:.3f} mm")
    # of a casting the corners above the shaft, for its feet reach further
    above = keep_above(corners)
    corners = above if len(above) else corners
    radii = np.hypot(corners[:, 1], corners[:, 2])
    return float(radii.min()), float(radii.max())


def find_near_points(bench: Bench, show: Show) -> npt.NDArray[np.float64] | None:
    """Find the corners (n, 3) mm of what a view looks at closely; in section above the shaft. None for everything."""
    if not show.near:
        return None
    pieces = [piece for name in show.near for piece in bench.find_pieces(name)]
    points = np.concatenate([bench.assembly.by_name[piece].mesh.points for piece in pieces])
    above = keep_above(points) if show.cutaway else points
    points = above if len(above) else points
    low, high = points.min(axis=0).astype(np.float64), points.max(axis=0).astype(np.float64)
    middle, half = (low + high) / 2.0, AROUND * (high - low) / 2.0
    if show.cutaway:
        middle[1] = half[1] = 0.0
    signs = np.array(
        [(x, y, z) for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)], dtype=np.float64
    )
    corners: npt.NDArray[np.float64] = middle + signs * half
    return corners
