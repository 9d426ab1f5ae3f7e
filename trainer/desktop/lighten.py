"""Make lighter stand-ins of meshes for motion: software drawing costs by triangles."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from vtkmodules.util.numpy_support import numpy_to_vtk, numpy_to_vtkIdTypeArray, vtk_to_numpy
from vtkmodules.vtkCommonCore import vtkPoints
from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkPolyData
from vtkmodules.vtkFiltersCore import vtkCleanPolyData, vtkDecimatePro, vtkPolyDataNormals

from models.spec.assembly import Assembly
from models.spec.mesh import Mesh

FEW = 6000
"""Meshes with fewer triangles are left as they are."""
KEPT_SHARE = 0.12
"""Share of the triangles that a stand-in keeps."""
CREASE_DEG = 35.0


def lighten_assembly(
    assembly: Assembly, before: tuple[Assembly, Assembly] | None = None
) -> Assembly:
    """Give an assembly light meshes; those of pieces that stayed as they were are taken from `before` (full, light)."""
    known = {}
    if before:
        known = {
            id(full.mesh): light.mesh
            for full, light in zip(before[0].pieces, before[1].pieces, strict=True)
        }
    pieces = tuple(
        replace(piece, mesh=known.get(id(piece.mesh)) or lighten_mesh(piece.mesh))
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


def lighten_mesh(mesh: Mesh) -> Mesh:
    """Decimate a mesh and give it normals creased where the original is sharp."""
    if len(mesh.triangles) <= FEW:
        return replace(mesh, edge_points=mesh.edge_points[:0], edges=mesh.edges[:0])
    surface = vtkPolyData()
    points = vtkPoints()
    points.SetData(numpy_to_vtk(mesh.points, deep=True))
    surface.SetPoints(points)
    cells = vtkCellArray()
    flat = np.ascontiguousarray(mesh.triangles.astype(np.int64).ravel())
    cells.SetData(3, numpy_to_vtkIdTypeArray(flat, deep=True))
    surface.SetPolys(cells)
    clean = vtkCleanPolyData()
    clean.SetInputData(surface)
    clean.ToleranceIsAbsoluteOn()
    clean.SetAbsoluteTolerance(1e-4)
    fewer = vtkDecimatePro()
    fewer.SetInputConnection(clean.GetOutputPort())
    fewer.SetTargetReduction(1.0 - KEPT_SHARE)
    fewer.SetFeatureAngle(CREASE_DEG)
    fewer.PreserveTopologyOn()
    normals = vtkPolyDataNormals()
    normals.SetInputConnection(fewer.GetOutputPort())
    normals.SetFeatureAngle(CREASE_DEG)
    normals.ConsistencyOff()
    normals.Update()
    light = normals.GetOutput()
    triangles = vtk_to_numpy(light.GetPolys().GetConnectivityArray()).reshape(-1, 3)
    return Mesh(
        vtk_to_numpy(light.GetPoints().GetData()).astype(np.float32),
        vtk_to_numpy(light.GetPointData().GetNormals()).astype(np.float32),
        triangles.astype(np.int32),
        mesh.edge_points[:0],
        mesh.edges[:0],
    )
