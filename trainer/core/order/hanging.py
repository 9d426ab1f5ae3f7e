"""String groups of pieces up from what stays, each behind all that it sat on or in, clear of all others in the picture."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from trainer.core.order.blocking import Blocking
from trainer.core.order.seating import SAME_LINE, Group
from trainer.core.order.sight import (
    Hulls,
    Numbers,
    Sight,
    Vector,
    find_hull_ways,
    find_outline_ways,
)

AIR_SHARE = 0.012
"""Free space between outlines, as a share of the assembly's own size."""
AIR_STEP = 1.5
"""The size that counts for the air is the nearest power of this, so that a little more height moves nothing."""
ASIDE_MM = 1e-6

Unit: TypeAlias = tuple[Group, ...]
"""Groups that are moved by the same distance."""


class Hanging:
    """Hang groups up one by one; `stations` (steps + 1, n, 3) mm says where every piece stands after each step."""

    def __init__(
        self,
        blocking: Blocking,
        sight: Sight,
        clouds: Sequence[npt.NDArray[np.floating]],
        steps: int,
    ) -> None:
        self._blocking = blocking
        self._outlines = Hulls(find_outline_ways(sight), clouds)
        self._bodies = Hulls(find_hull_ways(), clouds)
        self._number = {name: i for i, name in enumerate(blocking.names)}
        self._air_mm = find_air_mm(
            float(np.linalg.norm(blocking.high.max(axis=0) - blocking.low.min(axis=0)))
        )
        self.stations = np.zeros((steps + 1, len(blocking.names), 3))

    def hang(self, groups: Sequence[Group], inside: frozenset[str]) -> None:
        """Hang up the groups of one level, each opened first; `inside` are all pieces of the level."""
        for group in groups:
            self.hang(group.inner, group.members)
        gone = frozenset[str]().union(*(group.members for group in groups))
        placed = inside - gone
        waiting = self._rank(groups)
        while waiting:
            # What leaves last sits on nothing that is still to be placed, so one is found every time.
            unit = next(
                one
                for one in waiting
                if all(group.behind <= placed | _list_members(one) for group in one)
            )
            waiting.remove(unit)
            for together in self._part(unit):
                self._place(together, placed, list(itertools.chain.from_iterable(waiting)))
                placed |= _list_members(together)

    def _rank(self, groups: Sequence[Group]) -> list[Unit]:
        """Rank units: along the commonest line first, and there as they sit, so that nuts stay by their flange."""
        units = [tuple(unit) for _, unit in itertools.groupby(groups, lambda group: group.step)]
        middle = (self._blocking.low + self._blocking.high).astype(np.float64) / 2.0

        def rank(unit: Unit) -> tuple[int, float]:
            way = unit[0].direction.vector
            alike = sum(abs(float(one[0].direction.vector @ way)) > SAME_LINE for one in units)
            own = [self._number[group.piece] for group in unit]
            return -alike, float((middle[own] @ way).mean())

        return sorted(units, key=rank)

    def _part(self, unit: Unit) -> Iterator[Unit]:
        """Part a unit into what goes equally far, each let go aside with its supports first.

        Pieces that lie side by side (bolts on a circle) go equally far; those on top of each other
        (shims) one after the other, from the one that sits on what stays.
        """
        inner = _list_members(unit)
        if not any(group.support in inner for group in unit):
            for group in unit:
                self._go_aside(group)
            last = np.array([len(self.stations) - 1])
            pairs = itertools.combinations(unit, 2)
            if all(
                np.isinf(self._meet(self._outlines, a, b.members, last)).all() for a, b in pairs
            ):
                yield unit
            else:
                yield from ((group,) for group in reversed(unit))
            return
        for group in reversed(unit):
            self._go_aside(group)
            yield (group,)

    def _go_aside(self, group: Group) -> None:
        """Follow the support wherever it goes, unless it stays on the line by which the group leaves."""
        if group.support:
            way = group.direction.vector
            moved = self.stations[:, self._number[group.support]]
            if np.abs(moved - (moved @ way)[:, None] * way).max() > ASIDE_MM:
                self.stations[:, self._find(group.members)] += moved[:, None]

    def _place(self, together: Unit, placed: frozenset[str], later: Sequence[Group]) -> None:
        """Put groups clear of what they sat on after each step, and in the end clear of all that is placed.

        On the way the picture may hide them, but they never stand in one another: where something is in
        the way they wait before it.
        """
        steps = np.arange(together[0].step + 1, len(self.stations))
        wished_mm = np.max(
            [self._find_push(group, group.behind & placed, steps) for group in together], axis=0
        )
        flat = [
            self._meet(self._outlines, group, placed, steps[-1:], self._air_mm).reshape(-1, 2)
            for group in together
        ]
        # Where others are in its place at the end it goes on a little, all along.
        wished_mm += _find_gap(np.concatenate(flat), float(wished_mm[-1])) - wished_mm[-1]
        bars = np.concatenate(
            [self._find_bars(group, placed, later, steps) for group in together], axis=1
        )
        far_mm = np.zeros(len(self.stations))
        far_mm[steps] = [
            *(
                _find_free(bar, float(wish))
                for bar, wish in zip(bars[:-1], wished_mm, strict=False)
            ),
            wished_mm[-1],
        ]
        for group in together:
            self.stations[:, self._find(group.members)] += (
                far_mm[:, None] * group.direction.vector
            )[:, None]

    def _find_push(self, group: Group, names: frozenset[str], steps: Numbers) -> Vector:
        """Find how far a group must be after each of the steps, (s,) mm, to be clear of pieces behind it."""
        meetings = self._meet(self._outlines, group, names, steps, self._air_mm)
        return np.asarray(meetings[..., 1].max(axis=(1, 2), initial=0.0))

    def _find_bars(
        self, group: Group, placed: frozenset[str], later: Sequence[Group], steps: Numbers
    ) -> Vector:
        """Find at which travels (s, pairs, 2) mm a group would stand in another body after each of the steps.

        later: groups that are still to be placed; those that have not left yet stand at home.
        """
        until = dict.fromkeys(placed, len(self.stations))
        for other in later:
            if other.step > group.step:
                until |= dict.fromkeys(other.members, other.step)
        bars = self._meet(self._bodies, group, until, steps)
        there = np.array([until[self._blocking.names[number]] for number in self._find(until)])
        is_gone = np.broadcast_to(steps[:, None, None] > there, bars.shape[:3])
        bars[is_gone] = np.inf, -np.inf
        return bars.reshape(len(steps), -1, 2)

    def _meet(
        self, hulls: Hulls, group: Group, names: Iterable[str], steps: Numbers, air_mm: float = 0.0
    ) -> Vector:
        """Find at which travels (s, own, others, 2) mm a group meets others as all stand after each of the steps."""
        own, others = self._find(group.members), self._find(names)
        there = self.stations[steps]
        apart_mm = there[:, None, others] - there[:, own, None]
        # Most pairs stand as they stood after the step before, and are measured once.
        is_new = np.ones(apart_mm.shape[:3], bool)
        is_new[1:] = (np.abs(np.diff(apart_mm, axis=0)) > ASIDE_MM).any(axis=3)
        at, i, j = np.nonzero(is_new)
        found = hulls.find_meetings(
            own[i], others[j], apart_mm[at, i, j], group.direction.vector, air_mm
        )
        row = np.zeros(is_new.shape, np.intp)
        row[is_new] = np.arange(len(found))
        return np.asarray(found[np.maximum.accumulate(row, axis=0)])

    def _find(self, names: Iterable[str]) -> Numbers:
        return np.array(sorted(self._number[name] for name in names), np.intp)


