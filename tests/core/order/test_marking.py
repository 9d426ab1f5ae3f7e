"""Marking against a second, plainer judge: sets of what remains, and who bars or holds whom in them."""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.spec.assembly import Hold
from models.spec.joint import JointKind
from trainer.core.order.blocking import find_blocking
from trainer.core.order.directions import SIX, Direction
from trainer.core.order.marking import Marked, Verdict, mark_order
from trainer.core.order.state import Refused, TakenOff

if TYPE_CHECKING:
    from tests.core.order.conftest import Shop

EVERY_WAY = SIX


@dataclass(frozen=True)
class Pile:
    """Pieces by letter: which ways each is barred by which other, and which pairs a third holds."""

    names: str
    barred: dict[tuple[str, str], frozenset[Direction]]
    held: frozenset[tuple[str, str, str]]  # two members, and what holds them while it is there

    def is_free(self, piece: str, remaining: frozenset[str]) -> bool:
        """Judge from the words alone, without the program's state."""
        for one, other, by in self.held:
            if piece in (one, other) and {one, other, by} <= remaining:
                return False
        others = remaining - {piece}
        return any(
            all(way not in self.barred.get((piece, other), ()) for other in others)
            for way in EVERY_WAY
        )

    def drop(self, asked: Iterable[str], remaining: frozenset[str]) -> frozenset[str]:
        """Take off what can come off of these, until nothing more comes; give what remains."""
        left = set(asked) & remaining
        while free := [name for name in left if self.is_free(name, remaining)]:
            remaining, left = remaining - {free[0]}, left - {free[0]}
        return remaining

    def mark(self, shop: Shop, groups: Sequence[Sequence[str]]) -> Marked:
        """Let the program mark an order."""
        travels = {pair: dict.fromkeys(ways, 0.0) for pair, ways in self.barred.items()}
        holds = [
            Hold(f"joint-{by}", JointKind.SEALED, frozenset({one, other}), frozenset({by}))
            for one, other, by in sorted(self.held)
        ]
        return mark_order(shop.name(self.names, holds), shop.bar(self.names, travels), groups)


@st.composite
def piles(draw: st.DrawFn) -> Pile:
    names = "abcdef"[: draw(st.integers(2, 6))]
    ways = st.sampled_from([frozenset[Direction](), frozenset(EVERY_WAY)]) | st.frozensets(
        st.sampled_from(EVERY_WAY), min_size=4
    )
    barred = {pair: draw(ways) for pair in itertools.permutations(names, 2)}
    triples = list(itertools.permutations(names, 3))
    held = draw(st.frozensets(st.sampled_from(triples), max_size=2)) if triples else frozenset()
    return Pile(names, barred, held)


seeds = st.integers(0, 2**32)


@given(piles(), seeds)
def test_order_made_by_taking_only_what_is_free_is_marked_valid(
    shop: Shop, pile: Pile, seed: int
) -> None:
    chance, remaining, order = random.Random(seed), frozenset(pile.names), list[str]()
    while free := sorted(name for name in remaining if pile.is_free(name, remaining)):
        order.append(chance.choice(free))
        remaining -= {order[-1]}
    marked = pile.mark(shop, order)
    assert [step.verdict for step in marked.steps] == [Verdict.FREE] * len(order)
    assert marked.is_valid
    assert marked.complete == (not remaining)
    assert marked.waiting == ()
    assert marked.score == (1.0 if order else 0.0)


@given(piles(), seeds)
def test_every_step_is_free_exactly_when_the_plain_judge_says_so(
    shop: Shop, pile: Pile, seed: int
) -> None:
    order = random.Random(seed).sample(pile.names, len(pile.names))
    marked = pile.mark(shop, order)
    remaining, named = frozenset(pile.names), set[str]()
    for piece, step in zip(order, marked.steps, strict=True):
        assert step.piece == piece
        assert (step.verdict is Verdict.FREE) == pile.is_free(piece, remaining)
        assert isinstance(step.found, TakenOff if step.verdict is Verdict.FREE else Refused)
        waiting = named & remaining
        if step.verdict is Verdict.CONSEQUENCE:
            assert waiting
            assert pile.is_free(piece, remaining - waiting)
        if isinstance(step.found, Refused) and step.found.way:
            assert set(step.found.way.blocked_by) <= remaining
            for other in step.found.way.blocked_by:
                assert step.found.way.direction in pile.barred[piece, other]
        named.add(piece)
        remaining = pile.drop(named, remaining)
    assert set(marked.waiting) == remaining
    counted = sum(step.verdict is Verdict.REFUSED for step in marked.steps)
    assert marked.score == pytest.approx(1 - counted / len(order))
    assert marked.complete


@given(piles(), seeds)
def test_group_comes_off_in_whichever_order_it_can(shop: Shop, pile: Pile, seed: int) -> None:
    chance = random.Random(seed)
    group = chance.sample(pile.names, chance.randint(1, len(pile.names)))
    marked = pile.mark(shop, [group])
    stay = pile.drop(group, frozenset(pile.names)) & set(group)
    refused = {step.piece for step in marked.steps if step.verdict is Verdict.REFUSED}
    assert refused == stay == set(marked.waiting)
    assert {step.piece for step in marked.steps} == set(group)
    assert marked.complete == (len(group) == len(pile.names))


