"""Mark orders by the rules in plain sets and loops: the reference for how fast marking is.

What a person would write first: lots are sets of names, the table is a dictionary, and every question
is asked anew. It shares nothing with State.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from models.spec.assembly import Assembly, Hold
from models.spec.joint import JointKind
from trainer.core.order.blocking import Blocking
from trainer.core.order.directions import Direction

Second = tuple[Direction, float, frozenset[str]]
"""A way out by two moves: the first, its length in mm, and who bars the second."""


@dataclass(frozen=True)
class Rules:
    """An assembly and its table, in names.

    met: (direction, piece) to whom it meets after what travel. tried: (direction, piece) that are
    tried. seconds: ways out by two moves of each piece. bulk: of two alike, the earlier is the main one.
    """

    assembly: Assembly
    directions: tuple[Direction, ...]
    met: dict[tuple[Direction, str], dict[str, float]]
    tried: set[tuple[Direction, str]]
    seconds: dict[str, list[Second]]
    bulk: dict[str, tuple[float, int]]

    @classmethod
    def of(cls, assembly: Assembly, blocking: Blocking) -> Rules:
        """Write a table as names."""
        names, ways = blocking.names, blocking.directions
        met = {
            (way, name): {
                names[b]: float(blocking.travel_mm[d, a, b])
                for b in np.flatnonzero(np.isfinite(blocking.travel_mm[d, a]))
            }
            for d, way in enumerate(ways)
            for a, name in enumerate(names)
        }
        asked = blocking.asked
        tried = {
            key for key in met if asked is None or asked[ways.index(key[0]), names.index(key[1])]
        }
        seconds: dict[str, list[Second]] = {}
        rows = blocking.asides
        for head, first, draw_mm, bars in zip(
            rows.head, rows.first, rows.draw_mm, rows.bars, strict=True
        ):
            barred = frozenset(names[i] for i in np.flatnonzero(bars))
            seconds.setdefault(names[head], []).append((ways[first], float(draw_mm), barred))
        size = (blocking.high - blocking.low).astype(float).prod(axis=1)
        bulk = {name: (float(size[i]), -i) for i, name in enumerate(names)}
        return cls(assembly, ways, met, tried, seconds, bulk)


@dataclass
class Replay:
    """What still lies together, and what has been taken off by itself."""

    rules: Rules
    lots: list[set[str]] = field(default_factory=list)
    freed: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.lots = self.lots or [{piece.name for piece in self.rules.assembly.pieces}]

    def lot(self, piece: str) -> set[str]:
        return next(lot for lot in self.lots if piece in lot)

    def with_riders(self, moving: set[str]) -> set[str]:
        lot = self.lot(next(iter(moving)))
        while more := {
            carry.carried
            for carry in self.rules.assembly.carries
            if carry.carrier in moving and carry.carried in lot - moving - self.freed
        }:
            moving = moving | more
        return moving

    def find_holding(self, moving: set[str]) -> list[Hold]:
        lot = self.lot(next(iter(moving)))
        return [
            hold
            for hold in self.rules.assembly.holds
            if hold.present <= lot and hold.members & moving and (hold.members & lot) - moving
        ]

    def can_leave(self, piece: str, moving: set[str]) -> bool:
        rules, rest = self.rules, self.lot(piece) - moving
        if rules.assembly.by_name[piece].flexible:
            rest -= {carry.carrier for carry in rules.assembly.carries if carry.carried == piece}
        for way in rules.directions:
            is_tried = all((way, one) in rules.tried for one in moving)
            if is_tried and not any(rules.met[way, one].keys() & rest for one in moving):
                return True
        return moving <= self.with_every_rider(piece) and any(
            self.can_go_aside(second, moving, rest) for second in rules.seconds.get(piece, ())
        )

    def can_go_aside(self, second: Second, moving: set[str], rest: set[str]) -> bool:
        first, draw_mm, barred = second
        met = self.rules.met
        return not barred & rest and not any(
            met[first, one].get(other, math.inf) <= draw_mm for one in moving for other in rest
        )

    def with_every_rider(self, piece: str) -> set[str]:
        found = {piece}
        while (
            more := {
                carry.carried for carry in self.rules.assembly.carries if carry.carrier in found
            }
            - found
        ):
            found |= more
        return found

    def find_unit(self, moving: set[str], way: Direction) -> set[str]:
        lot = self.lot(next(iter(moving)))
        while True:
            tied = set[str]()
            for hold in self.rules.assembly.holds:
                if hold.members & moving and hold.present <= lot:
                    bolts = hold.present if hold.kind is JointKind.BOLTED else frozenset[str]()
                    tied |= (hold.members | bolts) & lot
            pushed = {b for a in moving for b in self.rules.met[way, a].keys() & (lot - moving)}
            grown = self.with_riders(moving | tied | pushed)
            if grown == moving:
                return moving
            moving = grown

    def take(self, piece: str) -> bool:
        """Take a piece off if it can come off."""
        moving = self.with_riders({piece})
        holding = self.find_holding(moving)
        if holding:
            if any(hold.kind is not JointKind.BOLTED for hold in holding):
                return False
            units = [
                unit
                for way in self.rules.directions
                if (unit := self.find_unit(moving, way)) != self.lot(piece)
                and all((way, one) in self.rules.tried for one in unit)
                and max(unit, key=self.rules.bulk.__getitem__) == piece
            ]
            if not units:
                return False
            moving = min(units, key=lambda unit: (self.loosens(unit), len(unit)))
        if not self.can_leave(piece, moving):
            return False
        self.part(piece, moving)
        return True

    def part(self, piece: str, moving: Iterable[str]) -> None:
        self.lot(piece).difference_update(moving)
        self.lots = [lot for lot in self.lots if lot] + [set(moving)]
        self.freed.add(piece)

    def loosens(self, unit: set[str]) -> bool:
        lot = self.lot(next(iter(unit)))
        return any(
            self.is_loose(one, part) and not self.is_loose(one, lot)
            for part in (unit, lot - unit)
            for one in part
        )

    def is_loose(self, piece: str, lot: set[str]) -> bool:
        assembly = self.rules.assembly
        if any(one.carried == piece and one.carrier in lot for one in assembly.carries):
            return False
        if any(
            piece in hold.present - hold.members and hold.members | hold.present <= lot
            for hold in assembly.holds
        ):
            return False
        alone = Replay(self.rules, [set(lot)], set(self.freed))
        moving = alone.with_riders({piece})
        return not alone.find_holding(moving) and alone.can_leave(piece, moving)


def find_refused(rules: Rules, order: Sequence[str]) -> list[str]:
    """Replay an order: name the pieces refused when asked; they wait, and come off by themselves."""
    replay, waiting, refused = Replay(rules), list[str](), list[str]()
    for piece in order:
        if not replay.take(piece):
            refused.append(piece)
            waiting.append(piece)
        while came := [name for name in waiting if replay.take(name)]:
            waiting = [name for name in waiting if name not in came]
    return refused
