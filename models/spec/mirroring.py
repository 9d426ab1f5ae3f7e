"""Mirror a pump: what is built for the other rotation is its image in the upright plane through the shaft."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from models.spec.assembly import Assembly, AssemblyPiece
from models.spec.mesh import Mesh

ACROSS = np.array([1.0, -1.0, 1.0], np.float32)
"""What stands to one side of the shaft stands to the other; along it, and above or below it, nothing changes."""


def mirror_assembly(assembly: Assembly) -> Assembly:
    """Mirror all pieces of an assembly; what holds and carries them is as it was."""
    return replace(assembly, pieces=tuple(map(mirror_piece, assembly.pieces)))


def mirror_piece(piece: AssemblyPiece) -> AssemblyPiece:
    """Mirror a piece, with the way it is screwed or driven in."""
    axis = None
    if piece.axis is not None:
        x, y, z = piece.axis
        axis = (x, -y, z)
    return replace(piece, mesh=mirror_mesh(piece.mesh), axis=axis)


def mirror_mesh(mesh: Mesh) -> Mesh:
    """Mirror a surface; its triangles are turned round, so that they go on looking outward."""
    return Mesh(
        mesh.points * ACROSS,
        mesh.normals * ACROSS,
        np.ascontiguousarray(mesh.triangles[:, ::-1]),
        mesh.edge_points * ACROSS,
        mesh.edges,
    )
