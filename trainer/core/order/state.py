"""A pump as it lies on the bench: which pieces are still together, and what can leave next.

A piece taken off takes along what it carries (pressed, threaded, keyed, sealed to it): cover and
wear ring lie together until the ring is pressed out. Such a heap of pieces that are still together
is a *lot*. Blocking and holding count within a lot only. Taking off a single
piece, with what rides on it, never adds a constraint, so replaying needs no backtracking. A unit
that leaves joined can: a mate that was free to leave with it may be held inside the unit's own lot
until its joint is undone at the bench.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from models.spec.assembly import Assembly
from trainer.core.order.answers import LEAVES_LOOSE, Held, Refused, TakenOff, Way
from trainer.core.order.blocking import Blocking
from trainer.core.order.directions import Direction
from trainer.core.order.masks import MOST_KEPT, Body, Masks, Unit, WayOut, find_masks, is_held
from trainer.core.order.pulling import Pull, find_pulls
from trainer.core.order.refusing import find_obstacles, find_stop, refuse
from trainer.core.order.units import can_lead, find_unit, find_whole

__all__ = ["LEAVES_LOOSE", "Held", "Refused", "State", "TakenOff", "Way"]


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

    def find_whole(self, leader: str, apart_from: str) -> frozenset[str]:
        """Name all that joints would still tie to a piece when it is unbolted from another, itself included."""
        number = self.masks.number
        lot = self._lots[self._lot[number[leader]]]
        one, other = number[leader], number[apart_from]
        return frozenset(self.masks.named(find_whole(self.masks, one, other, lot, self._freed)))

    def find(self, piece: str) -> TakenOff | None:
        """Say how a piece would come off now; None, without a reason, when it cannot."""
        number = self.masks.number[piece]
        found = self._find(number, self._lots[self._lot[number]], self._freed)
        return found[1] if found else None

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
        masks, lots = self.masks, self._lots
        number = masks.number[piece]
        lot = lots[self._lot[number]]
        lone = masks.alone[number]
        if lone is None:
            found = self._find(number, lot, self._freed)
        else:
            key = lot & lone.near
            known = lone.known
            found = known[key] if key in known else self._find(number, lot, self._freed)
        if found is None:
            return None
        self._part(number, found[0])
        self.off.append(piece)
        return found[1]

    def take_freed(self, waiting: dict[str, int]) -> None:
        """Take off of these what has become free, again and again until nothing more does.

        waiting: by piece, what stopped it when it was last tried (see `find_stop`), kept up here. A piece
        is not tried again while all of that still lies with it.
        """
        number, came = self.masks.number, True
        while came:
            came = False
            for piece, stop in list(waiting.items()):
                if stop and not stop & ~self._lots[self._lot[number[piece]]]:
                    continue
                if self.try_take(piece) is not None:
                    del waiting[piece]
                    came = True
                else:
                    waiting[piece] = self.find_stop(piece)

    def refuse(self, piece: str) -> Refused:
        """Tell why a piece that cannot come off now cannot."""
        number = self.masks.number[piece]
        lot = self._lots[self._lot[number]]
        return refuse(self.masks, number, lot, self._freed, self.ways_out)

    def find_pulls(self, piece: str) -> tuple[Pull, ...]:
        """Find what becomes of a piece in every direction it may be pulled, the way it comes off first."""
        number = self.masks.number[piece]
        lot = self._lots[self._lot[number]]
        return find_pulls(self.masks, number, lot, self._freed, self.find(piece), self.ways_out)

    def find_obstacles(self, piece: str) -> tuple[str, ...]:
        """Name everything whose going could help to free a piece, the most helpful first."""
        number = self.masks.number[piece]
        return find_obstacles(self.masks, number, self._lots[self._lot[number]], self._freed)

    def find_stop(self, piece: str) -> int:
        """Find pieces, as a mask, that keep this one where it is as long as all lie with it; 0 if no few tell."""
        number = self.masks.number[piece]
        return find_stop(self.masks, number, self._lots[self._lot[number]], self._freed)

    def remove(self, pieces: Iterable[str]) -> None:
        """Set pieces aside with what they carry, free or not: to ask what would be if they were gone."""
        for piece in pieces:
            number = self.masks.number[piece]
            self._part(number, self.masks.load(number, self._lots[self._lot[number]], self._freed))

    def _part(self, piece: int, moving: int) -> None:
        """Let what moves be a lot of its own."""
        lots, lot = self._lots, self._lot
        lots[lot[piece]] &= ~moving
        bit = 1 << piece
        if moving == bit:
            lot[piece] = len(lots)
        else:
            for i in self.masks.numbers(moving):
                lot[i] = len(lots)
        lots.append(moving)
        self._freed |= bit

    def find_without(self, piece: str, gone: Iterable[str]) -> TakenOff | None:
        """Say how a piece would come off if others, with all that they carry, were set aside before."""
        masks, number = self.masks, self.masks.number[piece]
        lot, left, heads = self._lots[self._lot[number]], 0, 0
        for name in gone:
            lone = masks.lone_bit[name]
            if lone:
                left |= lone
                continue
            other = masks.number[name]
            load = masks.load(other, self._lots[self._lot[other]], self._freed)
            if load >> number & 1:  # it would ride along: the lots themselves change
                trial = self.copy()
                trial.remove(gone)
                return trial.find(piece)
            left |= load
            heads |= 1 << other
        freed = self._freed | heads | left & masks.lone
        found = self._find(number, lot & ~left, freed)
        return found[1] if found else None

    def _find(self, piece: int, lot: int, freed: int) -> tuple[int, TakenOff] | None:
        """Find what moves, as a mask, and how, when a piece comes off a lot; None when it cannot."""
        masks = self.masks
        lone = masks.alone[piece]
        if lone is None:
            return self._find_body(lot, freed, masks.body(piece, masks.load(piece, lot, freed)))
        key = lot & lone.near
        try:
            return lone.known[key]
        except KeyError:
            found = self._find_body(lot, freed, lone.body)
            if not (is_held(lone.body, lot) and can_lead(masks, lone.body, lot)):
                if len(lone.known) >= MOST_KEPT:
                    lone.known.clear()
                lone.known[key] = found
            return found

    def _find_body(self, lot: int, freed: int, body: Body) -> tuple[int, TakenOff] | None:
        masks, piece = self.masks, body.piece
        if is_held(body, lot):
            unit = find_unit(masks, body, lot, freed)
            return (unit.mask, self._tell_unit(piece, lot, unit)) if unit else None
        rest, ways = lot & ~body.mask, body.ways(masks)
        for bars, way in ways:
            if not bars & rest:
                return body.mask, self._tell(piece, lot, body, way)
        over = masks.stretched[piece] & rest
        if over:  # no way is open: a flexible piece is stretched or sprung off what carries it
            for bars, way in ways:
                if not bars & rest & ~over:
                    return body.mask, self._tell(piece, lot, body, way)
        return None

    def _tell(self, piece: int, lot: int, body: Body, way: WayOut) -> TakenOff:
        """Tell how a piece comes off by itself; the same answer is made once."""
        masks = self.masks
        key = id(way), lot & masks.told_by[piece]
        told = body.told.get(key)
        if told is None:
            stays = lot & ~body.mask
            tools = (
                carry.tool
                for carry in masks.carriers[piece]
                if stays >> masks.number[carry.carrier] & 1
            )
            told = body.told[key] = TakenOff(
                masks.names[piece],
                way.direction,
                frozenset(masks.named(body.mask)),
                next((tool for tool in tools if tool), ""),
                aside=way.aside,
                cautions=masks.find_cautions(piece, stays),
            )
        return told

    def _tell_unit(self, piece: int, lot: int, unit: Unit) -> TakenOff:
        masks = self.masks
        cautions = masks.find_cautions(piece, lot & ~unit.mask)
        return TakenOff(
            masks.names[piece],
            self.blocking.directions[unit.direction],
            frozenset(masks.named(unit.mask)),
            as_unit=True,
            cautions=(*cautions, LEAVES_LOOSE) if unit.is_loose else cautions,
        )
