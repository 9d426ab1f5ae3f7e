"""Make lighter stand-ins of meshes for motion: software drawing costs by triangles.

A stand-in keeps some of the mesh's corners exactly where they are, with their normals, so that it looks like the
part itself; its edges are its own, so that they lie on it. What is kept depends on the mesh alone and is remembered
on disk.
"""

from __future__ import annotations

import hashlib
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from multiprocessing import get_context
from pathlib import Path

import numpy as np
import numpy.typing as npt
import platformdirs

from models.solids.arrays import DAMAGED, read_arrays, write_arrays
from models.spec.assembly import Assembly
from models.spec.mesh import Mesh
from trainer.stage.ahead import drop_flat, find_spots

FEW = 200
"""Meshes with fewer triangles are left as they are."""
LEAST_SHARE = 0.02
"""Share of the triangles at which lightening stops, however little the shape has changed."""
MOST_OFF_MM, MOST_OFF_SHARE = 0.8, 0.02
"""How far a corner that is left out may lie off what is left, in mm and as a share of the part: under a pixel in motion."""
CREASE_DEG = 28.0
"""Faces that meet at more than this are told apart by an edge."""
FINE_MM = 1.5
"""Where edges are shorter than this on average, as in a coiled spring, they would run together in motion: none are drawn."""
RECIPE = b"2"
"""Goes into the key of what is kept on disk; another number makes all of it anew."""

Triangles = npt.NDArray[np.int32]
Numbers = npt.NDArray[np.int64]
Known = dict[str, Triangles]
"""Triangles (m, 3) of stand-ins, as indices into the whole mesh's points, by the whole mesh's key."""


def lighten_assembly(assembly: Assembly, known: Known, folder: Path | None = None) -> Assembly:
    """Give an assembly light meshes.

    Args:
        assembly: with whole meshes.
        known: what was made before; what is new is put in.
        folder: where stand-ins are kept; the user's cache folder if None.
    """
    folder = folder or platformdirs.user_cache_path("pumpwright") / "light"
    keys = {id(piece.mesh): make_light_key(piece.mesh) for piece in assembly.pieces}
    wanted = {
        keys[id(piece.mesh)]: piece.mesh
        for piece in assembly.pieces
        if len(piece.mesh.triangles) > FEW
    }
    for key in [key for key in wanted if key not in known]:
        kept = _read(folder / f"{key}.npz", len(wanted[key].points))
        if kept is not None:
            known[key] = kept
    missing = {key: mesh for key, mesh in wanted.items() if key not in known}
    if missing:
        # A process of its own: decimation holds the interpreter, and the window would stand still.
        with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
            made = pool.map(decimate, missing.values())
            for key, triangles in zip(missing, made, strict=True):
                known[key] = triangles
                write_arrays(folder / f"{key}.npz", {"triangles": triangles})
    pieces = tuple(
        replace(piece, mesh=_pick_out(piece.mesh, known.get(keys[id(piece.mesh)])))
        for piece in assembly.pieces
    )
    return replace(assembly, pieces=pieces)


def keep_meshes(assembly: Assembly, before: Assembly) -> Assembly:
    """Take over the mesh objects of pieces that did not move or change, so that nothing is made or drawn anew for them."""
    old = before.by_name
    pieces = tuple(
        replace(piece, mesh=old[piece.name].mesh)
        if piece.name in old and np.array_equal(piece.mesh.points, old[piece.name].mesh.points)
        else piece
        for piece in assembly.pieces
    )
    return replace(assembly, pieces=pieces)


def make_light_key(mesh: Mesh) -> str:
    """Make the key of a mesh's stand-in from how its triangles hang together: moving a part does not change it."""
    return hashlib.sha256(RECIPE + np.ascontiguousarray(mesh.triangles).tobytes()).hexdigest()


