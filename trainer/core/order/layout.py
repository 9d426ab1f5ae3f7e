"""Exploded layout: every part stands on the line along which it left what it sat on, clear of all others in the picture.

Each removal of an order becomes a group: a piece with all that rides on it. What was stripped out of
a group later lies inside it: a sub-assembly is first opened by itself and then placed as one. A group
has a support, the piece that it bore on when it left, and goes along when that moves on. Groups are
strung up from what stays, each behind all that it sat on or in, just far enough that the outlines leave
clear air in the picture; outlines that do not meet cannot hide each other, and bodies whose outlines
do not meet cannot overlap.
Method: after Li, Agrawala, Curless and Salesin, "Automated generation of interactive 3D exploded
view diagrams", SIGGRAPH 2008 (explosion graph, sub-assemblies, parts kept beside what they leave); the
blocking relations after Wilson and Latombe, "Geometric reasoning about mechanical assembly", 1994.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly
from trainer.core.order.blocking import Blocking
from trainer.core.order.directions import Direction
from trainer.core.order.sight import Outlines, Sight, find_sight
from trainer.core.order.teardown import Order

AIR_SHARE = 0.012
"""Free space between outlines, as a share of the assembly's own size."""
AIR_STEP = 1.5
"""The size that counts for the air is the nearest power of this, so that a little more height moves nothing."""
SAME_LINE = 0.999
ASIDE_MM = 1e-6

Vector = npt.NDArray[np.float64]
Numbers = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Move:
    """A piece leaves by `shift` (3,) mm, with all that rides on it."""

    piece: str
    along: frozenset[str]
    shift: Vector


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """Where every piece stands after each step of an order.

    stations: (steps + 1, pieces, 3) mm from home; what has left makes way for what leaves later.
    steps: what leaves in each step. supports: by piece, the one that it sat on when it left.
    sight: from where nothing hides anything once all is apart.
    """

    names: tuple[str, ...]
    stations: Vector
    steps: tuple[tuple[Move, ...], ...]
    supports: Mapping[str, str]
    sight: Sight

    def offsets_at(self, apart: float) -> dict[str, Vector]:
        """Give every piece's offset in mm when the pump is `apart` from 0 (together) to 1 (all steps done)."""
        at = min(max(apart, 0.0), 1.0) * len(self.steps)
        before = min(int(at), max(len(self.steps) - 1, 0))
        after = min(before + 1, len(self.steps))
        share = at - before
        there = self.stations[before] * (1.0 - share) + self.stations[after] * share
        return dict(zip(self.names, there, strict=True))

    def seats_at(self, apart: float) -> dict[str, Vector]:
        """Give by piece how far from home its seat stands now, in mm: where a leader to it begins."""
        offsets = self.offsets_at(apart)
        return {name: offsets[support] for name, support in self.supports.items()}


@dataclass(slots=True, eq=False)
class _Group:
    """What one removal moved: the piece, its ride, and later removals out of it.

    rest: what stayed. behind: what of that it sat on or in. support: the one it bore on.
    """

    piece: str
    step: int
    members: frozenset[str]
    direction: Direction
    inner: list[_Group] = field(default_factory=list)
    rest: frozenset[str] = frozenset()
    behind: frozenset[str] = frozenset()
    support: str = ""


Unit: TypeAlias = tuple[_Group, ...]
"""Groups that are moved by the same distance."""


def make_layout(order: Order, blocking: Blocking, assembly: Assembly | None = None) -> Layout:
    """Lay out an order: one set of moves for each of its steps.

    Args:
        order: what leaves when, and which way.
        blocking: who is in whose way.
        assembly: the pieces, for their true outlines; without it they are taken for their boxes.
    """
    groups = [
        _Group(taken.piece, i, taken.along, taken.direction)
        for i, step in enumerate(order.steps)
        for taken in step.taken
    ]
    sight = find_sight([group.direction.vector for group in groups])
    roots = _nest(groups, frozenset(blocking.names))
    outlines = Outlines(sight, list(_find_clouds(blocking, assembly)))
    hanging = _Hanging(blocking, outlines, len(order.steps))
    for group in groups:
        group.behind = hanging.find_behind(group)
        group.support = hanging.find_support(group)
    hanging.hang(roots, frozenset(blocking.names))
    stations = hanging.stations
    steps: list[tuple[Move, ...]] = []
    for i, step in enumerate(order.steps):
        shifts = dict(zip(blocking.names, stations[i + 1] - stations[i], strict=True))
        steps.append(tuple(Move(one.piece, one.along, shifts[one.piece]) for one in step.taken))
    supports = {group.piece: group.support for group in groups if group.support}
    return Layout(blocking.names, stations, tuple(steps), supports, sight)


