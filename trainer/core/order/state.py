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
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly, Carry, Hold
from models.spec.joint import JointKind
from trainer.core.order.blocking import REACH_MM, Blocking
from trainer.core.order.directions import Direction

Mask: TypeAlias = npt.NDArray[np.bool_]


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
    """

    piece: str
    direction: Direction
    along: frozenset[str]
    tool: str = ""
    as_unit: bool = False


@dataclass(frozen=True, slots=True)
class Refused:
    """A piece cannot come off: held by joints, or blocked in its best direction, or both."""

    piece: str
    held: tuple[Held, ...]
    way: Way | None


class State:
    """Hold what lies together; `take` changes it, `look` only asks.

    ways_out: the direction in which each piece comes off in the end, as far as that is known; a
    refusal is told along it.

    Raises KeyError from `look` and `take` for a piece the assembly does not have.
    """

    def __init__(
        self,
        assembly: Assembly,
        blocking: Blocking,
        ways_out: Mapping[str, Direction] | None = None,
    ) -> None:
        self.assembly = assembly
        self.blocking = blocking
        self.ways_out = ways_out or {}
        self._number = {name: i for i, name in enumerate(blocking.names)}
        self._lot = np.zeros(len(blocking.names), np.int32)
        self._lots = 1
        self._carries: dict[str, list[Carry]] = {}
        self._carriers: dict[str, list[Carry]] = {}
        for carry in assembly.carries:
            self._carries.setdefault(carry.carrier, []).append(carry)
            self._carriers.setdefault(carry.carried, []).append(carry)
        self._holds: dict[str, list[Hold]] = {}
        for hold in assembly.holds:
            for member in hold.members:
                self._holds.setdefault(member, []).append(hold)
        self.off: list[str] = []
        self._freed: set[str] = set()

    def copy(self) -> State:
        """Copy the state so that a question can be tried without changing it."""
        twin = object.__new__(State)
        twin.__dict__.update(self.__dict__)
        twin._lot = self._lot.copy()
        twin.off, twin._freed = list(self.off), set(self._freed)
        return twin

    def lot_of(self, piece: str) -> frozenset[str]:
        """Name the pieces that lie together with this one, itself included."""
        mates = np.flatnonzero(self._lot == self._lot[self._number[piece]])
        return frozenset(self.blocking.names[i] for i in mates)

    def look(self, piece: str) -> TakenOff | Refused:
        """Say whether a piece can come off now, and how or why not.

        A piece that is still bolted to others may leave together with them, when that whole unit is
        free, something remains behind, and the piece is the main body by which the unit is named
        (the volute with its cover on it, back pull-out).
        """
        lot = self.lot_of(piece)
        moving = self._with_carried({piece}, lot)
        held = self._held(moving, lot)
        if held:
            unit = self._unit(moving, lot)
            heads = unit != lot and self._heads(piece, moving, unit, lot)
            if heads and (found := self._free_way(piece, unit, lot)):
                return replace(found, as_unit=True)
            return Refused(piece, held, self._best_way(piece, moving, lot))
        free = self._free_way(piece, moving, lot)
        return free or Refused(piece, (), self._best_way(piece, moving, lot))

    def take(self, piece: str) -> TakenOff | Refused:
        """Take a piece off if it can come off; the state changes only then."""
        found = self.look(piece)
        if isinstance(found, TakenOff):
            self._lot[[self._number[name] for name in found.along]] = self._lots
            self._lots += 1
            self._freed.add(piece)
            self.off.append(piece)
        return found

    def remove(self, pieces: Iterable[str]) -> None:
        """Set pieces aside with what they carry, free or not: to ask what would be if they were gone."""
        for piece in pieces:
            gone = self._with_carried({piece}, self.lot_of(piece))
            self._lot[[self._number[name] for name in gone]] = self._lots
            self._lots += 1
            self._freed.add(piece)

    def _with_carried(self, start: set[str], lot: frozenset[str]) -> frozenset[str]:
        moving, waiting = set(start), list(start)
        while waiting:
            for carry in self._carries.get(waiting.pop(), ()):
                rides = (
                    carry.carried in lot
                    and carry.carried not in moving
                    and carry.carried not in self._freed
                )
                if rides:
                    moving.add(carry.carried)
                    waiting.append(carry.carried)
        return frozenset(moving)

    def _active(self, moving: frozenset[str], lot: frozenset[str]) -> Iterable[Hold]:
        """Yield holds that keep something of `moving` on something that stays."""
        for name in sorted(moving):
            for hold in self._holds.get(name, ()):
                if hold.present <= lot and (hold.members & lot) - moving:
                    yield hold

    def _held(self, moving: frozenset[str], lot: frozenset[str]) -> tuple[Held, ...]:
        found: dict[str, dict[str, None]] = {}
        for hold in self._active(moving, lot):
            for by in sorted(hold.present - moving or hold.present, key=self._number.__getitem__):
                found.setdefault(hold.joint, {})[by] = None
        return tuple(Held(joint, tuple(by)) for joint, by in found.items())

    def _unit(self, moving: frozenset[str], lot: frozenset[str]) -> frozenset[str]:
        """Grow what moves by everything that active holds tie to it, and what that carries."""
        unit = moving
        while True:
            tied = {
                name
                for hold in self._active(unit, lot)
                for name in (hold.members | hold.present) & lot
            }
            grown = self._with_carried(set(unit) | tied, lot)
            if grown == unit:
                return unit
            unit = grown

    def _heads(
        self, piece: str, moving: frozenset[str], unit: frozenset[str], lot: frozenset[str]
    ) -> bool:
        """Say whether a piece is the main body of a bolted unit: a clamped O-ring never is."""
        if any(hold.kind is not JointKind.BOLTED for hold in self._active(moving, lot)):
            return False
        bulk = (self.blocking.high - self.blocking.low).prod(axis=1)
        largest = max(unit, key=lambda name: float(bulk[self._number[name]]))
        return largest == piece

    def _mask(self, names: Iterable[str]) -> Mask:
        mask = np.zeros(len(self.blocking.names), bool)
        mask[[self._number[name] for name in names]] = True
        return mask

    def _ways(self, piece: str, moving: frozenset[str], lot: frozenset[str]) -> Iterable[Way]:
        inside = self._mask(moving)
        rest = self._mask(lot - self._ignored(piece, lot)) & ~inside
        own = np.flatnonzero(inside)
        for number, direction in enumerate(self.blocking.directions):
            if not self._is_asked(number, own):
                continue
            travel = self.blocking.travel_mm[number][own].min(axis=0)
            hits = np.flatnonzero(rest & np.isfinite(travel))
            nearest = sorted(hits, key=lambda i: (travel[i], i))
            if not nearest or self._is_drawn_clear(own, number, float(travel[nearest[0]]), rest):
                yield Way(direction, (), float("inf"))
                continue
            limit = max(self._length_mm(own, direction), float(travel[nearest[0]]))
            names = tuple(self.blocking.names[i] for i in nearest if travel[i] <= limit)
            yield Way(direction, names, float(travel[nearest[0]]))

    def _length_mm(self, own: npt.NDArray[np.intp], direction: Direction) -> float:
        low, high = self.blocking.low[own].min(axis=0), self.blocking.high[own].max(axis=0)
        return float((high - low) @ np.abs(direction.vector)) + REACH_MM

    def _is_asked(self, number: int, own: npt.NDArray[np.intp]) -> bool:
        asked = self.blocking.asked
        return asked is None or bool(asked[number][own].all())

    def _is_drawn_clear(
        self, own: npt.NDArray[np.intp], number: int, travel_mm: float, rest: Mask
    ) -> bool:
        """Say whether what moves is clear of everything beside it, and so may go on sideways, before it meets anything.

        A thing far beyond the end of a screw is not in the screw's way. A ring still round the shaft
        is not clear, however far the next part.
        """
        if travel_mm <= REACH_MM:
            return False
        return bool(
            self.blocking.clear_mm[number][own][:, rest].max(initial=-np.inf) < travel_mm - REACH_MM
        )

    def _ignored(self, piece: str, lot: frozenset[str]) -> frozenset[str]:
        """A flexible piece is stretched or sprung off what carries it, once the joint is open."""
        if not self.assembly.by_name[piece].flexible:
            return frozenset()
        return frozenset(carry.carrier for carry in self._carriers.get(piece, ())) & lot

    def _free_way(self, piece: str, moving: frozenset[str], lot: frozenset[str]) -> TakenOff | None:
        for way in self._ways(piece, moving, lot):
            if not way.blocked_by:
                tools = [
                    c.tool
                    for c in self._carriers.get(piece, ())
                    if c.tool and c.carrier in lot - moving
                ]
                return TakenOff(piece, way.direction, moving, tools[0] if tools else "")
        return None

    def _best_way(self, piece: str, moving: frozenset[str], lot: frozenset[str]) -> Way | None:
        """Find the way a fitter would try it: the way it comes out in the end, if that is barred."""
        ways = [way for way in self._ways(piece, moving, lot) if way.blocked_by]
        natural = self.ways_out.get(piece)
        if not ways:
            return None
        return min(
            ways,
            key=lambda way: (way.direction != natural, len(way.blocked_by), -way.travel_mm),
        )
