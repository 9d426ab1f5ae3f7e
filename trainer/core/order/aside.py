"""Second moves: a part drawn clear of its seat that cannot go straight on may still go aside.

A screw backs out of its hole and is then lifted past the foot behind it. How far it must be drawn comes
from the table (`clear_mm`); whether it can then leave sideways for good is asked of the solids, with the
part and what rides on it standing where the first move ends. Seen along the second move it is its
convex outline, so an answer can only err on the side of "barred".
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly
from trainer.core.order.directions import Direction, with_riders

AIR_MM = 0.5
"""Air in mm to leave on either side where the first move ends."""
LEVELS = 2
"""How many things ahead are tried as the one before which the first move stops, nearest first."""

Floats = npt.NDArray[np.float32]
Mask = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Asides:
    """Ways out by two moves, one a row.

    head (k,): the piece that is taken, with all that rides on it. first, then (k,): numbers of the
    directions of the two moves. draw_mm (k,): length of the first. bars (k, n): who bars the second.
    """

    head: npt.NDArray[np.int32] = field(default_factory=lambda: np.zeros(0, np.int32))
    first: npt.NDArray[np.int32] = field(default_factory=lambda: np.zeros(0, np.int32))
    then: npt.NDArray[np.int32] = field(default_factory=lambda: np.zeros(0, np.int32))
    draw_mm: Floats = field(default_factory=lambda: np.zeros(0, np.float32))
    bars: Mask = field(default_factory=lambda: np.zeros((0, 0), bool))


def find_asides(
    assembly: Assembly,
    directions: tuple[Direction, ...],
    asked: Mask,
    travel_mm: Floats,
    clear_mm: Floats,
) -> Asides:
    """Find every way out by two moves, for the tables of an assembly (see Blocking)."""
    around = _Around(assembly)
    number = {piece.name: i for i, piece in enumerate(assembly.pieces)}
    groups = [
        sorted(number[name] for name in with_riders(assembly, {piece.name}))
        for piece in assembly.pieces
    ]
    wanted = [
        (head, first, draw_mm)
        for head, group in enumerate(groups)
        for first, draw_mm in _find_first_moves(
            around, group, directions, asked, travel_mm, clear_mm
        )
    ]

    def find(one: tuple[int, int, float]) -> list[tuple[int, Mask]]:
        head, first, draw_mm = one
        return list(around.find_bars(groups[head], directions[first], draw_mm))

    with ThreadPoolExecutor(os.cpu_count()) as workers:  # the compiled loops let go of the lock
        found = workers.map(find, wanted)
        rows = [
            (*one, *second)
            for one, seconds in zip(wanted, found, strict=True)
            for second in seconds
        ]
    if not rows:
        return Asides()
    heads, firsts, draws, thens, bars_of = zip(*rows, strict=True)
    return Asides(
        np.array(heads, np.int32), np.array(firsts, np.int32), np.array(thens, np.int32),
        np.array(draws, np.float32), np.array(bars_of),
    )  # fmt: skip


def _find_first_moves(
    around: _Around,
    group: list[int],
    directions: tuple[Direction, ...],
    asked: Mask,
    travel_mm: Floats,
    clear_mm: Floats,
) -> Iterator[tuple[int, float]]:
    """Yield (number of a direction, how far to draw along it) for the first moves that are worth a second.

    What is met on the way of the draw bars it. If that alone includes all that bars some straight way,
    the straight way is open whenever this one is.
    """
    inside = np.isin(np.arange(len(around.points)), group)
    tried = [first for first in range(len(directions)) if asked[first][group].all()]
    ahead = {
        first: np.where(inside, np.inf, travel_mm[first][group].min(axis=0)) for first in tried
    }
    straight = [np.isfinite(ahead[first]) for first in tried]
    for first in tried:
        beside = np.where(inside, -np.inf, clear_mm[first][group].max(axis=0))
        length_mm = around.find_length_mm(group, directions[first])
        for draw_mm in _find_draws(ahead[first], beside, length_mm):
            met = ahead[first] <= draw_mm
            if not any((bars <= met).all() for bars in straight):
                yield first, draw_mm


def _find_draws(ahead_mm: Floats, beside_mm: Floats, length_mm: float) -> list[float]:
    """Find how far to draw before each of the nearest things ahead: past all that lies beside, or by its own length.

    The own length brings a screw out of a clearance hole, whose wall it never touches. What touches
    ahead is met at once and bars every draw; what is still beside where a draw ends keeps the part from
    going aside there, and is found when the second move is tried.
    """
    far = np.unique(ahead_mm[np.isfinite(ahead_mm) & (ahead_mm > 2 * AIR_MM)])
    draws: list[float] = []
    for stop in far[:LEVELS]:
        passed = beside_mm[(beside_mm > 0.0) & (beside_mm < stop - 2 * AIR_MM)]
        for draw in (*([float(passed.max())] if len(passed) else []), length_mm):
            if draw < stop - 2 * AIR_MM and draw + AIR_MM not in draws:
                draws.append(draw + AIR_MM)
    return draws


class _Around:
    """The solids seen along each axis, to ask what a displaced group meets sideways."""

    def __init__(self, assembly: Assembly) -> None:
        self.points = [piece.mesh.points.astype(np.float64) for piece in assembly.pieces]
        self.low = np.array([points.min(axis=0) for points in self.points])
        self.high = np.array([points.max(axis=0) for points in self.points])
        self._triangles = [piece.mesh.triangles for piece in assembly.pieces]
        self._bodies: dict[tuple[int, int], npt.NDArray[np.float64]] = {}

    def _body(self, piece: int, axis: int) -> npt.NDArray[np.float64]:
        """Give a piece's triangles (m, 3, 3) as (across, across, along) for an axis."""
        if (piece, axis) not in self._bodies:
            columns = [(axis + 1) % 3, (axis + 2) % 3, axis]
            flat = self.points[piece][:, columns]
            self._bodies[piece, axis] = np.ascontiguousarray(flat[self._triangles[piece]])
        return self._bodies[piece, axis]

    def find_length_mm(self, group: list[int], direction: Direction) -> float:
        """Find how long the box of a group is along a direction."""
        size = self.high[group].max(axis=0) - self.low[group].min(axis=0)
        return float(size @ np.abs(direction.vector))

    def find_bars(
        self, group: list[int], direction: Direction, draw_mm: float
    ) -> Iterator[tuple[int, Mask]]:
        """Yield (number of a second direction, who bars it) for a group drawn along `direction`."""
        from trainer.core.order import outline

        shift = direction.vector * draw_mm
        points = np.concatenate([self.points[i] for i in group]) + shift
        low, high = points.min(axis=0), points.max(axis=0)
        for axis in range(3):
            if abs(direction.vector[axis]) > 0.5:
                continue
            across = [(axis + 1) % 3, (axis + 2) % 3]
            seen = outline.make_outline(points[:, across])
            bars = np.zeros((2, len(self.points)), bool)
            apart = (self.low > high)[:, across] | (self.high < low)[:, across]
            for other in np.flatnonzero(~apart.any(axis=1)):
                if other not in group:
                    bars[:, other] = outline.find_ahead(
                        seen, (low[axis], high[axis]), self._body(int(other), axis)
                    )
            yield 2 * axis, bars[0]
            yield 2 * axis + 1, bars[1]
