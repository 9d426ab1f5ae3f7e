"""What each group of pieces sat on or in when it left: by that it is strung up in an exploded layout."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from trainer.core.order.blocking import Blocking
from trainer.core.order.directions import Direction
from trainer.core.order.sight import Numbers, Vector

SAME_LINE = 0.999
STAYS = np.zeros(3)
BEARS_MM = 1.0
"""A piece that could go back no farther than this bears on what stops it."""


@dataclass(slots=True, eq=False)
class Group:
    """What one removal moved: the piece, its ride, and later removals out of it.

    rest: what stayed. behind: what of that it sat on or in. support: the one it bore on.
    """

    piece: str
    step: int
    members: frozenset[str]
    direction: Direction
    inner: list[Group] = field(default_factory=list)
    rest: frozenset[str] = frozenset()
    behind: frozenset[str] = frozenset()
    support: str = ""


def nest_groups(groups: Sequence[Group], names: frozenset[str]) -> list[Group]:
    """Hang each group under the one that it was stripped out of, and note what it left behind there."""
    roots: list[Group] = []
    lying: dict[str, frozenset[str]] = {"": names}
    for i, group in enumerate(groups):
        owner = next((one for one in reversed(groups[:i]) if group.piece in one.members), None)
        (owner.inner if owner else roots).append(group)
        key = owner.piece if owner else ""
        lying[key] = group.rest = lying[key] - group.members
        lying[group.piece] = group.members
    return roots


class Seating:
    """Find what groups sat on, by what is in whose way."""

    def __init__(self, blocking: Blocking) -> None:
        self._blocking = blocking
        self._number = {name: i for i, name in enumerate(blocking.names)}
        self._bulk = (blocking.high - blocking.low).prod(axis=1)

    def find_seat(
        self, group: Group, ways: Mapping[str, Vector], carriers: Iterable[str]
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
