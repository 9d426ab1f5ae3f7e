"""Find where the two faces of a clearance, or of a contact, stand: as lines in the section, and as patches of their solids."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly
from models.spec.build import PlacedPiece
from models.spec.face import Axis, FaceKind
from models.spec.mesh import Mesh
from models.spec.turning import AXES, find_facing, find_position, find_rotation, find_shift_mm
from trainer.stage.cut import Cut

Vector = npt.NDArray[np.float64]
Line = tuple[Vector, Vector]
ON_FACE_MM = 0.012
"""How far a corner may lie off its face: rounding of the mesh."""
SQUARE = 0.999
ALONG = 0.6
"""A facet that looks along a motion at least so squarely can be met."""
CONTACT_MM = 0.06
"""How far two faces may be apart where a motion is said to end at contact: what facets take off."""
PATCH_MM = 6.0
"""So far behind the nearest corner of a face its patch is still taken for one."""
Triangles = npt.NDArray[np.float64]


def find_face_triangles(assembly: Assembly, piece: PlacedPiece, face: str) -> Triangles:
    """Find the triangles (n, 3, 3) mm of a named face on its mesh; none where the mesh does not show it."""
    mesh, named = assembly.by_name[piece.name].mesh, piece.faces[face]
    if named.kind is FaceKind.PLANE:
        axis, sense = find_facing(piece.pose, named)
        number = AXES.index(axis)
        at = float(find_position(piece.pose, named))
        corners = _find_on(mesh, np.abs(mesh.points[:, number] - at) < ON_FACE_MM)
        return corners[_find_normals(corners)[:, number] * sense * named.facing > SQUARE]
    turn, shift = find_rotation(piece.pose), find_shift_mm(piece.pose)
    around = (mesh.points - shift) @ turn[:, 1:]
    radii = np.hypot(around[:, 0], around[:, 1])
    corners = _find_on(mesh, np.abs(radii - float(named.at) / 2.0) < ON_FACE_MM)
    own = (corners - shift) @ turn
    outward = (own.mean(axis=1)[:, 1:] * _find_normals(own)[:, 1:]).sum(axis=1) > 0.0
    on = outward == (named.kind is FaceKind.JOURNAL)
    return _keep_near(corners[on], own[on], named.near[0] if named.near else 0.0)


def _find_on(mesh: Mesh, is_on: npt.NDArray[np.bool_]) -> Triangles:
    """Find the triangles (n, 3, 3) mm of a mesh of which every corner lies on a face."""
    whole = is_on[mesh.triangles].all(axis=1)
    corners: Triangles = mesh.points[mesh.triangles[whole]].astype(np.float64)
    return corners


def _keep_near(corners: Triangles, own: Triangles, near_mm: float) -> Triangles:
    """Keep of several cylinders of one diameter the one that passes `near_mm` along the piece's own axis."""
    if not len(corners):
        return corners
    low, high = own[:, :, 0].min(axis=1), own[:, :, 0].max(axis=1)
    order = np.argsort(low)
    reach = np.maximum.accumulate(high[order])
    new = np.concatenate([[False], low[order][1:] > reach[:-1] + ON_FACE_MM])
    band = np.empty(len(order), np.int64)
    band[order] = np.cumsum(new)
    away = np.maximum(np.maximum(low - near_mm, near_mm - high), 0.0)
    kept: Triangles = corners[band == band[int(np.argmin(away))]]
    return kept


def cut_triangles(triangles: Triangles, cut: Cut) -> list[Line]:
    """Cut triangles (n, 3, 3) mm by a plane: the lines, (3,) to (3,) mm, in which the face stands in the section."""
    found: list[Line] = []
    heights = triangles[:, :, cut.number] - cut.plane_mm
    for corners, above in zip(triangles, heights, strict=True):
        ends = [
            corners[i] + (corners[j] - corners[i]) * above[i] / (above[i] - above[j])
            for i, j in ((0, 1), (1, 2), (2, 0))
            if (above[i] > 0.0) != (above[j] > 0.0)
        ]
        if len(ends) == 2:
            found.append((ends[0], ends[1]))
    return found


def find_meeting(
    assembly: Assembly, piece: str, blocker: str, way: Vector, travel_mm: float
) -> tuple[Triangles, Triangles]:
    """Find the facets (n, 3, 3) mm by which a piece meets another after so much travel along a unit vector (3,)."""
    ahead, behind = (
        _find_facing(assembly.by_name[name].mesh, sense * way) for name, sense in ((piece, 1.0), (blocker, -1.0))
    )  # fmt: skip
    if not len(ahead) or not len(behind):
        return ahead, behind
    reached = (ahead @ way).max(axis=1) + travel_mm
    stands = (behind @ way).min(axis=1)
    gaps = np.abs(reached[:, None] - stands[None, :])
    over = _do_overlap(ahead, behind, way)
    meets = (gaps < CONTACT_MM) & over
    return ahead[meets.any(axis=1)], behind[meets.any(axis=0)]


def _do_overlap(ahead: Triangles, behind: Triangles, way: Vector) -> npt.NDArray[np.bool_]:
    """Tell (n, m) of which facets the boxes square to the motion overlap."""
    across = [number for number in range(3) if abs(way[number]) < SQUARE]
    over = np.ones((len(ahead), len(behind)), bool)
    for number in across:
        low, high = ahead[:, :, number].min(axis=1), ahead[:, :, number].max(axis=1)
        other_low, other_high = behind[:, :, number].min(axis=1), behind[:, :, number].max(axis=1)
        over &= (low[:, None] <= other_high[None]) & (other_low[None] <= high[:, None])
    return over


def _find_facing(mesh: Mesh, way: Vector) -> Triangles:
    corners = mesh.points[mesh.triangles].astype(np.float64)
    return corners[_find_normals(corners) @ way > ALONG]


def _find_normals(corners: Triangles) -> Vector:
    crossed = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    lengths = np.linalg.norm(crossed, axis=1)[:, None]
    return np.asarray(crossed / np.maximum(lengths, 1e-12))


def find_behind(triangles: Triangles, cut: Cut) -> list[Line]:
    """Find the nearest patch of a face that stands wholly behind a cut, laid flat on its plane: (3,) to (3,) mm."""
    depths = cut.measure_mm(triangles).min(axis=1)
    behind = depths >= 0.0
    if cut.axis is Axis.Y:  # above the shaft, where a section is read
        behind &= triangles[:, :, 2].min(axis=1) > 0.0
    if not behind.any():
        return []
    near = triangles[behind & (depths < depths[behind].min() + PATCH_MM)].reshape(-1, 3).copy()
    near[:, cut.number] = cut.plane_mm
    spread = np.ptp(near, axis=0)
    order = np.argsort(near[:, int(np.argmax(spread))])
    return [(near[order[0]], near[order[-1]])]
