"""What is taken off by hand, beside the order that the slider goes along, and where it lies then.

The slider has done so many whole steps of the order; what the hand took off comes after these. A move of
the hand stays as long as it is possible after them: where the slider goes on, its steps are what is left
to do; where it goes back before what a move needed, that move is put back too.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.spec.assembly import Assembly
from trainer.core.order.blocking import Blocking
from trainer.core.order.layout import Layout
from trainer.core.order.pulling import Pull
from trainer.core.order.state import State
from trainer.core.order.teardown import Order

Vector = npt.NDArray[np.float64]
Places = dict[str, Vector]
NOTHING = 1e-6
BESIDE_MM = 25.0
"""Of two parts nearer to each other than this, seen along their way, one makes way for the other: outlines need air."""
AIR_MM = 10.0
"""Air left before all else where a part lies that left another way than the order's."""


@dataclass(frozen=True, slots=True)
class _Book:
    """What the order says of one piece: its step, and the unit vector (3,) along which it leaves."""

    step: int
    way: Vector


class ByHand:
    """Keep what was taken off by hand; every change can be undone.

    moves: what the hand took off, in its order. done: whole steps of the order before it.
    number: by piece, its place in the arrays of `blocking`.
    """

    def __init__(self, assembly: Assembly, blocking: Blocking, order: Order) -> None:
        self.assembly, self.order = assembly, order
        self.moves: tuple[Pull, ...] = ()
        self.done = 0
        self.blocking = blocking
        self.number = {name: i for i, name in enumerate(blocking.names)}
        self._ways = order.list_ways_out()
        self._book = {
            taken.piece: _Book(number, taken.direction.vector)
            for number, step in enumerate(order.steps)
            for taken in step.taken
        }
        self._undone: list[tuple[Pull, ...]] = []
        self._before: list[tuple[Pull, ...]] = []
        self._latest: dict[int, dict[str, int]] = {}
        self._state = self._replay()

    # ------------------------------------------------------------------ what can be asked
    @property
    def off(self) -> frozenset[str]:
        """Pieces that the hand took off, without what went along."""
        return frozenset(move.piece for move in self.moves)

    @property
    def can_undo(self) -> bool:
        """Was anything done that can be taken back?"""
        return bool(self._before)

    @property
    def can_redo(self) -> bool:
        """Was anything taken back that can be done again?"""
        return bool(self._undone)

    def is_off(self, piece: str) -> bool:
        """Say whether a piece has been taken off, by the slider or by hand."""
        return piece in self._state.off

    def find_pulls(self, piece: str) -> tuple[Pull, ...]:
        """Find what becomes of a piece in every direction, the way it comes off first; none when it is off."""
        return () if self.is_off(piece) else self._state.find_pulls(piece)

    def find_alike(self, pull: Pull) -> tuple[Pull, ...]:
        """Find what comes off the same way of the same set, one after another: all eight nuts.

        The piece itself comes first. Only itself, when it does not come off.
        """
        if not pull.comes_off:
            return (pull,)
        state, found = self._state.copy(), [pull]
        state.take(pull.piece)
        part = self.assembly.by_name[pull.piece].part
        for name in self.assembly.sets[part]:
            if name in state.off:
                continue
            ways = state.find_pulls(name)
            alike = next((one for one in ways if one.direction == pull.direction), None)
            if alike is not None and alike.comes_off and len(alike.moving) == len(pull.moving):
                state.take(name)
                found.append(alike)
        return tuple(found)

    def is_step_done(self, number: int) -> bool:
        """Say whether all that a step of the order takes off is off already."""
        return all(piece in self._state.off for piece in self.order.steps[number].pieces)

    def copy_state(self) -> State:
        """Copy how the pump stands now, to ask what would be."""
        return self._state.copy()

    def find_gone(self, piece: str) -> frozenset[str]:
        """Find the pieces that do not lie together with this one."""
        return frozenset(self.assembly.by_name) - self._state.lot_of(piece)

    def find_left(self) -> frozenset[str]:
        """Find the pieces that nothing has taken off or along yet."""
        return frozenset(self.assembly.by_name) - set(self._find_heads(self.done))

    # ------------------------------------------------------------------ what changes it
    def stand(self, done: int) -> bool:
        """Let the slider have done so many whole steps; say whether a move was put back or is now the slider's."""
        if done == self.done:
            return False
        self.done = done
        return self._settle(self.moves)

    def take(self, pulls: tuple[Pull, ...]) -> None:
        """Take off what comes off, in this order."""
        self._remember()
        self._settle((*self.moves, *(pull for pull in pulls if pull.comes_off)))

    def put_back(self, piece: str) -> frozenset[str]:
        """Put one piece back, and with it what could not have come off while it was on.

        Returns:
            The pieces that were put back.
        """
        before = self.off
        if piece not in before:
            return frozenset()
        self._remember()
        self._settle(tuple(move for move in self.moves if move.piece != piece))
        return before - self.off

    def put_all_back(self) -> None:
        """Put back all that the hand took off."""
        if self.moves:
            self._remember()
            self._settle(())

    def undo(self) -> bool:
        """Take the last change back; False when there is none."""
        if not self._before:
            return False
        self._undone.append(self.moves)
        self._settle(self._before.pop())
        return True

    def redo(self) -> bool:
        """Do again what was taken back last; False when there is nothing."""
        if not self._undone:
            return False
        self._before.append(self.moves)
        self._settle(self._undone.pop())
        return True

    def take_over(self, other: ByHand) -> None:
        """Do again what was done by hand to another build of the same pump, as far as that is possible here."""
        self.done = min(other.done, len(self.order.steps))
        known = self.assembly.by_name
        self._settle(tuple(move for move in other.moves if move.moving <= set(known)))

    @property
    def ways(self) -> tuple[tuple[str, tuple[float, float, float]], ...]:
        """What the hand took off, in its order, with the unit vector of its way: all that `retake` needs."""
        return tuple((move.piece, move.direction.along) for move in self.moves)

    def retake(self, ways: Iterable[tuple[str, Sequence[float]]]) -> None:
        """Take off again what was left off by hand, as far as it is possible here; nothing of it can be undone.

        Args:
            ways: pieces in the order in which they came off, each with the unit vector (3,) of its way.
        """
        self._before, self._undone, self.moves, self._latest = [], [], (), {}
        self._state = self._replay()
        for piece, way in ways:
            if piece not in self.assembly.by_name or self.is_off(piece):
                continue
            vector = np.asarray(way, dtype=np.float64)
            pulls = [one for one in self._state.find_pulls(piece) if one.comes_off]
            again = next((one for one in pulls if _is_alike(one.direction.vector, vector)), None)
            if again is not None:
                self._state.take(piece)
                self.moves = (*self.moves, again)

    def _remember(self) -> None:
        self._before.append(self.moves)
        self._undone = []

    def _settle(self, moves: tuple[Pull, ...]) -> bool:
        """Keep of these moves what is possible, one after another."""
        before, self.moves = self.moves, ()
        self._latest = {}
        self._state = self._replay()
        kept: list[Pull] = []
        for move in moves:
            if move.piece in self._state.off:
                continue
            ways = self._state.find_pulls(move.piece)
            again = next((one for one in ways if one.direction == move.direction), None)
            if again is not None and again.comes_off:
                self._state.take(move.piece)
                kept.append(again)
        self.moves = tuple(kept)
        return self.moves != before

    def _replay(self) -> State:
        """Make the state after the whole steps that the slider has done."""
        state = State(self.assembly, self.blocking, self._ways)
        for step in self.order.steps[: self.done]:
            for name in step.pieces:
                state.try_take(name)
        return state

    # ------------------------------------------------------------------ where it lies
    def find_places(self, layout: Layout, apart: float) -> Places:
        """Find where every piece stands, (3,) mm from home, when the slider is `apart` from 0 to 1.

        What is off lies where the layout puts it once what lies in the same line has left, too, so that
        nothing lies in another; what rides on something lies with it.
        """
        if not self.moves:
            return layout.offsets_at(apart)
        at = min(max(apart, 0.0), 1.0) * len(layout.steps)
        done = min(int(at), len(layout.steps))
        heads = self._find_heads(done)
        there = {
            move.piece: move.direction.vector * self._find_clear_mm(move)
            for move in self.moves
            if not self._is_by_book(move)
        }
        by_book = set(heads.values()) - there.keys()
        latest = self._find_latest(layout, heads, done)
        there |= {head: self._lay(head, layout, max(at, latest[head]), heads) for head in by_book}
        places = {
            name: there[heads[name]] if name in heads else np.zeros(3) for name in layout.names
        }
        if at > done:
            self._move_on(places, heads, layout, at)
        return places

    def _move_on(self, places: Places, heads: dict[str, str], layout: Layout, at: float) -> None:
        """Bring what the step that the slider is in moves a share of its way to where it lies."""
        number, off = int(at), self.off
        share = at - number
        for taken in self.order.steps[number].taken:
            if taken.piece in off:
                continue
            head, to = heads.get(taken.piece), self._lay(taken.piece, layout, number + 1.0, heads)
            for name in taken.along:
                if heads.get(name) == head:
                    places[name] = places[name] * (1.0 - share) + to * share

    def _find_heads(self, done: int) -> dict[str, str]:
        """Find by piece what took it along last, after whole steps of the order and the moves of the hand."""
        heads: dict[str, str] = {}
        for step in self.order.steps[:done]:
            for taken in step.taken:
                heads |= dict.fromkeys(taken.along, taken.piece)
        for move in self.moves:
            heads |= dict.fromkeys(move.moving, move.piece)
        return heads

    def find_step(self, apart: float) -> int | None:
        """Find the step that the slider is in, or has just done, counted from 0; None when all is together."""
        at = apart * len(self.order.steps)
        if at < NOTHING:
            return None
        return min(math.ceil(at - NOTHING) - 1, len(self.order.steps) - 1)

    def find_concerned(self, number: int) -> tuple[frozenset[str], frozenset[str]]:
        """Find what moves in a step, and what lies together with it before and stays behind."""
        taken = self.order.steps[number].taken
        heads = self._find_heads(number)
        moving = frozenset[str]().union(*(one.along for one in taken))
        together = {
            name
            for name in self.assembly.by_name
            if any(heads.get(name) == heads.get(one.piece) for one in taken)
        }
        return moving, frozenset(together) - moving

    def _is_by_book(self, move: Pull) -> bool:
        """Say whether a move goes the way that the order goes with its piece."""
        book = self._book.get(move.piece)
        return book is not None and _is_alike(book.way, move.direction.vector)

    def _lay(self, head: str, layout: Layout, at: float, heads: Mapping[str, str]) -> Vector:
        """Find where what a piece took along lies, (3,) mm from home, when so many steps of the order were done."""
        book, number = self._book[head], self.number[head]
        there = _find_station(layout, number, at)
        if layout.supports.get(head, "") in heads:
            return there
        # What it sat on has made way for it in the order, and stands at home now.
        ahead_mm = float((layout.stations[book.step + 1, number] - there) @ book.way)
        return np.asarray(there + book.way * max(ahead_mm, 0.0))

    def _find_latest(self, layout: Layout, heads: Mapping[str, str], done: int) -> dict[str, int]:
        """Find by what was taken off after which step of the order all that it makes way for has left.

        It makes way for what leaves after it in the same line, for what that makes way for, and goes
        along with what it sat on.
        """
        if done in self._latest:
            return self._latest[done]
        by_hand = {move.piece for move in self.moves if self._is_by_book(move)}
        steps: dict[int, list[str]] = {}
        for head in sorted({*heads.values()} & self._book.keys()):
            steps.setdefault(self._book[head].step, []).append(head)
        riding: dict[str, list[str]] = {}
        for name, head in heads.items():
            riding.setdefault(head, []).append(name)
        boxes = {head: self._find_box(names) for head, names in riding.items()}
        found: dict[str, int] = {}
        for step in sorted(steps, reverse=True):
            after = [step + 1 if head in by_hand else 0 for head in steps[step]]
            for head in steps[step]:
                way = self._book[head].way
                after += [
                    found[other]
                    for other in found
                    if _is_alike(self._book[other].way, way)
                    and _are_in_line(boxes[head], boxes[other], way)
                ]
                after.append(found.get(heads.get(layout.supports.get(head, ""), ""), 0))
            # What leaves in one step stays side by side.
            found |= dict.fromkeys(steps[step], max(after))
        self._latest[done] = found
        return found

    def _find_box(self, names: list[str]) -> tuple[Vector, Vector]:
        own = [self.number[name] for name in names]
        table = self.blocking
        return (
            table.low[own].min(axis=0).astype(np.float64),
            table.high[own].max(axis=0).astype(np.float64),
        )

    def _find_clear_mm(self, move: Pull) -> float:
        """Find how far a move must go to stand before all there is."""
        table, way = self.blocking, move.direction.vector
        own = [self.number[name] for name in move.moving]
        ahead = np.maximum(table.low * way, table.high * way).sum(axis=1).max()
        behind = np.minimum(table.low[own] * way, table.high[own] * way).sum(axis=1).min()
        return float(ahead - behind) + AIR_MM


def _find_station(layout: Layout, number: int, at: float) -> Vector:
    """Give the station (3,) mm of a piece between two steps."""
    before = min(int(at), len(layout.steps))
    after = min(before + 1, len(layout.steps))
    share = at - before
    stations = layout.stations[:, number]
    return np.asarray(stations[before] * (1.0 - share) + stations[after] * share, dtype=np.float64)


def _are_in_line(one: tuple[Vector, Vector], other: tuple[Vector, Vector], way: Vector) -> bool:
    """Say whether two boxes (low, high) overlap, seen along a way."""
    apart = (one[0] > other[1] + BESIDE_MM) | (one[1] + BESIDE_MM < other[0])
    return not bool((apart & (np.abs(way) < NOTHING)).any())


def _is_alike(one: Vector, other: Vector) -> bool:
    return float(one @ other) > 1.0 - NOTHING
