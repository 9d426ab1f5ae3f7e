"""The shortest way to a part, against breadth-first search over everything that could be done."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from tests.core.order.test_replay import make_case
from trainer.core.order.directions import Direction
from trainer.core.order.reach import find_reach, find_routes, is_sane
from trainer.core.order.state import State

if TYPE_CHECKING:
    from models.spec.assembly import Assembly
    from tests.core.order.conftest import Shop
    from trainer.core.order.blocking import Blocking

DRIVE, SUCTION = Direction.DRIVE, Direction.SUCTION


def count_fewest(assembly: Assembly, blocking: Blocking, target: str) -> int | None:
    """Try everything, level by level: how many pieces must come off until the target does."""
    level, seen = [State(assembly, blocking)], set[object]()
    for steps in range(1, len(blocking.names) + 1):
        following = []
        for state in level:
            for name in blocking.names:
                found = state.find(name)
                if found is None or not is_sane(state, found):
                    continue  # a move that a fitter would not choose
                if name == target:
                    return steps
                after = state.copy()
                after.take(name)
                if after.key not in seen:
                    seen.add(after.key)
                    following.append(after)
        level = following
    return None


@given(st.integers(0, 10**6))
def test_no_way_is_shorter_and_every_way_can_be_done(shop: Shop, seed: int) -> None:
    case = make_case(shop, seed)
    for target in case.names:
        found = find_reach(case.assembly, case.blocking, target)
        fewest = count_fewest(case.assembly, case.blocking, target)
        if found is None:
            assert fewest is None
            continue
        state = State(case.assembly, case.blocking)
        for piece, taken in zip(found.pieces, (t for s in found.steps for t in s), strict=True):
            assert state.take(piece) == taken
        assert found.pieces[-1] == target
        assert found.is_shortest
        assert len(found.pieces) == fewest


def test_ring_on_a_cover_is_reached_by_taking_the_cover_off_with_it(shop: Shop) -> None:
    names = ["casing", "cover", "nut-1", "nut-2", "ring", "plug"]
    bars = {
        ("ring", "casing"): {way: 0.0 for way in shop.shut() if way is not SUCTION},
        ("ring", "cover"): {SUCTION: 0.0},
        ("casing", "ring"): shop.shut(),
        ("casing", "cover"): shop.shut(),
    }
    holds = shop.bolt(["casing", "cover"], ["nut-1", "nut-2"])
    assembly = shop.name(names, holds, [shop.ride("cover", "ring", "puller")])
    found = find_reach(assembly, shop.bar(names, bars, bulk={"casing": 90.0}), "ring")
    assert found is not None
    assert [[taken.piece for taken in step] for step in found.steps] == [
        ["nut-1", "nut-2"], ["cover"], ["ring"],
    ]  # fmt: skip
    assert found.steps[-1][0].tool == "puller"


def test_bolts_of_the_same_kind_that_hold_something_else_stay_in(shop: Shop) -> None:
    names = ["casing", "lid", "pad", "bolt-1", "bolt-2"]
    holds = [*shop.bolt(["casing", "lid"], ["bolt-1"]), *shop.bolt(["casing", "pad"], ["bolt-2"])]
    found = find_reach(shop.name(names, holds), shop.bar(names, {}, bulk={"casing": 90.0}), "lid")
    assert found is not None
    assert found.pieces == ("bolt-1", "lid")


def test_part_inside_is_reached_from_either_end(shop: Shop) -> None:
    """A casing open at both ends, a cover before and behind: one route each."""
    names = ["casing", "front", "back", "inside"]
    bars = {
        ("inside", "casing"): {way: 1.0 for way in shop.shut() if not way.is_along_shaft},
        ("inside", "front"): {SUCTION: 5.0},
        ("inside", "back"): {DRIVE: 5.0},
        ("casing", "front"): {way: 0.0 for way in shop.shut() if way is not DRIVE},
        ("casing", "back"): {way: 0.0 for way in shop.shut() if way is not SUCTION},
        ("front", "casing"): {way: 0.0 for way in shop.shut() if way is not SUCTION},
        ("back", "casing"): {way: 0.0 for way in shop.shut() if way is not DRIVE},
    }
    assembly, table = shop.name(names), shop.bar(names, bars, bulk={"casing": 90.0})
    routes = find_routes(assembly, table, "inside")
    assert {end: way and way.pieces for end, way in routes.items()} == {
        SUCTION: ("front", "inside"),
        DRIVE: ("back", "inside"),
    }