BELOW = {
    "chain": ("abcd", "a<b b<c c<d", 1),
    "antichain": ("abcd", "", 24),
    "one-below-two": ("abc", "a<b a<c", 2),
    "diamond": ("abcd", "a<b a<c b<d c<d", 2),
    "letter-n": ("abcd", "a<c b<c b<d", 5),
    "two-pairs": ("abcd", "a<b c<d", 6),
    "two-chains-of-three": ("abcdef", "a<b b<c d<e e<f", 20),
    "three-pairs": ("abcdef", "a<b c<d e<f", 90),
    "two-below-two": ("abcd", "a<c a<d b<c b<d", 4),
    "three-below-three": ("abcdef", "a<d a<e a<f b<d b<e b<f c<d c<e c<f", 36),
    "crown": ("abcdef", "a<e a<f b<d b<f c<d c<e", 48),
    "two-by-three": ("abcdef", "a<b b<c d<e e<f a<d b<e c<f", 5),
    "fence-of-five": ("abcde", "a<b c<b c<d e<d", 16),
    "fence-of-six": ("abcdef", "a<b c<b c<d e<d e<f", 61),
}
"""Posets with their count of linear extensions: textbook values, the fences by A000111."""


def count_valid(shop: Shop, pile: Pile, start: str) -> int:
    """Count whole valid orders by growing valid beginnings: what is refused once stays a fault."""
    if start and not pile.mark(shop, start).is_valid:
        return 0
    left = [name for name in pile.names if name not in start]
    return sum(count_valid(shop, pile, start + name) for name in left) if left else 1


@pytest.mark.parametrize(("names", "below", "count"), BELOW.values(), ids=BELOW)
def test_as_many_orders_are_valid_as_the_poset_has_linear_extensions(
    shop: Shop, names: str, below: str, count: int
) -> None:
    pairs = [(pair[2], pair[0]) for pair in below.split()]
    pile = Pile(names, dict.fromkeys(pairs, frozenset(EVERY_WAY)), frozenset())
    assert count_valid(shop, pile, "") == count


def test_rings_leave_a_headed_shaft_over_its_free_end_in_turn(shop: Shop) -> None:
    """The shaft is drawn out by its head at any time; then the rings lie loose in a row."""
    assembly = shop.assemble({
        "shaft": shop.join(shop.tube(0, 60, 20), shop.tube(60, 70, 40)),
        **{f"ring-{i}": shop.tube(10 * i, 10 * i + 8, 36, 20.4) for i in range(1, 5)},
    })  # fmt: skip
    blocking = find_blocking(assembly)
    for order in itertools.permutations(assembly.by_name):
        before = list(order[: order.index("shaft")])
        in_turn = before == [f"ring-{i + 1}" for i in range(len(before))]
        marked = mark_order(assembly, blocking, [[name] for name in order])
        assert marked.is_valid == in_turn, order


def pile_of(names: str, *bars: str) -> Pile:
    """Pile where each two-letter word says: the first is barred by the second, every way."""
    return Pile(names, {(bar[0], bar[1]): frozenset(EVERY_WAY) for bar in bars}, frozenset())


def test_what_follows_from_a_refused_piece_is_shown_and_not_counted(shop: Shop) -> None:
    marked = pile_of("abc", "cb", "ba").mark(shop, ["b", "c", "a"])
    verdicts = [step.verdict for step in marked.steps]
    assert verdicts == [Verdict.REFUSED, Verdict.CONSEQUENCE, Verdict.FREE]
    assert marked.score == pytest.approx(2 / 3)
    assert not marked.is_valid
    assert marked.waiting == ()


def test_piece_behind_two_that_wait_is_a_consequence_of_both(shop: Shop) -> None:
    marked = pile_of("abcd", "ba", "ca", "db", "dc").mark(shop, ["b", "c", "d", "a"])
    verdicts = [step.verdict for step in marked.steps]
    assert verdicts == [Verdict.REFUSED, Verdict.REFUSED, Verdict.CONSEQUENCE, Verdict.FREE]
    assert marked.score == pytest.approx(0.5)


def test_fault_of_its_own_is_counted_though_others_wait(shop: Shop) -> None:
    marked = pile_of("abcd", "ba", "cd").mark(shop, ["b", "c", "a", "d"])
    assert [step.verdict for step in marked.steps[:2]] == [Verdict.REFUSED] * 2
    assert marked.score == pytest.approx(0.5)


def test_repeated_piece_is_neither_asked_twice_nor_a_fault(shop: Shop) -> None:
    marked = pile_of("abc", "ba").mark(shop, ["a", "a", "b", "a"])
    verdicts = [step.verdict for step in marked.steps]
    assert verdicts == [Verdict.FREE, Verdict.REPEATED, Verdict.FREE, Verdict.REPEATED]
    assert marked.score == 1.0
    assert marked.is_valid
    assert not marked.complete


def test_others_take_off_what_nobody_is_asked_about_as_soon_as_they_can(shop: Shop) -> None:
    names = "abc"  # c under b under a; b is not asked
    bars = {("b", "a"): shop.shut(), ("c", "b"): shop.shut()}
    assembly, blocking = shop.name(names), shop.bar(names, bars)
    right = mark_order(assembly, blocking, ["a", "c"], helped=["b"])
    assert (right.is_valid, right.complete, right.score) == (True, True, 1.0)
    wrong = mark_order(assembly, blocking, ["c", "a"], helped=["b"])
    assert wrong.steps[0].verdict is Verdict.REFUSED
    assert wrong.score == pytest.approx(0.5)


def test_empty_order_scores_nothing_and_a_strange_name_is_no_step(shop: Shop) -> None:
    pile = pile_of("ab")
    assert pile.mark(shop, []).score == 0.0
    with pytest.raises(KeyError):
        pile.mark(shop, ["a", "z"])
