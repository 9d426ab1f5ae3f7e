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
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly
from trainer.core.order.blocking import Blocking
from trainer.core.order.directions import Direction
from trainer.core.order.sight import Outlines, Sight, find_sight, make_sight
from trainer.core.order.teardown import Order

AIR_SHARE = 0.012
"""Free space between outlines, as a share of the assembly's own size."""
SAME_LINE = 0.999

Vector = npt.NDArray[np.float64]
Numbers = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Move:
    """A piece goes by `shift` (3,) mm, with all that rides on it and all that left it earlier."""

    piece: str
    along: frozenset[str]
    shift: Vector


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """The moves of each step of an order, step by step.

    supports: by piece, the one that it sat on when it left. sight: from where nothing hides anything.
    """

    steps: tuple[tuple[Move, ...], ...]
    names: tuple[str, ...]
    supports: Mapping[str, str] = field(default_factory=dict)
    sight: Sight = field(default_factory=lambda: make_sight((-1.0, -1.0, 1.0)))

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

    def seats_at(self, apart: float) -> dict[str, Vector]:
        """Give by piece how far from home its seat stands now, in mm: where a leader to it begins."""
        offsets = self.offsets_at(apart)
        return {name: offsets[support] for name, support in self.supports.items()}


@dataclass(slots=True, eq=False)
class _Group:
    """What one removal moved: the piece, its ride, later removals out of it, and what it left behind."""

    piece: str
    step: int
    members: frozenset[str]
    direction: Direction
    inner: list[_Group] = field(default_factory=list)
    rest: frozenset[str] = frozenset()
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
    hanging = _Hanging(blocking, Outlines(sight, list(_find_clouds(blocking, assembly))))
    for group in groups:
        group.support = hanging.find_support(group)
    hanging.hang(roots, frozenset(blocking.names))
    steps = [
        tuple(
            Move(g.piece, frozenset(hanging.along[g]), hanging.shifts[g])
            for g in groups
            if g.step == i
        )
        for i in range(len(order.steps))
    ]
    supports = {group.piece: group.support for group in groups if group.support}
    return Layout(tuple(steps), blocking.names, supports, sight)


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
    """Hang groups up one by one; `offsets` (n, 3) mm says where every piece stands by now."""

    def __init__(self, blocking: Blocking, outlines: Outlines) -> None:
        self._blocking, self._outlines = blocking, outlines
        self._number = {name: i for i, name in enumerate(blocking.names)}
        self._air_mm = AIR_SHARE * float(
            np.linalg.norm(blocking.high.max(axis=0) - blocking.low.min(axis=0))
        )
        self._moved_by: dict[str, list[_Group]] = {name: [] for name in blocking.names}
        self.offsets = np.zeros((len(blocking.names), 3))
        self.shifts: dict[_Group, Vector] = {}
        self.along: dict[_Group, set[str]] = {}

    # ------------------------------------------------------------------ what sits on what
    def find_support(self, group: _Group) -> str:
        """Find the piece of the rest that a group sits on or in, against its way; "" where there is none."""
        rest = self._find(self._find_behind(group))
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

    def _find_behind(self, group: _Group) -> frozenset[str]:
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
        behind = {group: self._find_behind(group) for group in groups}
        waiting = self._rank(groups)
        while waiting:
            # What leaves last sits on nothing that is still to be placed, so one is found every time.
            unit = next(
                one for one in waiting if all(behind[g] <= placed | _name(one) for g in one)
            )
            waiting.remove(unit)
            self._place(unit, placed, behind)
            placed |= _name(unit)

    def _rank(self, groups: Sequence[_Group]) -> list[Unit]:
        """Rank units: along the commonest line first, and small before bulky, so that nuts stay by their flange."""
        units = [tuple(unit) for _, unit in itertools.groupby(groups, lambda group: group.step)]
        table = self._blocking
        bulk = (table.high - table.low).astype(np.float64).prod(axis=1)

        def rank(unit: Unit) -> tuple[int, float]:
            way = unit[0].direction.vector
            alike = sum(abs(float(one[0].direction.vector @ way)) > SAME_LINE for one in units)
            return -alike, float(bulk[self._find(_name(unit))].sum())

        return sorted(units, key=rank)

    def _place(
        self, unit: Unit, placed: frozenset[str], behind: Mapping[_Group, frozenset[str]]
    ) -> None:
        """Let a unit go along with what its support has done, and then just clear of all that is placed.

        Pieces that lie side by side (bolts on a circle) go equally far; those on top of each other
        (shims) one after the other.
        """
        for group in unit:
            self._follow(group)
        is_set = all(
            not len(self._meet(a, b.members, 0.0)) for a, b in itertools.combinations(unit, 2)
        )
        for together in [unit] if is_set else [(group,) for group in reversed(unit)]:
            far_mm = max(
                self._meet(group, behind[group] & placed, self._air_mm)[:, 1].max(initial=0.0)
                for group in together
            )
            meetings = [self._meet(group, placed, self._air_mm) for group in together]
            far_mm = _find_gap(np.concatenate(meetings), float(far_mm))
            for group in together:
                self._move(group, group.direction.vector * far_mm, group.members)
            placed |= _name(together)

    def _follow(self, group: _Group) -> None:
        """Go along with every move of the support but one the opposite way."""
        for move in self._moved_by[group.support] if group.support else ():
            way = self.shifts[move]
            if way @ group.direction.vector > -SAME_LINE * np.linalg.norm(way):
                self._move(move, way, group.members)

    def _move(self, group: _Group, shift: Vector, pieces: frozenset[str]) -> None:
        self.shifts[group] = shift
        self.along.setdefault(group, set()).update(pieces)
        self.offsets[self._find(pieces)] += shift
        for piece in pieces:
            self._moved_by[piece].append(group)

    def _meet(self, group: _Group, names: frozenset[str], air_mm: float) -> Vector:
        """Find at which travels (m, 2) mm of a group outlines meet others where they stand now."""
        own, others = self._find(group.members), self._find(names)
        return self._outlines.find_meetings(
            (own, self.offsets[own]),
            (others, self.offsets[others]),
            group.direction.vector,
            air_mm,
        )


def _name(unit: Unit) -> frozenset[str]:
    return frozenset[str]().union(*(group.members for group in unit))


def _find_gap(meetings: Vector, from_mm: float) -> float:
    """Find the least travel from `from_mm` on that lies in none of the meetings (m, 2)."""
    while True:
        inside = meetings[(meetings[:, 0] < from_mm) & (meetings[:, 1] > from_mm), 1]
        if not len(inside):
            return from_mm
        from_mm = float(inside.max())
