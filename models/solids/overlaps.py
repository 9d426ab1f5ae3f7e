"""Which meshes share volume, how deep, and where; and one mesh cut free of others. No kernel: facet booleans.

Depth is how deep the deepest point of one's surface lies inside the other. Two equal cylinders cut
into facets apart from each other share slivers up to twice the facets' sag deep, which is no overlap.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Mapping
from typing import TypeAlias

import numpy as np
import numpy.typing as npt
from manifold3d import Error, Manifold
from manifold3d import Mesh as FacetMesh

from models.spec.mesh import Mesh
from models.spec.step import Overlap

LEAST_VOLUME_MM3 = 1e-3
MOST_SAMPLES = 400
"""Points of a shared volume whose depth is measured."""
_PAIRS_AT_ONCE = 400_000

Points = npt.NDArray[np.float64]
Facets: TypeAlias = Manifold
"""A closed facet model."""


def make_facets(mesh: Mesh) -> Facets | None:
    """Make a closed facet model of a mesh; None when its facets do not close."""
    points, index = np.unique(mesh.points.round(4), axis=0, return_inverse=True)
    triangles = index.reshape(-1)[mesh.triangles]
    whole = (
        (triangles[:, 0] != triangles[:, 1])
        & (triangles[:, 1] != triangles[:, 2])
        & (triangles[:, 2] != triangles[:, 0])
    )
    facets = Manifold(FacetMesh(points.astype(np.float32), triangles[whole].astype(np.uint32)))
    return facets if facets.status() == Error.NoError and not facets.is_empty() else None


def find_overlaps(
    meshes: Mapping[str, Mesh], least_mm: float, tell: Callable[[int, int], None] | None = None
) -> tuple[list[Overlap], list[tuple[str, str]]]:
    """Find the pairs that share volume deeper than `least_mm`, deepest first, and the pairs that could not be judged."""
    facets = {name: make_facets(mesh) for name, mesh in meshes.items()}
    near = [
        pair for pair in itertools.combinations(meshes, 2) if _is_near(*(meshes[n] for n in pair))
    ]
    found: list[Overlap] = []
    unchecked: list[tuple[str, str]] = []
    for done, (one, other) in enumerate(near, start=1):
        a, b = facets[one], facets[other]
        if a is None or b is None:
            unchecked.append((one, other))
            continue
        shared = a ^ b
        volume = float(shared.volume())
        if volume > LEAST_VOLUME_MM3:
            depth, at = _find_depth(shared, a, b)
            if depth > least_mm:
                x, y, z = (float(value) for value in at)
                found.append(Overlap(one, other, depth, volume, (x, y, z)))
        if tell:
            tell(done, len(near))
    return sorted(found, key=lambda overlap: -overlap.depth_mm), unchecked


def make_cylinder(
    at: Points, axis: Points, radius_mm: float, ends_mm: tuple[float, float]
) -> Facets:
    """Make a cylinder along a line, its ends counted from `at`; its facets go round outside of it."""
    facets = 96
    low, high = ends_mm
    outside = radius_mm / np.cos(np.pi / facets)
    upright = Manifold.cylinder(high - low, outside, outside, facets)
    u = np.cross(axis, np.eye(3)[int(np.argmin(np.abs(axis)))])
    u /= np.linalg.norm(u)
    place = np.column_stack([u, np.cross(axis, u), axis, at + axis * low])
    return upright.transform(place)


def cut_free(mesh: Mesh, cutters: Iterable[Facets | None]) -> Mesh | None:
    """Cut off a mesh what it shares with the cutters; None where one does not close or nothing is left.

    The result is for measuring, not for drawing: its normals are those of its facets, and it has no edges.
    """
    own = make_facets(mesh)
    for cutter in cutters:
        if own is None or cutter is None:
            return None
        own = own - cutter
    if own is None or own.is_empty():
        return None
    left = own.to_mesh()
    points = np.asarray(left.vert_properties, np.float32)[:, :3]
    triangles = np.asarray(left.tri_verts, np.int32)
    corners = points[triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normals /= np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-12)
    flat = np.arange(3 * len(triangles), dtype=np.int32).reshape(-1, 3)
    return Mesh(
        np.ascontiguousarray(corners.reshape(-1, 3)),
        np.repeat(normals.astype(np.float32), 3, axis=0),
        flat,
        np.empty((0, 3), np.float32),
        np.empty((0, 2), np.int32),
    )


def _is_near(one: Mesh, other: Mesh) -> bool:
    low, high = one.bounds
    other_low, other_high = other.bounds
    return bool((low < other_high).all() and (other_low < high).all())


def _find_depth(shared: Manifold, one: Manifold, other: Manifold) -> tuple[float, Points]:
    """Find the deepest of the points that bound a shared volume, and how deep it lies in either."""
    corners = _corners(shared)
    areas = np.linalg.norm(
        np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1
    )
    largest = np.argsort(-areas)[:MOST_SAMPLES]
    samples = np.concatenate([corners[largest].mean(axis=1), corners.reshape(-1, 3)])
    samples = np.unique(samples.round(4), axis=0)
    if len(samples) > MOST_SAMPLES:
        samples = samples[np.linspace(0, len(samples) - 1, MOST_SAMPLES).astype(int)]
    depths = np.maximum(_distances(samples, _corners(one)), _distances(samples, _corners(other)))
    deepest = int(np.argmax(depths))
    return float(depths[deepest]), samples[deepest]


def _corners(facets: Manifold) -> Points:
    mesh = facets.to_mesh()
    points = np.asarray(mesh.vert_properties, np.float64)[:, :3]
    return points[np.asarray(mesh.tri_verts, np.int64)]


def _distances(samples: Points, corners: Points) -> Points:
    """Measure each sample's distance (n,) to the nearest triangle (m, 3, 3), mm."""
    from trimesh.triangles import closest_point

    low, high = corners.min(axis=1), corners.max(axis=1)
    reach = np.linalg.norm(samples.max(axis=0) - samples.min(axis=0)) + 1e-6
    near = ((low <= samples.max(axis=0) + reach) & (high >= samples.min(axis=0) - reach)).all(1)
    corners = corners[near] if near.any() else corners
    nearest = np.full(len(samples), np.inf)
    at_once = max(1, _PAIRS_AT_ONCE // len(samples))
    for start in range(0, len(corners), at_once):
        some = corners[start : start + at_once]
        points = np.repeat(samples, len(some), axis=0)
        found = closest_point(np.tile(some, (len(samples), 1, 1)), points)  # type: ignore[no-untyped-call]  # the library types no arguments here
        distances = np.linalg.norm(found - points, axis=1).reshape(len(samples), -1).min(axis=1)
        nearest = np.minimum(nearest, distances)
    return nearest
