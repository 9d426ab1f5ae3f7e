"""A pump as it lies on the bench: which pieces are still together, and what can leave next.

A piece taken off takes along what it carries (pressed, threaded, keyed, sealed to it): cover and
wear ring lie together until the ring is pressed out. Such a heap of pieces that are still together
is a *lot*. Blocking and holding count within a lot only. Taking off a single
piece, with what rides on it, never adds a constraint, so replaying needs no backtracking. A unit
that leaves joined can: a mate that was free to leave with it may be held inside the unit's own lot
until its joint is undone at the bench.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from models.spec.assembly import Assembly, Hold
from trainer.core.order.blocking import REACH_MM, Blocking
from trainer.core.order.directions import Direction
from trainer.core.order.masks import Body, Masks, WayOut, find_masks


@dataclass(frozen=True, slots=True)
class Held:
    """A joint that still holds, and the fasteners or mates by which."""

    joint: str
    by: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Way:
    """One direction in which a piece was tried: who is in the way, nearest first, and the travel to contact in mm."""

    direction: Direction
    blocked_by: tuple[str, ...]
    travel_mm: float


@dataclass(frozen=True, slots=True)
class TakenOff:
    """A piece comes off: in which direction, with what along, with which tool.

    as_unit: a joint of it still holds, so it leaves together with what it is joined to.
    cautions: word keys of why the move, though possible, is wrong practice.
    aside: where it goes on once it is drawn clear, if it cannot go straight on.
    """

    piece: str
    direction: Direction
    along: frozenset[str]
    tool: str = ""
    as_unit: bool = False
    aside: Direction | None = None
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Refused:
    """A piece cannot come off: held by joints, or blocked in its best direction, or both.

    until: what would have freed it, the fewest (then the smallest) pieces that hold or bar it.
    """

    piece: str
    held: tuple[Held, ...]
    way: Way | None
    until: tuple[str, ...] = ()


Exit: TypeAlias = tuple[Body, int, WayOut, bool, bool]
"""The body that moves, what would bar the way it takes, that way, whether it leaves as a unit, and whether that leaves anything loose."""

LEAVES_LOOSE = "leaves-loose"
"""Caution: parting a unit from the rest leaves something loose that could fall. Computed, not declared."""


class State:
    """Hold what lies together; `take` changes it, `look` only asks.

    ways_out: the direction in which each piece comes off in the end, as far as that is known; a
    refusal is told along it.

    Raises KeyError from `look` and `take` for a piece the assembly does not have.
    """

    __slots__ = ("_freed", "_lot", "_lots", "masks", "off", "ways_out")

    def __init__(
        self,
        assembly: Assembly,
        blocking: Blocking,
        ways_out: Mapping[str, Direction] | None = None,
    ) -> None:
        self.masks: Masks = find_masks(assembly, blocking)
        self.ways_out = ways_out or {}
        self._lot = [0] * len(blocking.names)  # the number of the lot that each piece is in
        self._lots = [self.masks.all]
        self._freed = 0
        self.off: list[str] = []

    @property
    def assembly(self) -> Assembly:
        """The pieces, and what holds and carries them."""
        return self.masks.assembly

    @property
    def blocking(self) -> Blocking:
        """Who is in whose way."""
        return self.masks.blocking

    def copy(self) -> State:
        """Copy the state so that a question can be tried without changing it."""
        twin = object.__new__(State)
        twin.masks, twin.ways_out = self.masks, self.ways_out
        twin._lot, twin._lots = list(self._lot), list(self._lots)
        twin._freed, twin.off = self._freed, list(self.off)
        return twin

    @property
    def key(self) -> tuple[int, frozenset[int]]:
        """What tells this state from others: what has been taken off, and which pieces lie together."""
        return self._freed, frozenset(self._lots)

    def key_around(self, piece: str) -> tuple[int, int]:
        """What tells the lot of a piece from others: what lies in it, and what of that was taken off."""
        lot = self._lots[self._lot[self.masks.number[piece]]]
        return lot, self._freed & lot

    def are_together(self, one: str, other: str) -> bool:
        """Say whether two pieces lie in the same lot."""
        number = self.masks.number
        return self._lot[number[one]] == self._lot[number[other]]

    def lot_of(self, piece: str) -> frozenset[str]:
        """Name the pieces that lie together with this one, itself included."""
        return frozenset(self.masks.named(self._lots[self._lot[self.masks.number[piece]]]))

    def find(self, piece: str) -> TakenOff | None:
        """Say how a piece would come off now; None, without a reason, when it cannot."""
        number = self.masks.number[piece]
        found = self._find(number)
        return self._tell(number, found) if found else None

    def look(self, piece: str) -> TakenOff | Refused:
        """Say whether a piece can come off now, and how or why not.

        A piece that is still bolted to others may leave together with them, when that whole unit is
        free, something remains behind, and the piece is the main body by which the unit is named
        (the volute with its cover on it, back pull-out).
        """
        return self.find(piece) or self.refuse(piece)

    def take(self, piece: str) -> TakenOff | Refused:
        """Take a piece off if it can come off; the state changes only then."""
        return self.try_take(piece) or self.refuse(piece)

    def try_take(self, piece: str) -> TakenOff | None:
        """Take a piece off if it can come off; None, without a reason, when it cannot."""
        masks, number = self.masks, self.masks.number[piece]
        key = self._lots[self._lot[number]] & masks.near[number]
        known = masks.known[number].get(key)
        if known is None:
            found = self._find(number)
            if found is None:
                return None
            known = self._tell(number, found), found[0].mask
            if masks.alone[number] and not found[3]:
                masks.known[number][key] = known
        self._part(number, known[1])
        self.off.append(piece)
        return known[0]

    def remove(self, pieces: Iterable[str]) -> None:
        """Set pieces aside with what they carry, free or not: to ask what would be if they were gone."""
        for piece in pieces:
            number = self.masks.number[piece]
            self._part(number, self.masks.load(number, self._lots[self._lot[number]], self._freed))

    def _part(self, piece: int, moving: int) -> None:
        """Let what moves be a lot of its own."""
        self._lots[self._lot[piece]] &= ~moving
        new = len(self._lots)
        self._lots.append(moving)
        if moving & (moving - 1):
            for i in self.masks.numbers(moving):
                self._lot[i] = new
        else:
            self._lot[piece] = new
        self._freed |= 1 << piece

    def _find(self, piece: int) -> Exit | None:
        """Find how a piece comes off now; None when it cannot."""
        masks, lot = self.masks, self._lots[self._lot[piece]]
        body = masks.alone[piece] or masks.body(piece, masks.load(piece, lot, self._freed))
        held, loose = _is_held(body, lot), False
        if held:
            unit = self._unit(piece, body, lot)
            if unit is None:
                return None
            body, loose = masks.body(piece, unit[0]), unit[1]
        rest = lot & ~body.mask & ~masks.stretched[piece]
        for bars, way in body.ways:
            if not bars & rest:
                return body, bars, way, held, loose
        return None

    def _unit(self, piece: int, body: Body, lot: int) -> tuple[int, bool] | None:
        """Grow a held piece to the unit that it is the main body of, and say whether that leaves anything loose.

        A unit is all that joints tie together and all that this pushes along: back pull-out takes the
        shaft and the impeller with the bearing housing, though no bolt joins them. Of the ways to go, one
        that leaves nothing loose, then the one that takes least along. None when the piece heads none.
        """
        masks = self.masks
        if any(not present & ~lot and others & lot for present, others in body.unbolted):
            return None  # a clamped O-ring never is the main body
        key = piece, lot, self._freed & lot
        if key not in masks.units:
            units = [
                (self._loosens(unit, lot), unit) for unit in self._grow_units(piece, body.mask, lot)
            ]
            loose, unit = min(
                units, key=lambda one: (one[0], one[1].bit_count()), default=(False, 0)
            )
            masks.units[key] = (unit, loose) if unit else None
        return masks.units[key]

    def _grow_units(self, piece: int, moving: int, lot: int) -> Iterator[int]:
        """Yield, for each direction, the unit that would leave along it, if the piece is the bulkiest in it."""
        masks = self.masks
        for direction in range(len(self.blocking.directions)):
            unit, grown = 0, moving
            while unit != grown and not grown & masks.bulkier[piece]:
                added, unit = grown & ~unit, grown
                for i in masks.numbers(added):
                    grown |= masks.tied(i, lot)
                grown |= masks.met(direction, added) & lot
                grown = masks.grow(grown, lot, self._freed)
            own = np.fromiter(masks.numbers(unit), np.intp)
            if unit == grown != lot and masks.is_asked(direction, own):
                yield unit

    def _loosens(self, unit: int, lot: int) -> bool:
        """Say whether parting a unit from the rest of its lot leaves anything loose on either side that was not."""
        return any(
            self._is_loose(i, part) and not self._is_loose(i, lot)
            for part in (unit, lot & ~unit)
            for i in self.masks.numbers(part)
        )

    def _is_loose(self, piece: int, lot: int) -> bool:
        """Say whether nothing in a lot carries, holds or bars a piece, and it fastens nothing there."""
        masks = self.masks
        if any(lot >> masks.number[carry.carrier] & 1 for carry in masks.carriers[piece]):
            return False
        if any(lot & members == members for members in masks.fastens[piece]):
            return False
        body = masks.body(piece, masks.load(piece, lot, self._freed))
        rest = lot & ~body.mask
        return not _is_held(body, lot) and any(not bars & rest for bars, _ in body.ways)

    def _active(self, moving: int, lot: int) -> list[Hold]:
        """List the holds that keep something of `moving` on something that stays."""
        masks, found = self.masks, dict[Hold, None]()
        for i in sorted(masks.numbers(moving), key=masks.names.__getitem__):
            for hold in masks.holds[i]:
                present = masks.mask(hold.present)
                if present & ~lot == 0 and masks.mask(hold.members) & lot & ~moving:
                    found[hold] = None
        return list(found)

    def _tell(self, piece: int, found: Exit) -> TakenOff:
        """Tell how a piece comes off; the same answer is made once."""
        body, bars, _, _, loose = found
        near = self._lots[self._lot[piece]] & self.masks.told_by[piece]
        key = bars, near, loose
        told = body.told.get(key)
        if told is None:
            told = body.told[key] = self._make_told(piece, found)
        return told

    def _make_told(self, piece: int, found: Exit) -> TakenOff:
        body, _, way, as_unit, loose = found
        masks, stays = self.masks, self._lots[self._lot[piece]] & ~body.mask
        tools = (
            carry.tool
            for carry in masks.carriers[piece]
            if stays >> masks.number[carry.carrier] & 1
        )
        tool = "" if as_unit else next((tool for tool in tools if tool), "")
        cautions = tuple(reason for there, reason in masks.cautions[piece] if there & stays)
        return TakenOff(
            masks.names[piece],
            way.direction,
            frozenset(masks.named(body.mask)),
            tool,
            as_unit,
            way.aside,
            (*cautions, LEAVES_LOOSE) if loose else cautions,
        )

    def refuse(self, piece: str) -> Refused:
        """Tell why a piece that cannot come off now cannot."""
        masks, number = self.masks, self.masks.number[piece]
        lot = self._lots[self._lot[number]]
        body = masks.body(number, masks.load(number, lot, self._freed))
        found: dict[str, dict[str, None]] = {}
        holders = 0
        for hold in self._active(body.mask, lot):
            present = masks.mask(hold.present)
            outside = present & ~body.mask or present
            holders |= outside if len(hold.present) == 1 else outside & -outside
            for by in masks.named(outside):
                found.setdefault(hold.joint, {})[by] = None
        held = tuple(Held(joint, tuple(by)) for joint, by in found.items())
        rest = lot & ~body.mask & ~masks.stretched[number]
        natural = self.ways_out.get(piece)
        until, _ = min(
            ((bars & rest | holders, way) for bars, way in body.ways),
            key=lambda option: (
                option[0].bit_count(),
                option[1].direction != natural,
                sum(masks.bulk[i] for i in masks.numbers(option[0])),
            ),
        )
        way = self._best_way(piece, body.mask, lot)
        return Refused(piece, held, way, masks.named(until))

    def obstacles(self, piece: str) -> tuple[str, ...]:
        """Name everything whose going could help to free a piece.

        That is what holds it or bars any of its ways, the least barred way first, then what carries any
        of these, or the piece itself, away.
        """
        masks, number = self.masks, self.masks.number[piece]
        lot = self._lots[self._lot[number]]
        body = masks.body(number, masks.load(number, lot, self._freed))
        found: dict[str, None] = {}
        for hold in self._active(body.mask, lot):
            found |= dict.fromkeys(masks.named(masks.mask(hold.present | hold.members) & lot))
        rest = lot & ~body.mask & ~masks.stretched[number]
        for bars, _ in sorted(body.ways, key=lambda way: (way[0] & rest).bit_count()):
            found |= dict.fromkeys(masks.named(bars & rest))
        concerned = masks.mask(found) | body.mask
        for other, reach in enumerate(masks.reach):
            if reach & concerned and lot >> other & 1:
                found.setdefault(masks.names[other])
        found.pop(piece, None)
        return tuple(found)

    def _best_way(self, piece: str, moving: int, lot: int) -> Way | None:
        """Find the way a fitter would try it: the way it comes out in the end, if that is barred."""
        natural = self.ways_out.get(piece)
        return min(
            self._barred_ways(self.masks.number[piece], moving, lot),
            key=lambda way: (way.direction != natural, len(way.blocked_by), -way.travel_mm),
            default=None,
        )

    def _barred_ways(self, piece: int, moving: int, lot: int) -> Iterable[Way]:
        masks, table = self.masks, self.blocking
        own = np.fromiter(masks.numbers(moving), np.intp)
        rest = np.fromiter(masks.numbers(lot & ~moving & ~masks.stretched[piece]), np.intp)
        size = table.high[own].max(axis=0) - table.low[own].min(axis=0)
        for d, direction in enumerate(table.directions):
            if not masks.is_asked(d, own):
                continue
            travel = table.travel_mm[d][own].min(axis=0)
            hits = sorted(rest[np.isfinite(travel[rest])], key=lambda i: (travel[i], i))
            if hits:
                nearest_mm = float(travel[hits[0]])
                length_mm = float(size @ np.abs(direction.vector)) + REACH_MM
                near = [i for i in hits if travel[i] <= max(length_mm, nearest_mm)]
                yield Way(direction, tuple(masks.names[i] for i in near), nearest_mm)


def _is_held(body: Body, lot: int) -> bool:
    for present, others in body.ties:
        if present & lot and others & lot:
            return True
    if not body.firm_ties:
        return False
    return any(not present & ~lot and others & lot for present, others in body.firm_ties)