def find_air_mm(size_mm: float) -> float:
    """Find the free space between outlines for an assembly of this size: the same for sizes that differ little."""
    if size_mm <= 0.0:
        return 0.0
    return float(AIR_SHARE * AIR_STEP ** round(math.log(size_mm, AIR_STEP)))


def _list_members(unit: Unit) -> frozenset[str]:
    return frozenset[str]().union(*(group.members for group in unit))


def _find_free(bars: Vector, wished_mm: float) -> float:
    """Find the travel nearest to the wished one that lies in no bar (m, 2): before it where that can be, else beyond."""
    free_mm = wished_mm
    while len(
        inside := bars[(bars[:, 0] < free_mm - ASIDE_MM) & (bars[:, 1] > free_mm + ASIDE_MM)]
    ):
        free_mm = float(inside[:, 0].min())
    return free_mm if free_mm > 0.0 or wished_mm <= 0.0 else _find_gap(bars, wished_mm)


def _find_gap(meetings: Vector, from_mm: float) -> float:
    """Find the least travel from `from_mm` on that lies in none of the meetings (m, 2)."""
    while True:
        inside = meetings[(meetings[:, 0] < from_mm) & (meetings[:, 1] > from_mm), 1]
        if not len(inside):
            return from_mm
        from_mm = float(inside.max())
