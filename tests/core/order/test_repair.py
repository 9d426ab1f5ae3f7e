"""The shortest repair, against every way of moving pieces about."""

from __future__ import annotations

import itertools
import random
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.order.test_replay import make_case
from trainer.core.order.count import list_orders
from trainer.core.order.marking import mark_order
from trainer.core.order.repair import Moved, find_repair

if TYPE_CHECKING:
    from tests.core.order.conftest import Shop


def is_right(case: object, order: tuple[str, ...]) -> bool:
    return mark_order(case.assembly, case.blocking, [[name] for name in order]).is_valid  # type: ignore[attr-defined]


def count_moved(order: tuple[str, ...], other: tuple[str, ...]) -> int:
    """How many pieces must be taken out of one order and put elsewhere to give the other."""
    place = {name: i for i, name in enumerate(other)}
    longest: list[int] = []
    for i, name in enumerate(order):
        before = [longest[k] for k in range(i) if place[order[k]] < place[name]]
        longest.append(1 + max(before, default=0))
    return len(order) - max(longest, default=0)


@given(st.integers(0, 10**6))
def test_no_right_order_is_nearer_than_the_repaired_one(shop: Shop, seed: int) -> None:
    case = make_case(shop, seed)
    if any(hold.kind.value == "bolted" for hold in case.assembly.holds):
        return  # units: taking one early can bar what was free, so the nearest is not promised there
    right = list_orders(case.assembly, case.blocking)
    order = tuple(random.Random(seed).sample(case.names, len(case.names)))
    repair = find_repair(case.assembly, case.blocking, [[name] for name in order])
    if not right:
        assert repair is None
        return
    nearest = min(count_moved(order, other) for other in right)
    if repair is None:
        assert nearest > 4
    else:
        assert is_right(case, repair.order)
        assert sum(len(move.pieces) for move in repair.moves) >= nearest
        assert count_moved(order, repair.order) == nearest


def test_cap_before_the_shaft_is_said_as_one_move(shop: Shop) -> None:
    names = ["screw", "shaft", "cap", "key"]
    bars = {("shaft", "cap"): shop.shut(), ("cap", "screw"): shop.shut()}
    repair = find_repair(shop.name(names), shop.bar(names, bars), [[name] for name in names])
    assert repair is not None
    assert repair.moves == (Moved(("cap",), "shaft"),)
    assert repair.order == ("screw", "cap", "shaft", "key")


def test_right_order_needs_no_repair(shop: Shop) -> None:
    repair = find_repair(shop.name("abc"), shop.bar("abc", {}), "cab")
    assert repair is not None
    assert repair.moves == ()


def test_set_that_stands_together_moves_as_one(shop: Shop) -> None:
    names = ["cover", *[f"nut-{i}" for i in range(1, 9)]]
    holds = shop.bolt(["cover", "casing"], names[1:])
    every = ["casing", *names]
    repair = find_repair(
        shop.name(every, holds), shop.bar(every, {}), [[name] for name in [*names, "casing"]]
    )
    assert repair is not None
    assert len(repair.moves) == 1
    assert (set(repair.moves[0].pieces), repair.moves[0].before) in (
        (set(names[1:]), "cover"),
        ({"cover"}, "casing"),
    )


def test_knot_that_never_comes_apart_has_no_repair(shop: Shop) -> None:
    bars = {pair: shop.shut() for pair in itertools.permutations("abc", 2)}
    assert find_repair(shop.name("abc"), shop.bar("abc", bars), "abc") is None


def test_name_that_is_no_piece_is_an_error(shop: Shop) -> None:
    with pytest.raises(KeyError):
        find_repair(shop.name("ab"), shop.bar("ab", {}), ["a", "x"])


def test_pieces_of_one_line_come_off_in_whichever_order_they_can(shop: Shop) -> None:
    names = ["shim-1", "shim-2", "shim-3"]
    bars = {("shim-1", "shim-2"): shop.shut(), ("shim-2", "shim-3"): shop.shut()}
    repair = find_repair(shop.name(names), shop.bar(names, bars), [names])
    assert repair is not None
    assert repair.moves == ()
    assert repair.order == ("shim-3", "shim-2", "shim-1")


def test_line_with_a_joint_kept_by_two_others_moves_them_or_itself(shop: Shop) -> None:
    names = ["cover", "nut", "clamp", "plug"]
    holds = [*shop.bolt(["cover", "plug"], ["nut"]), *shop.bolt(["cover", "plug"], ["clamp"])]
    repair = find_repair(shop.name(names, holds), shop.bar(names, {}), [[name] for name in names])
    assert repair is not None
    assert repair.moves == (Moved(("cover",), "plug"),)
