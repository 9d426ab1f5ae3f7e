"""Exploded layout: every part moved along the way it really leaves, just far enough that nothing overlaps.

Walks the teardown order backwards, so that what stays longest is placed first. What rode along on
another part is laid out with it and moves with it.
Method: after Li, Agrawala, Curless and Salesin, "Automated generation of interactive 3D exploded
view diagrams", SIGGRAPH 2008.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from trainer.core.order.blocking import Blocking
from trainer.core.order.teardown import Order

AIR_MM = 12.0
"""Free space left between parts."""

Vector = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Move:
    """A piece goes, with all that rides on it, by `shift` (3,) mm."""

    piece: str
    along: frozenset[str]
    shift: Vector


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """The moves of each step of an order, step by step."""

    steps: tuple[tuple[Move, ...], ...]
    names: tuple[str, ...]

    def offsets_at(self, apart: float) -> dict[str, Vector]:
        """Give every piece's offset in mm when the pump is `apart` from 0 (together) to 1 (all steps done)."""
        offsets = {name: np.zeros(3) for name in self.names}
        for number, moves in enumerate(self.steps):
            share = min(max(apart * len(self.steps) - number, 0.0), 1.0)
            if share > 0.0:
                for move in moves:
                    for name in move.along:
                        offsets[name] = offsets[name] + move.shift * share
        return offsets


@dataclass(slots=True)
class _Group:
    """What one removal moved: the piece, its ride, and later removals out of it."""

    piece: str
    step: int
    members: frozenset[str]
    direction: Vector
    inner: list[_Group]


def make_layout(order: Order, blocking: Blocking) -> Layout:
    """Lay out an order: one set of moves for each of its steps."""
    number = {name: i for i, name in enumerate(blocking.names)}
    groups = [
        _Group(taken.piece, i, taken.along, taken.direction.vector, [])
        for i, step in enumerate(order.steps)
        for taken in step.taken
    ]
    roots: list[_Group] = []
    for i, group in enumerate(groups):
        owner = next(
            (
                one
                for one in reversed(groups[:i])
                if group.piece in one.members and one.piece != group.piece
            ),
            None,
        )
        (owner.inner if owner else roots).append(group)
    shifts: dict[str, Vector] = {}
    _spread(roots, {}, blocking, number, shifts)
    steps = [
        [Move(g.piece, g.members, shifts[g.piece]) for g in groups if g.step == i]
        for i in range(len(order.steps))
    ]
    return Layout(tuple(tuple(moves) for moves in steps), blocking.names)


Boxes = dict[str, tuple[Vector, Vector]]


def _spread(
    groups: list[_Group],
    placed: Boxes,
    blocking: Blocking,
    number: Mapping[str, int],
    shifts: dict[str, Vector],
) -> Boxes:
    """Place groups, last removed first, each just past the boxes it would pass over; return all boxes.

    Groups of one step are moved by the largest distance that any of them needs, so that a set of
    bolts stays in line.
    """
    steps: dict[int, list[tuple[_Group, Boxes]]] = {}
    for group in groups:
        i = number[group.piece]
        own: Boxes = {group.piece: (blocking.low[i].astype(float), blocking.high[i].astype(float))}
        steps.setdefault(group.step, []).append(
            (group, _spread(group.inner, own, blocking, number, shifts))
        )
    for step in sorted(steps, reverse=True):
        together = steps[step]
        far = 0.0
        if not _is_set(together):
            for group, boxes in together:
                shifts[group.piece] = group.direction * _clear_mm(boxes, placed, group.direction)
                placed = placed | _shift(boxes, shifts[group.piece])
            continue
        far = max(_clear_mm(boxes, placed, group.direction) for group, boxes in together)
        for group, boxes in together:
            shifts[group.piece] = group.direction * far
            placed = placed | _shift(boxes, shifts[group.piece])
    return placed


def _is_set(together: list[tuple[_Group, Boxes]]) -> bool:
    """Pieces of a step move as one when they lie side by side (bolts on a circle), not on top of each other (shims)."""
    axis = int(np.argmax(np.abs(together[0][0].direction)))
    across = [k for k in range(3) if k != axis]
    boxes = [box for _, of in together for box in of.values()]
    return not any(_overlap(a, b, across) for i, a in enumerate(boxes) for b in boxes[:i])


def _shift(boxes: Boxes, move: Vector) -> Boxes:
    return {name: (low + move, high + move) for name, (low, high) in boxes.items()}


def _overlap(a: tuple[Vector, Vector], b: tuple[Vector, Vector], axes: list[int]) -> bool:
    return all(a[0][k] < b[1][k] and b[0][k] < a[1][k] for k in axes)


def _clear_mm(boxes: Boxes, placed: Boxes, direction: Vector) -> float:
    """Find the least distance along `direction` at which no box overlaps a placed one that it faces sideways."""
    axis = int(np.argmax(np.abs(direction)))
    sign = float(direction[axis])
    across = [k for k in range(3) if k != axis]
    far = 0.0
    for low, high in boxes.values():
        for other_low, other_high in placed.values():
            if _overlap((low, high), (other_low, other_high), across):
                need = other_high[axis] - low[axis] if sign > 0 else high[axis] - other_low[axis]
                far = max(far, need + AIR_MM)
    return far
