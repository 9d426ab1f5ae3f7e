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
from trainer.core.order.sight import (
    Hulls,
    Numbers,
    Sight,
    Vector,
    find_hull_ways,
    find_outline_ways,
    find_sight,
)
from trainer.core.order.teardown import Order

AIR_SHARE = 0.012
"""Free space between outlines, as a share of the assembly's own size."""
AIR_STEP = 1.5
"""The size that counts for the air is the nearest power of this, so that a little more height moves nothing."""
SAME_LINE = 0.999
ASIDE_MM = 1e-6
STAYS = np.zeros(3)
BEARS_MM = 1.0
"""A piece that could go back no farther than this bears on what stops it."""


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
    clouds = list(_find_clouds(blocking, assembly))
    hanging = _Hanging(blocking, sight, clouds, len(order.steps))
    carriers: dict[str, set[str]] = {}
    for carry in assembly.carries if assembly else ():
        carriers.setdefault(carry.carried, set()).add(carry.carrier)
    ways: dict[str, Vector] = {}
    for group in reversed(groups):
        group.behind, group.support = hanging.find_seat(group, ways, carriers.get(group.piece, ()))
        ways |= dict.fromkeys(group.members, group.direction.vector)
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
        self._bulk = (blocking.high - blocking.low).prod(axis=1)
        self._air_mm = find_air_mm(
            float(np.linalg.norm(blocking.high.max(axis=0) - blocking.low.min(axis=0)))
        )
        self.stations = np.zeros((steps + 1, len(blocking.names), 3))

    # ------------------------------------------------------------------ what sits on what
    def find_seat(
        self, group: _Group, ways: Mapping[str, Vector], carriers: Iterable[str]
    ) -> tuple[frozenset[str], str]:
        """Find what a group must stand clear of in its line, and of that the piece which it sits on or in.

        Args:
            group: what leaves.
            ways: by piece, the unit vector (3,) along which it leaves after the group.
            carriers: pieces that carry it.

        Returns:
            Names of what it sits on or in, meets behind it, or is carried by; and the support, "" where there is none.
        """
        rest, own = self._find(group.rest), self._find(group.members)
        table = self._blocking
        back = table.directions.index(group.direction.back)
        lots_mm = table.travel_mm[back][np.ix_(own, rest)].min(axis=0, initial=np.inf)
        travel_mm = table.travel_mm[back, self._number[group.piece], rest]
        apart = (table.low[own][:, None] >= table.high[rest]) | (
            table.high[own][:, None] <= table.low[rest]
        )
        is_in = ~apart.any(axis=2).all(axis=0)
        bears = travel_mm <= BEARS_MM
        carried = np.isin(rest, self._find(group.rest.intersection(carriers)))
        # Of what is far behind only that need be heeded which leaves the same way later.
        to = np.array([ways.get(table.names[number], STAYS) for number in rest]).reshape(-1, 3)
        follows = to @ group.direction.vector > SAME_LINE
        is_behind = is_in | (lots_mm <= BEARS_MM) | carried | (np.isfinite(lots_mm) & follows)
        behind = frozenset(table.names[number] for number in rest[is_behind])
        if not behind:
            return behind, ""
        # First what it bears on, then what it sits in, then what it would meet farther back.
        near_mm = np.where(
            bears, np.round(travel_mm, 1), np.where(is_in | carried, BEARS_MM, travel_mm)
        )
        # Of several that it bears on, the outermost: a screw's head sits on the cover, not on the body.
        way = group.direction.vector
        reach_mm = np.maximum(table.low[rest] * way, table.high[rest] * way).sum(axis=1)
        # Of several that it sits in, the bulkiest: a gland sits in its frame, not on its oil line.
        worth = np.where(bears, reach_mm, self._bulk[rest])
        first = np.lexsort((-worth, ~bears, near_mm))
        return behind, table.names[int(next(rest[i] for i in first if is_behind[i]))]

    def _find(self, names: Iterable[str]) -> Numbers:
        return np.array(sorted(self._number[name] for name in names), np.intp)

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
            for together in self._part(unit):
                self._place(together, placed, list(itertools.chain.from_iterable(waiting)))
                placed |= _name(together)

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

    def _part(self, unit: Unit) -> Iterator[Unit]:
        """Part a unit into what goes equally far, each let go aside with its supports first.

        Pieces that lie side by side (bolts on a circle) go equally far; those on top of each other
        (shims) one after the other, from the one that sits on what stays.
        """
        inner = _name(unit)
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

    def _go_aside(self, group: _Group) -> None:
        """Follow the support wherever it goes, unless it stays on the line by which the group leaves."""
        if group.support:
            way = group.direction.vector
            moved = self.stations[:, self._number[group.support]]
            if np.abs(moved - (moved @ way)[:, None] * way).max() > ASIDE_MM:
                self.stations[:, self._find(group.members)] += moved[:, None]

    def _place(self, together: Unit, placed: frozenset[str], later: Sequence[_Group]) -> None:
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

    def _find_push(self, group: _Group, names: frozenset[str], steps: Numbers) -> Vector:
        """Find how far a group must be after each of the steps, (s,) mm, to be clear of pieces behind it."""
        meetings = self._meet(self._outlines, group, names, steps, self._air_mm)
        return np.asarray(meetings[..., 1].max(axis=(1, 2), initial=0.0))

    def _find_bars(
        self, group: _Group, placed: frozenset[str], later: Sequence[_Group], steps: Numbers
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
        self, hulls: Hulls, group: _Group, names: Iterable[str], steps: Numbers, air_mm: float = 0.0
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


def find_air_mm(size_mm: float) -> float:
    """Find the free space between outlines for an assembly of this size: the same for sizes that differ little."""
    if size_mm <= 0.0:
        return 0.0
    return float(AIR_SHARE * AIR_STEP ** round(math.log(size_mm, AIR_STEP)))


def _name(unit: Unit) -> frozenset[str]:
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