def _find_clouds(
    blocking: Blocking, assembly: Assembly | None
) -> Iterator[npt.NDArray[np.floating]]:
    """Find the points (n, 3) that say how far each piece reaches."""
    for number, name in enumerate(blocking.names):
        if assembly is not None:
            yield assembly.by_name[name].mesh.points
        else:
            ends = np.stack([blocking.low[number], blocking.high[number]]).astype(np.float64)
            yield np.array(
                [[ends[i, 0], ends[j, 1], ends[k, 2]] for i, j, k in np.ndindex(2, 2, 2)]
            )


def _nest(groups: Sequence[_Group], names: frozenset[str]) -> list[_Group]:
    """Hang each group under the one that it was stripped out of, and note what it left behind there."""
    roots: list[_Group] = []
    lying: dict[str, frozenset[str]] = {"": names}
    for i, group in enumerate(groups):
        owner = next((one for one in reversed(groups[:i]) if group.piece in one.members), None)
        (owner.inner if owner else roots).append(group)
        key = owner.piece if owner else ""
        lying[key] = group.rest = lying[key] - group.members
        lying[group.piece] = group.members
    return roots


class _Hanging:
    """Hang groups up one by one; `stations` (steps + 1, n, 3) mm says where every piece stands after each step."""

    def __init__(self, blocking: Blocking, outlines: Outlines, steps: int) -> None:
        self._blocking, self._outlines = blocking, outlines
        self._number = {name: i for i, name in enumerate(blocking.names)}
        self._air_mm = find_air_mm(
            float(np.linalg.norm(blocking.high.max(axis=0) - blocking.low.min(axis=0)))
        )
        self.stations = np.zeros((steps + 1, len(blocking.names), 3))

    # ------------------------------------------------------------------ what sits on what
    def find_support(self, group: _Group) -> str:
        """Find the piece of the rest that a group sits on or in, against its way; "" where there is none."""
        rest = self._find(group.behind)
        if not len(rest):
            return ""
        back = self._blocking.directions.index(group.direction.back)
        travel_mm = self._blocking.travel_mm[back, self._number[group.piece], rest]
        # Of several that it bears on, the outermost: a screw's head sits on the cover, not on the body.
        way = group.direction.vector
        ends = np.stack([self._blocking.low[rest] * way, self._blocking.high[rest] * way])
        reach_mm = ends.max(axis=0).sum(axis=1)
        nearest = int(np.lexsort((-reach_mm, np.round(travel_mm, 1)))[0])
        return self._blocking.names[int(rest[nearest])]

    def _find(self, names: Iterable[str]) -> Numbers:
        return np.array(sorted(self._number[name] for name in names), np.intp)

    def find_behind(self, group: _Group) -> frozenset[str]:
        """Find the pieces of the rest that a group must stand clear of: what it sits on, and what it sits in."""
        rest, own = self._find(group.rest), self._find(group.members)
        table = self._blocking
        back = table.directions.index(group.direction.back)
        sits_on = np.isfinite(table.travel_mm[back][np.ix_(own, rest)]).any(axis=0)
        apart = (table.low[own][:, None] >= table.high[rest]) | (
            table.high[own][:, None] <= table.low[rest]
        )
        found = rest[sits_on | ~apart.any(axis=2).all(axis=0)]
        return frozenset(self._blocking.names[i] for i in found)

    # ------------------------------------------------------------------ how they are strung up
    def hang(self, groups: Sequence[_Group], inside: frozenset[str]) -> None:
        """Hang up the groups of one level, each opened first; `inside` are all pieces of the level."""
        for group in groups:
            self.hang(group.inner, group.members)
        gone = frozenset[str]().union(*(group.members for group in groups))
        placed = inside - gone
        waiting = self._rank(groups)
        while waiting:
            # What leaves last sits on nothing that is still to be placed, so one is found every time.
            unit = next(
                one for one in waiting if all(group.behind <= placed | _name(one) for group in one)
            )
            waiting.remove(unit)
            self._place(unit, placed)
            placed |= _name(unit)

    def _rank(self, groups: Sequence[_Group]) -> list[Unit]:
        """Rank units: along the commonest line first, and there as they sit, so that nuts stay by their flange."""
        units = [tuple(unit) for _, unit in itertools.groupby(groups, lambda group: group.step)]
        middle = (self._blocking.low + self._blocking.high).astype(np.float64) / 2.0

        def rank(unit: Unit) -> tuple[int, float]:
            way = unit[0].direction.vector
            alike = sum(abs(float(one[0].direction.vector @ way)) > SAME_LINE for one in units)
            own = [self._number[group.piece] for group in unit]
            return -alike, float((middle[own] @ way).mean())

        return sorted(units, key=rank)

    def _place(self, unit: Unit, placed: frozenset[str]) -> None:
        """Let a unit go aside with its supports, and then just clear of all that is placed.

        Pieces that lie side by side (bolts on a circle) go equally far; those on top of each other
        (shims) one after the other.
        """
        for group in unit:
            self._go_aside(group)
        is_set = all(
            np.isinf(self._meet(a, b.members, 0.0)).all()
            for a, b in itertools.combinations(unit, 2)
        )
        for together in [unit] if is_set else [(group,) for group in reversed(unit)]:
            pushed_mm = np.max(
                [self._find_push(group, group.behind & placed) for group in together], axis=0
            )
            meetings = [self._meet(group, placed, self._air_mm) for group in together]
            flat = np.concatenate([meeting.reshape(-1, 2) for meeting in meetings])
            # Where others are in its place at the end it goes on a little, all along.
            more_mm = _find_gap(flat, float(pushed_mm[-1])) - pushed_mm[-1]
            for group in together:
                own = self._find(group.members)
                far_mm = np.where(np.arange(len(pushed_mm)) > group.step, pushed_mm + more_mm, 0.0)
                self.stations[:, own] += (far_mm[:, None] * group.direction.vector)[:, None]
            placed |= _name(together)

    def _go_aside(self, group: _Group) -> None:
        """Follow the support wherever it goes, unless it stays on the line by which the group leaves."""
        if group.support:
            way = group.direction.vector
            moved = self.stations[:, self._number[group.support]]
            if np.abs(moved - (moved @ way)[:, None] * way).max() > ASIDE_MM:
                self.stations[:, self._find(group.members)] += moved[:, None]

    def _find_push(self, group: _Group, names: frozenset[str]) -> Vector:
        """Find how far a group must be after each step, (steps + 1,) mm, to be clear of pieces behind it."""
        others, way = self._find(names), group.direction.vector
        leave_mm = self._meet(group, names, self._air_mm)[:, :, 1].max(axis=0, initial=-np.inf)
        ahead_mm = self.stations[:, others] @ way
        ahead_mm -= (self.stations[:, self._number[group.piece]] @ way)[:, None]
        # What is behind it stood this much nearer before it was where it is at the end.
        push_mm = leave_mm + ahead_mm - ahead_mm[-1]
        return np.asarray(push_mm.max(axis=1, initial=0.0))

    def _meet(self, group: _Group, names: frozenset[str], air_mm: float) -> Vector:
        """Find at which travels (own, others, 2) mm of a group outlines meet others where they stand at the end."""
        own, others = self._find(group.members), self._find(names)
        there = self.stations[-1]
        return self._outlines.find_meetings(
            (own, there[own]), (others, there[others]), group.direction.vector, air_mm
        )


def find_air_mm(size_mm: float) -> float:
    """Find the free space between outlines for an assembly of this size: the same for sizes that differ little."""
    if size_mm <= 0.0:
        return 0.0
    return float(AIR_SHARE * AIR_STEP ** round(math.log(size_mm, AIR_STEP)))


def _name(unit: Unit) -> frozenset[str]:
    return frozenset[str]().union(*(group.members for group in unit))


def _find_gap(meetings: Vector, from_mm: float) -> float:
    """Find the least travel from `from_mm` on that lies in none of the meetings (m, 2)."""
    while True:
        inside = meetings[(meetings[:, 0] < from_mm) & (meetings[:, 1] > from_mm), 1]
        if not len(inside):
            return from_mm
        from_mm = float(inside.max())
