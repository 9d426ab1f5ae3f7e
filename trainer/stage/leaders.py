"""Leaders of an exploded view: dashed lines along which pieces have left their seats, each drawn once.

What lies on a common axis has one centre line, not a bundle of lines beside it.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt
from vtkmodules.vtkCommonDataModel import vtkPolyData
from vtkmodules.vtkRenderingCore import vtkActor, vtkPolyDataMapper

from models.spec.assembly import Assembly
from trainer.stage.camera import Vector
from trainer.stage.look import Colour
from trainer.stage.surface import make_lines

LEAST_MM = 1.0
"""A shorter leader is no leader."""
ON_AXIS_SHARE = 0.3
"""A piece whose middle lies this near to a common axis, as a share of its width, is drawn on it."""

Offsets = Mapping[str, npt.NDArray[np.floating]]
Leader = tuple[Vector, Vector]


def find_leaders(assembly: Assembly, offsets: Offsets, seats: Offsets) -> list[Leader]:
    """Find where leaders begin (at the seat) and end (at the piece), overlapping ones made one.

    Args:
        assembly: the pieces at home.
        offsets: by piece, how far from home it stands, (3,) mm; the others have no leader.
        seats: by piece, how far from home its seat stands, (3,) mm; a piece without one has left home itself.
    """
    home = np.zeros(3)
    lines: dict[tuple[float, ...], list[tuple[Vector, Vector, Vector]]] = {}
    for piece in assembly.pieces:
        if piece.name not in offsets:
            continue
        to = np.asarray(offsets[piece.name], np.float64)
        start = np.asarray(seats.get(piece.name, home), np.float64)
        length_mm = float(np.linalg.norm(to - start))
        if length_mm < LEAST_MM:
            continue
        way = (to - start) / length_mm
        line = way if tuple(np.round(way, 6)) > (0.0, 0.0, 0.0) else -way
        low, high = (np.asarray(end, np.float64) for end in piece.mesh.bounds)
        lines.setdefault(tuple(np.round(line, 4)), []).append(
            ((low + high) / 2.0 + start, (low + high) / 2.0 + to, high - low)
        )
    return [leader for line, found in lines.items() for leader in _merge(np.array(line), found)]


def _merge(line: Vector, found: list[tuple[Vector, Vector, Vector]]) -> list[Leader]:
    """Make leaders of one direction that overlap on one line a single one."""
    axis = _find_common_axis(line, [ends[0] for ends in found])
    on_lines: dict[tuple[float, ...], list[tuple[float, float]]] = {}
    for start, end, size in found:
        beside = start - (start @ line) * line
        if np.all(np.abs(beside - axis) <= ON_AXIS_SHARE * size):
            beside = axis
        low, high = sorted((float(start @ line), float(end @ line)))
        on_lines.setdefault(tuple(np.round(beside, 1)), []).append((low, high))
    merged: list[Leader] = []
    for at, spans in on_lines.items():
        joined: list[list[float]] = []
        for low, high in sorted(spans):
            if joined and low <= joined[-1][1]:
                joined[-1][1] = max(joined[-1][1], high)
            else:
                joined.append([low, high])
        merged += [(np.array(at) + low * line, np.array(at) + high * line) for low, high in joined]
    return merged


def _find_common_axis(line: Vector, starts: list[Vector]) -> Vector:
    """Find the line on which the most middles lie, as its point nearest to the origin."""
    beside = np.array([start - (start @ line) * line for start in starts])
    near = np.linalg.norm(beside[:, None] - beside[None], axis=2) < 0.5
    return np.asarray(beside[int(np.argmax(near.sum(axis=1)))])


def make_trail(colour: Colour) -> vtkActor:
    """Make the actor that draws leaders."""
    mapper = vtkPolyDataMapper()
    mapper.SetInputData(vtkPolyData())
    actor = vtkActor()
    actor.SetMapper(mapper)
    actor.GetProperty().SetLighting(False)
    actor.GetProperty().SetColor(*(channel / 255.0 for channel in colour))
    return actor


def set_trail(actor: vtkActor, leaders: list[Leader], period_mm: float, width_px: float) -> None:
    """Let the actor draw these leaders, dashed with a period in mm."""
    points: list[Vector] = []
    for start, end in leaders:
        length_mm = float(np.linalg.norm(end - start))
        along = (end - start) / length_mm
        for begin_mm in np.arange(0.0, length_mm, period_mm):
            points += [
                start + along * begin_mm,
                start + along * min(begin_mm + 0.6 * period_mm, length_mm),
            ]
    count = len(points)
    mapper = actor.GetMapper()
    assert isinstance(mapper, vtkPolyDataMapper)
    mapper.SetInputData(
        make_lines(np.array(points).reshape(-1, 3), np.arange(count).reshape(-1, 2))
    )
    actor.GetProperty().SetLineWidth(width_px)
    actor.SetVisibility(count > 0)
