"""Make lighter stand-ins of meshes for motion: software drawing costs by triangles.

A stand-in keeps some of the triangles' corners exactly where they are, with their normals, so that
it looks like the part itself. What is kept depends on the mesh alone and is remembered on disk.
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

FEW = 1500
"""Meshes with fewer triangles are left as they are."""
KEPT_SHARE = 0.1
"""Share of the triangles that a stand-in aims at; rims of faces are never touched, so more may stay."""

Triangles = npt.NDArray[np.int32]
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
    return hashlib.sha256(np.ascontiguousarray(mesh.triangles).tobytes()).hexdigest()


def decimate(mesh: Mesh) -> Triangles:
    """Choose the triangles (m, 3) of a stand-in, as indices into the points of the whole mesh."""
    from vtkmodules.util.numpy_support import numpy_to_vtk, vtk_to_numpy
    from vtkmodules.vtkCommonCore import vtkPoints
    from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPolyData
    from vtkmodules.vtkFiltersCore import vtkDecimatePro

    count = len(mesh.triangles)
    surface, points, cells = vtkPolyData(), vtkPoints(), vtkCellArray()
    points.SetData(numpy_to_vtk(mesh.points, deep=1))
    offsets = np.arange(0, 3 * count + 1, 3, dtype=np.int32)
    cells.SetData(
        numpy_to_vtk(offsets, deep=1), numpy_to_vtk(mesh.triangles.reshape(-1).copy(), deep=1)
    )
    surface.SetPoints(points)
    surface.SetPolys(cells)
    number = numpy_to_vtk(np.arange(len(mesh.points), dtype=np.int32), deep=1)
    number.SetName("number")
    surface.GetPointData().AddArray(number)
    fewer = vtkDecimatePro()
    fewer.SetInputData(surface)
    fewer.SetTargetReduction(1.0 - max(KEPT_SHARE, FEW / count))
    # Points are split along edges, so every face's rim is a boundary: left alone, no gap can open.
    fewer.BoundaryVertexDeletionOff()
    fewer.PreserveTopologyOn()
    fewer.SplittingOff()
    fewer.Update()
    light = fewer.GetOutput()
    numbers = vtk_to_numpy(light.GetPointData().GetArray("number")).astype(np.int32)
    corners = vtk_to_numpy(light.GetPolys().GetConnectivityArray()).reshape(-1, 3)
    return np.asarray(numbers[corners], dtype=np.int32)


def _pick_out(mesh: Mesh, triangles: Triangles | None) -> Mesh:
    """Give the mesh with these triangles only, and the points they use."""
    if triangles is None:
        return mesh
    used, corners = np.unique(triangles, return_inverse=True)
    return replace(
        mesh,
        points=mesh.points[used],
        normals=mesh.normals[used],
        triangles=corners.reshape(-1, 3).astype(np.int32),
    )


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