def decimate(mesh: Mesh) -> Triangles:
    """Choose the triangles (m, 3) of a stand-in, as indices into the points of the whole mesh."""
    from vtkmodules.util.numpy_support import numpy_to_vtk, vtk_to_numpy
    from vtkmodules.vtkCommonCore import vtkPoints
    from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPolyData
    from vtkmodules.vtkFiltersCore import vtkDecimatePro

    # Points are split along edges; welded, both faces of an edge lose the same corners and no gap can open.
    spots, back = find_spots(mesh.points)
    welded = drop_flat(back[mesh.triangles])
    surface, points, cells = vtkPolyData(), vtkPoints(), vtkCellArray()
    points.SetData(numpy_to_vtk(mesh.points[spots], deep=1))
    offsets = np.arange(0, 3 * len(welded) + 1, 3, dtype=np.int32)
    cells.SetData(numpy_to_vtk(offsets, deep=1), numpy_to_vtk(welded.reshape(-1).copy(), deep=1))
    surface.SetPoints(points)
    surface.SetPolys(cells)
    number = numpy_to_vtk(np.arange(len(spots), dtype=np.int32), deep=1)
    number.SetName("number")
    surface.GetPointData().AddArray(number)
    low, high = mesh.bounds
    fewer = vtkDecimatePro()
    fewer.SetInputData(surface)
    fewer.SetTargetReduction(1.0 - LEAST_SHARE)
    fewer.SetErrorIsAbsolute(1)
    fewer.SetAbsoluteError(min(MOST_OFF_MM, MOST_OFF_SHARE * float(np.linalg.norm(high - low))))
    fewer.SetFeatureAngle(CREASE_DEG)
    fewer.BoundaryVertexDeletionOff()
    fewer.PreserveTopologyOn()
    fewer.SplittingOff()
    fewer.Update()
    light = fewer.GetOutput()
    numbers = vtk_to_numpy(light.GetPointData().GetArray("number"))
    corners = vtk_to_numpy(light.GetPolys().GetConnectivityArray()).reshape(-1, 3)
    return _split_again(mesh, back, numbers[corners])


def _split_again(mesh: Mesh, back: Numbers, welded: Numbers) -> Triangles:
    """Choose for each corner of welded triangles the point of its spot whose normal suits the triangle best."""
    by_spot = np.argsort(back, kind="stable")
    count = np.bincount(back)
    start = np.concatenate([[0], np.cumsum(count)[:-1]])
    at = mesh.points[by_spot[start[welded]]]
    facing = np.cross(at[:, 1] - at[:, 0], at[:, 2] - at[:, 0])
    suits = np.full(welded.shape, -np.inf)
    chosen = by_spot[start[welded]]
    for turn in range(int(count.max())):
        held = count[welded] > turn
        other = by_spot[np.where(held, start[welded] + turn, 0)]
        suit = np.where(held, np.einsum("tcx,tx->tc", mesh.normals[other], facing), -np.inf)
        better = suit > suits
        suits[better], chosen[better] = suit[better], other[better]
    return np.asarray(chosen, dtype=np.int32)


def _pick_out(mesh: Mesh, triangles: Triangles | None) -> Mesh:
    """Give the mesh with these triangles only, the points they use, and the edges where they meet at an angle."""
    if triangles is None:
        return mesh
    used, corners = np.unique(triangles, return_inverse=True)
    points, normals = mesh.points[used], mesh.normals[used]
    held: Triangles = np.asarray(corners.reshape(-1, 3), dtype=np.int32)
    edges = _find_creases(points, normals, held)
    return replace(
        mesh,
        points=points,
        normals=normals,
        triangles=held,
        edge_points=points,
        edges=edges,
    )


def _find_creases(
    points: npt.NDArray[np.float32], normals: npt.NDArray[np.float32], triangles: Triangles
) -> Triangles:
    """Find the sides (n, 2) of triangles at which the normals of two of them part; none where all are very short."""
    spots, back = find_spots(points)
    sides = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    turned = back[sides[:, 0]] > back[sides[:, 1]]
    sides[turned] = sides[turned][:, ::-1]
    key = back[sides[:, 0]] * len(spots) + back[sides[:, 1]]
    order = np.argsort(key, kind="stable")
    pairs = np.flatnonzero(key[order][1:] == key[order][:-1])
    one, other = sides[order[pairs]], sides[order[pairs + 1]]
    agreed = np.einsum("sex,sex->se", normals[one], normals[other]).min(axis=1, initial=1.0)
    creases = one[agreed < np.cos(np.radians(CREASE_DEG))]
    lengths = np.linalg.norm(points[creases[:, 0]] - points[creases[:, 1]], axis=1)
    if len(creases) > FEW and lengths.mean() < FINE_MM:
        return np.zeros((0, 2), np.int32)
    return np.asarray(creases, dtype=np.int32)


def _read(path: Path, points: int) -> Triangles | None:
    """Read a stand-in; None where there is none, or a spoilt one, which is made anew."""
    try:
        (triangles,) = read_arrays(path, ("triangles",))
    except DAMAGED:
        return None
    is_sound = (
        triangles.dtype == np.int32
        and triangles.shape[1:] == (3,)
        and len(triangles) > 0
        and triangles.min() >= 0
        and triangles.max() < points
    )
    return triangles if is_sound else None
