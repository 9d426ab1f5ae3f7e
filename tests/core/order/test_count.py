"""Numbers of valid orders, against published numbers of linear extensions and against walking them all.

Source of the numbers: linear extensions of small posets (Stanley, Enumerative Combinatorics 1, 2nd ed.
2012, chapter 3: chains, antichains, disjoint unions of chains by the multinomial coefficient, 2 x n by
the Catalan numbers; Knuth, The Art of Computer Programming 3, section 5.1.4: the hook formula for
trees); zigzag posets by the Euler numbers (OEIS A000111); Boolean lattices (OEIS A046873).
"""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Iterable
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.order.test_replay import make_case
from trainer.core.order.blocking import Blocking
from trainer.core.order.count import OrderCount, count_orders, list_orders

if TYPE_CHECKING:
    from models.spec.assembly import Assembly
    from tests.core.order.conftest import Shop

Pairs = Iterable[tuple[int, int]]


def chains(*lengths: int) -> tuple[int, list[tuple[int, int]]]:
    """Disjoint chains: (number of elements, (earlier, later) pairs)."""
    pairs, start = list[tuple[int, int]](), 0
    for length in lengths:
        pairs += [(start + i, start + i + 1) for i in range(length - 1)]
        start += length
    return start, pairs


def grid(columns: int) -> tuple[int, list[tuple[int, int]]]:
    rows = [(2 * i + k, 2 * (i + 1) + k) for i in range(columns - 1) for k in (0, 1)]
    return 2 * columns, rows + [(2 * i, 2 * i + 1) for i in range(columns)]


def fence(size: int) -> tuple[int, list[tuple[int, int]]]:
    return size, [(i, i + 1) if i % 2 == 0 else (i + 1, i) for i in range(size - 1)]


def lattice(atoms: int) -> tuple[int, list[tuple[int, int]]]:
    sets = range(2**atoms)
    return 2**atoms, [(one, one | 1 << k) for one in sets for k in range(atoms) if not one >> k & 1]


CROWN = 6, [(i, 3 + j) for i in range(3) for j in range(3) if i != j]
N_POSET = 4, [(0, 2), (1, 2), (1, 3)]
TREE = 7, [(0, 1), (0, 2), (1, 3), (1, 4), (2, 5), (2, 6)]
PUBLISHED = [
    (chains(1), 1), (chains(1, 1, 1, 1), 24), (chains(6), 1), ((3, [(0, 2), (1, 2)]), 2),
    ((4, [(0, 1), (0, 2), (1, 3), (2, 3)]), 2), (N_POSET, 5), (chains(2, 2), 6), (chains(3, 3), 20),
    (chains(3, 4), 35), (chains(2, 2, 2), 90), (chains(3, 3, 3), 1680),
    ((4, [(i, 2 + j) for i in (0, 1) for j in (0, 1)]), 4),
    ((6, [(i, 3 + j) for i in range(3) for j in range(3)]), 36), (CROWN, 48),
    *[(grid(n), catalan) for n, catalan in ((1, 1), (2, 2), (3, 5), (4, 14))],
    (TREE, 80), (lattice(3), 48), (lattice(4), 1_680_384),
    *[(fence(n), euler) for n, euler in enumerate((1, 1, 2, 5, 16, 61, 272, 1385), 1)],
]  # fmt: skip


def make_pile(shop: Shop, size: int, pairs: Pairs) -> tuple[Assembly, Blocking]:
    """A pile in which each later piece is barred, every way, by the earlier one."""
    names = [f"piece-{i}" for i in range(size)]
    bars = {(names[later], names[earlier]): shop.shut() for earlier, later in pairs}
    return shop.name(names), shop.bar(names, bars)


@pytest.mark.parametrize(("poset", "published"), PUBLISHED)
def test_count_is_the_published_number_of_linear_extensions(
    shop: Shop, poset: tuple[int, Pairs], published: int
) -> None:
    found = count_orders(*make_pile(shop, *poset))
    assert found.exact == published
    assert found.log10 == pytest.approx(math.log10(published))
    assert found.spread_log10 == 0.0


@given(st.integers(0, 10**6))
def test_count_is_as_many_as_walking_all_orders_finds(shop: Shop, seed: int) -> None:
    """Either-or blocking, holds, riders and units: no partial order describes these."""
    case = make_case(shop, seed)
    walked = list_orders(case.assembly, case.blocking)
    assert count_orders(case.assembly, case.blocking).exact == len(walked)
    assert len(set(walked)) == len(walked)


@given(st.integers(0, 10**6))
def test_count_of_groups_is_as_many_as_trying_all_their_orders_finds(shop: Shop, seed: int) -> None:
    from trainer.core.order.count import take_all
    from trainer.core.order.state import State

    case = make_case(shop, seed)
    names = random.Random(seed).sample(case.names, len(case.names))
    groups = [names[i : i + 2] for i in range(0, len(names), 2)]
    right = 0
    for order in itertools.permutations(groups):
        state = State(case.assembly, case.blocking)
        right += all(take_all(state, group) for group in order)
    assert count_orders(case.assembly, case.blocking, groups).exact == right


@pytest.mark.parametrize(
    ("poset", "published"), [(lattice(4), 1_680_384), (chains(3, 3, 3), 1680), (TREE, 80)]
)
def test_estimate_says_so_and_lies_within_its_own_spread(
    shop: Shop, poset: tuple[int, Pairs], published: int
) -> None:
    found = count_orders(*make_pile(shop, *poset), most_states=3, walks=1000)
    assert found.exact is None
    assert 0 < found.spread_log10 < 0.05
    assert abs(found.log10 - math.log10(published)) < 4 * found.spread_log10


def test_estimate_of_pieces_that_nothing_bars_is_the_factorial(shop: Shop) -> None:
    found = count_orders(*make_pile(shop, 30, []), most_states=1, walks=3)
    assert found.log10 == pytest.approx(math.log10(math.factorial(30)))
    assert found.spread_log10 == pytest.approx(0.0, abs=1e-9)


def test_knot_has_no_order_and_neither_has_its_estimate(shop: Shop) -> None:
    knot = make_pile(shop, 3, [(0, 1), (1, 2), (2, 0)])
    assert count_orders(*knot) == OrderCount(0, -math.inf)
    assert count_orders(*knot, most_states=0).log10 == -math.inf
