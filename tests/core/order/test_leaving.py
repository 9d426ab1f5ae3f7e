"""What a part comes off after, and with what: on made-up pieces, and on the demonstration pump by a second way of telling."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from trainer.core.order.leaving import Role, find_fixings, find_leaving
from trainer.core.order.needed import find_needed
from trainer.core.order.state import State, TakenOff
from trainer.core.order.teardown import find_order
from trainer.session.bench import Bench, open_bench

if TYPE_CHECKING:
    from tests.core.order.conftest import Shop


@pytest.fixture(scope="module", params=["enclosed", "open"])
def bench(request: pytest.FixtureRequest) -> Bench:
    return open_bench("end-suction/100-250", {"bracket": request.param})


def test_only_what_bars_or_holds_has_to_come_off_before(shop: Shop) -> None:
    names = ("aside", "lid", "nut", "pot")
    assembly = shop.name(names, shop.bolt(("lid", "pot"), ("nut",)))
    blocking = shop.bar(names, {("lid", "nut"): shop.shut(), ("pot", "lid"): shop.shut()})
    order = find_order(assembly, blocking)
    steps = [step.part for step in order.steps]
    needed = find_needed(assembly, blocking, order, steps.index("pot"))
    assert [steps[one] for one in needed] == ["nut", "lid"]


def test_what_rides_comes_off_with_its_carrier_and_names_it(shop: Shop) -> None:
    names = ("cover", "nut", "pot", "ring")
    assembly = shop.name(
        names, shop.bolt(("cover", "pot"), ("nut",)), [shop.ride("cover", "ring", "ring-puller")]
    )
    blocking = shop.bar(names, {("cover", "nut"): shop.shut(), ("ring", "nut"): shop.shut()})
    order = find_order(assembly, blocking)
    cover = find_leaving(assembly, blocking, order, "cover")
    ring = find_leaving(assembly, blocking, order, "ring")
    assert cover
    assert ring
    assert (cover.after, cover.along, cover.rides_on) == (("nut",), ("ring",), ())
    assert (ring.along, ring.rides_on) == ((), ("cover",))
    assert ring.after == ("nut",)


def test_what_is_shut_in_never_leaves(shop: Shop) -> None:
    names = ("box", "ball")
    assembly = shop.name(names)
    blocking = shop.bar(names, {("ball", "box"): shop.shut(1.0), ("box", "ball"): shop.shut(1.0)})
    order = find_order(assembly, blocking)
    assert find_leaving(assembly, blocking, order, "ball") is None


def test_with_just_what_is_needed_off_each_part_comes_and_with_one_step_less_it_does_not(
    bench: Bench,
) -> None:
    order = bench.order
    for number, step in enumerate(order.steps):
        needed = find_needed(bench.assembly, bench.blocking, order, number)
        first = step.taken[0]
        assert come_off(bench, needed, first), step.part
        for left_out in needed:
            assert not all_come_off(bench, [n for n in needed if n != left_out], number), step.part


def come_off(bench: Bench, numbers: tuple[int, ...], last: TakenOff) -> bool:
    state = State(bench.assembly, bench.blocking)
    for number in numbers:
        for name in bench.order.steps[number].pieces:
            assert isinstance(state.take(name), TakenOff)
    return isinstance(state.take(last.piece), TakenOff)


def all_come_off(bench: Bench, numbers: list[int], last: int) -> bool:
    """Say whether steps go by themselves as they went in the order: joined only where it was joined, nothing ill-advised."""
    state = State(bench.assembly, bench.blocking)
    for number in (*numbers, last):
        for taken in bench.order.steps[number].taken:
            found = state.take(taken.piece)
            if not isinstance(found, TakenOff) or found.as_unit > taken.as_unit:
                return False
            if set(found.cautions) - set(taken.cautions):
                return False
    return True


def test_every_part_but_the_carriers_leaves_with_what_its_joints_carry(bench: Bench) -> None:
    carried = {(one.carrier, one.carried) for one in bench.assembly.carries}
    for part in bench.build.places:
        leaving = find_leaving(bench.assembly, bench.blocking, bench.order, part)
        assert leaving is not None
        reach = set(bench.build.places[part])
        while more := {after for before, after in carried if before in reach} - reach:
            reach |= more
        assert set(leaving.along) <= reach, part


def test_joints_say_what_holds_a_part(bench: Bench) -> None:
    build = bench.build
    (ring,) = find_fixings(build, "wear-ring")
    assert (ring.role, ring.others, ring.tool) == (Role.PRESSED, ("suction-cover",), "ring-puller")
    cover = find_fixings(build, "suction-cover")
    assert [(one.role, one.others, one.by) for one in cover] == [
        (Role.CLAMPED, ("volute",), ("cover-nut",))
    ]
    nut = {one.role: one.others for one in find_fixings(build, "cover-nut")}
    assert nut == {Role.CLAMPS: ("suction-cover", "volute"), Role.SCREWED: ("cover-stud",)}
    (o_ring,) = find_fixings(build, "cover-o-ring")
    assert (o_ring.role, o_ring.others) == (Role.TRAPPED, ("suction-cover", "volute"))
    (key,) = find_fixings(build, "impeller-key")
    assert (key.role, key.others) == (Role.KEYED, ("shaft",))


def test_a_place_cast_into_another_is_named_by_the_casting(bench: Bench) -> None:
    (o_ring,) = find_fixings(bench.build, "face-o-ring")
    assert o_ring.others == ("seal-face", "shaft"), "the sleeve is one with the shaft here"
