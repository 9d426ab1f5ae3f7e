"""Replaying lots, riders, units and seals, held against the same rules in plain sets and loops."""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.spec.assembly import Assembly, Hold
from models.spec.joint import JointKind
from trainer.core.order import masks, state, units
from trainer.core.order.blocking import Blocking
from trainer.core.order.directions import SIX, Direction
from trainer.core.order.marking import Verdict, mark_order
from trainer.core.order.state import State, TakenOff
from trainer.core.order.teardown import find_order, find_ways_out

if TYPE_CHECKING:
    from tests.core.order.conftest import Shop

seeds = st.integers(0, 10**6)


Aside = tuple[str, Direction, float, Direction, list[str]]
"""Piece, first move and its length in mm, second move, and who bars that."""


@dataclass
class Plain:
    """The rules once more, in sets and loops and without a table: slow, and nothing shared with State."""

    assembly: Assembly
    bars: dict[tuple[Direction, str, str], float]
    bulk: dict[str, float]
    asides: list[Aside] = field(default_factory=list)
    lots: list[set[str]] = field(default_factory=list)
    freed: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.lots = self.lots or [{piece.name for piece in self.assembly.pieces}]

    def copy(self) -> Plain:
        lots = [set(lot) for lot in self.lots]
        return Plain(self.assembly, self.bars, self.bulk, self.asides, lots, set(self.freed))

    def lot(self, piece: str) -> set[str]:
        return next(lot for lot in self.lots if piece in lot)

    def with_riders(self, moving: set[str]) -> set[str]:
        lot = self.lot(next(iter(moving)))
        while more := {
            carry.carried
            for carry in self.assembly.carries
            if carry.carrier in moving and carry.carried in lot - moving - self.freed
        }:
            moving = moving | more
        return moving

    def holding(self, moving: set[str]) -> list[Hold]:
        lot = self.lot(next(iter(moving)))
        return [
            hold
            for hold in self.assembly.holds
            if hold.present <= lot and hold.members & moving and (hold.members & lot) - moving
        ]

    def any_way(self, piece: str, moving: set[str]) -> Direction | None:
        """A way past everything, or else, for a flexible piece, over what carries it."""
        open_way = self.way(piece, moving, stretch=False)
        return open_way or self.way(piece, moving, stretch=True)

    def way(self, piece: str, moving: set[str], *, stretch: bool) -> Direction | None:
        rest = self.lot(piece) - moving
        if stretch and self.assembly.by_name[piece].flexible:
            rest -= {carry.carrier for carry in self.assembly.carries if carry.carried == piece}
        for direction in SIX:
            if not any((direction, a, b) in self.bars for a in moving for b in rest):
                return direction
        if moving <= self.with_all_riders(piece):
            for head, first, draw, _, barred in self.asides:
                near = {b for a in moving for b in rest if self.bars.get((first, a, b), 99) <= draw}
                if head == piece and not near and not rest & set(barred):
                    return first
        return None

    def with_all_riders(self, piece: str) -> set[str]:
        """What would ride on a piece if nothing had been taken off: second moves are measured with it."""
        found = {piece}
        while more := {c.carried for c in self.assembly.carries if c.carrier in found} - found:
            found |= more
        return found

    def unit(self, moving: set[str], way: Direction) -> set[str]:
        """Grow what moves by all that is tied to it, and all that it pushes along."""
        lot = self.lot(next(iter(moving)))
        while True:
            tied = set[str]()
            for hold in self.assembly.holds:
                if hold.members & moving and hold.present <= lot:
                    bolts = hold.present if hold.kind is JointKind.BOLTED else frozenset()
                    tied |= (hold.members | bolts) & lot
            pushed = {b for a in moving for b in lot - moving if (way, a, b) in self.bars}
            grown = self.with_riders(moving | tied | pushed)
            if grown == moving:
                return moving
            moving = grown

    def loosens(self, unit: set[str]) -> bool:
        """Would parting a unit from its lot leave something loose on either side that was not?"""
        lot = self.lot(next(iter(unit)))
        return any(
            self.is_loose(one, part) and not self.is_loose(one, lot)
            for part in (unit, lot - unit)
            for one in part
        )

    def is_loose(self, piece: str, lot: set[str]) -> bool:
        """Is it neither carried nor held nor barred, if the lot lay alone, and fastens nothing there?"""
        if any(c.carried == piece and c.carrier in lot for c in self.assembly.carries):
            return False
        if any(
            piece in hold.present - hold.members and hold.members | hold.present <= lot
            for hold in self.assembly.holds
        ):
            return False
        alone = Plain(self.assembly, self.bars, self.bulk, self.asides, [set(lot)], set(self.freed))
        moving = alone.with_riders({piece})
        return not alone.holding(moving) and alone.way(piece, moving, stretch=False) is not None

    def look(self, piece: str) -> tuple[Direction, set[str]] | None:
        """Give the way and all that goes along, or None."""
        moving = self.with_riders({piece})
        holding = self.holding(moving)
        if holding:
            if any(hold.kind is not JointKind.BOLTED for hold in holding):
                return None
            units = [self.unit(moving, way) for way in SIX]
            led = [
                unit
                for unit in units
                if unit != self.lot(piece) and max(unit, key=self.bulk.__getitem__) == piece
            ]
            if not led:
                return None
            moving = min(led, key=lambda unit: (self.loosens(unit), len(unit)))
        way = self.any_way(piece, moving)
        return (way, moving) if way else None

    def judge(self, piece: str) -> Verdict:
        """Judge a piece that comes off: wrong practice if, held, it leaves something loose."""
        found = self.look(piece)
        held = self.holding(self.with_riders({piece}))
        loose = found is not None and bool(held) and self.loosens(found[1])
        return Verdict.WRONG_PRACTICE if loose else Verdict.FREE

    def part(self, piece: str, along: set[str]) -> None:
        self.lot(piece).difference_update(along)
        self.lots = [lot for lot in self.lots if lot] + [set(along)]
        self.freed.add(piece)

    def take(self, piece: str) -> bool:
        found = self.look(piece)
        if found:
            self.part(piece, found[1])
        return found is not None

    def free(self, left: Iterable[str]) -> list[str]:
        return [piece for piece in left if self.look(piece)]


