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

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly
from trainer.core.order.blocking import Blocking
from trainer.core.order.hanging import Hanging
from trainer.core.order.seating import Group, Seating, nest_groups
from trainer.core.order.sight import Sight, Vector, find_sight
from trainer.core.order.teardown import Order


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


def make_layout(order: Order, blocking: Blocking, assembly: Assembly | None = None) -> Layout:
    """Lay out an order: one set of moves for each of its steps.

    Args:
        order: what leaves when, and which way.
        blocking: who is in whose way.
        assembly: the pieces, for their true outlines; without it they are taken for their boxes.
    """
    groups = [
        Group(taken.piece, i, taken.along, taken.direction)
        for i, step in enumerate(order.steps)
        for taken in step.taken
    ]
    sight = find_sight([group.direction.vector for group in groups])
    roots = nest_groups(groups, frozenset(blocking.names))
    clouds = list(_find_clouds(blocking, assembly))
    seating = Seating(blocking)
    carriers: dict[str, set[str]] = {}
    for carry in assembly.carries if assembly else ():
        carriers.setdefault(carry.carried, set()).add(carry.carrier)
    ways: dict[str, Vector] = {}
    for group in reversed(groups):
        group.behind, group.support = seating.find_seat(group, ways, carriers.get(group.piece, ()))
        ways |= dict.fromkeys(group.members, group.direction.vector)
    hanging = Hanging(blocking, sight, clouds, len(order.steps))
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