@dataclass
class Case:
    """A made-up assembly and its table, with the same told to the plain replay."""

    assembly: Assembly
    blocking: Blocking
    plain: Plain

    @property
    def names(self) -> list[str]:
        return list(self.blocking.names)


def make_case(shop: Shop, seed: int) -> Case:
    """Make an assembly of three to seven pieces, loosely or tightly packed, with bolts, riders and seals."""
    chance = random.Random(seed)
    names = list("abcdefg"[: chance.randint(3, 7)])
    share = chance.choice([0.3, 0.6, 0.85])
    travels: dict[tuple[str, str], dict[Direction, float]] = {}
    for pair in itertools.permutations(names, 2):
        if chance.random() < share:
            ways = chance.sample(SIX, chance.randint(3, 6))
            travels[pair] = {way: round(chance.uniform(0, 5), 2) for way in ways}
    holds: list[Hold] = []
    for _ in range(chance.randint(0, 2)):
        one, other, bolt = chance.sample(names, 3)
        holds += shop.bolt([one, other], [bolt])
    carries = [
        shop.ride(a, b) for a, b in itertools.combinations(names, 2) if chance.random() < 0.15
    ]
    soft = [name for name in names if chance.random() < 0.2]
    if chance.random() < 0.4:
        carrier, ring, mate = sorted(chance.sample(names, 3))
        carries.append(shop.ride(carrier, ring))
        members, present = frozenset({carrier, ring}), frozenset({carrier, mate})
        holds.append(Hold("seal", JointKind.SEALED, members, present))
    asides: list[Aside] = []
    for head in names:
        if chance.random() < 0.3:
            first, then = chance.sample(SIX, 2)
            barred = [name for name in names if name != head and chance.random() < 0.3]
            asides.append((head, first, round(chance.uniform(0, 5), 2), then, barred))
    bulk = {name: float(2 + i) for i, name in enumerate(chance.sample(names, len(names)))}
    assembly = shop.name(names, holds, carries, flexible=soft)
    bars = {(way, *pair): far for pair, ways in travels.items() for way, far in ways.items()}
    return Case(
        assembly,
        shop.bar(names, travels, bulk=bulk, asides=asides),
        Plain(assembly, bars, bulk, asides),
    )


@given(seeds)
def test_order_grown_by_taking_what_is_free_is_marked_right(shop: Shop, seed: int) -> None:
    case, chance = make_case(shop, seed), random.Random(seed)
    plain, left, order = case.plain.copy(), case.names, list[list[str]]()
    verdicts = []
    while free := plain.free(left):
        order.append([chance.choice(free)])
        verdicts.append(plain.judge(order[-1][0]))
        assert plain.take(order[-1][0])
        left.remove(order[-1][0])
    marked = mark_order(case.assembly, case.blocking, order)
    assert [step.verdict for step in marked.steps] == verdicts
    assert marked.is_valid
    assert marked.complete is (not left)


def replay_plainly(case: Case, order: Sequence[str]) -> tuple[list[Verdict], list[str]]:
    """Judge an order by the plain rules: refused pieces wait and come off by themselves."""
    ways_out = find_ways_out(case.assembly, case.blocking)
    plain, waiting, verdicts = case.plain.copy(), list[str](), list[Verdict]()
    for piece in order:
        verdict = plain.judge(piece)
        if plain.take(piece):
            verdicts.append(verdict)
        else:
            trial = plain.copy()
            for gone in waiting:
                trial.part(gone, trial.with_riders({gone}))
            found = trial.look(piece)
            follows = waiting and found and found[0] is ways_out.get(piece)
            verdicts.append(Verdict.CONSEQUENCE if follows else Verdict.REFUSED)
            waiting.append(piece)
        while came := [name for name in waiting if plain.take(name)]:
            waiting = [name for name in waiting if name not in came]
    return verdicts, waiting


@given(seeds)
def test_any_order_is_judged_as_the_plain_replay_judges_it(shop: Shop, seed: int) -> None:
    case = make_case(shop, seed)
    order = random.Random(seed + 1).sample(case.names, len(case.names))
    verdicts, waiting = replay_plainly(case, order)
    marked = mark_order(case.assembly, case.blocking, [[piece] for piece in order])
    assert [step.verdict for step in marked.steps] == verdicts
    assert sorted(marked.waiting) == sorted(waiting)
    assert marked.score == pytest.approx(1 - verdicts.count(Verdict.REFUSED) / len(order))


@given(seeds)
def test_found_order_can_be_done_and_names_what_never_comes_free(shop: Shop, seed: int) -> None:
    case = make_case(shop, seed)
    found = find_order(case.assembly, case.blocking)
    plain = case.plain.copy()
    for step in found.steps:
        for taken in step.taken:
            assert plain.look(taken.piece) == (taken.direction, set(taken.along))
            assert plain.take(taken.piece)
    assert plain.free(found.stuck) == []
    done = [piece for step in found.steps for piece in step.pieces]
    assert sorted([*done, *found.stuck]) == sorted(case.names)


@given(seeds)
def test_refusal_names_what_truly_bars_or_holds(shop: Shop, seed: int) -> None:
    case = make_case(shop, seed)
    for piece in case.names:
        found = State(case.assembly, case.blocking).look(piece)
        plain = case.plain.copy()
        if isinstance(found, TakenOff):
            assert plain.look(piece) == (found.direction, set(found.along))
            continue
        assert plain.look(piece) is None
        moving = plain.with_riders({piece})
        assert {held.joint for held in found.held} == {h.joint for h in plain.holding(moving)}
        assert found.held or found.way
        if found.way:
            reach = [
                min(plain.bars.get((found.way.direction, one, other), math.inf) for one in moving)
                for other in found.way.blocked_by
            ]
            assert reach[0] == pytest.approx(found.way.travel_mm)
            assert reach == sorted(reach)
            assert reach[-1] < math.inf


@given(seeds)
def test_taking_something_off_never_adds_a_constraint(shop: Shop, seed: int) -> None:
    """What is free by itself stays free whatever else is taken off: replaying needs no way back.

    A unit is the one exception: it lies on the bench as a lot of its own, still bolted, and what could
    have left the pump with its mates along must now first be unbolted from them.
    """
    case, chance = make_case(shop, seed), random.Random(seed)
    state, left = State(case.assembly, case.blocking), case.names
    while free := [found for name in left if isinstance(found := state.look(name), TakenOff)]:
        taken = chance.choice(free)
        assert state.take(taken.piece) == taken
        left.remove(taken.piece)
        for other in free:
            if other.piece != taken.piece and not (taken.as_unit or other.as_unit):
                assert isinstance(state.look(other.piece), TakenOff)


@given(seeds)
def test_what_is_kept_may_be_forgotten_at_any_time(shop: Shop, seed: int) -> None:
    case = make_case(shop, seed)
    order = [[piece] for piece in random.Random(seed).sample(case.names, len(case.names))]
    kept = mark_order(case.assembly, case.blocking, order)
    with pytest.MonkeyPatch.context() as patch:
        for room in (masks, state, units):
            patch.setattr(room, "MOST_KEPT", 1)
        assert mark_order(replace(case.assembly), case.blocking, order) == kept
