"""Work shared between fitters: never two steps that could not be done at once."""

from __future__ import annotations

import itertools
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.order.test_replay import make_case
from trainer.core.order.blocking import find_blocking
from trainer.core.order.share import share_order
from trainer.core.order.state import State, TakenOff
from trainer.core.order.teardown import find_order

if TYPE_CHECKING:
    from tests.core.order.conftest import Shop


@given(st.integers(0, 10**6), st.integers(1, 3))
def test_steps_of_a_round_can_be_done_in_any_order_and_all_are_done(
    shop: Shop, seed: int, fitters: int
) -> None:
    case = make_case(shop, seed)
    order = find_order(case.assembly, case.blocking)
    shared = share_order(case.assembly, case.blocking, order, fitters)
    state = State(case.assembly, case.blocking)
    for steps in shared.rounds:
        assert 1 <= len(steps) <= fitters
        for arranged in itertools.permutations(steps):
            trial = state.copy()
            for step in arranged:
                for piece in step.pieces:
                    assert isinstance(trial.take(piece), TakenOff)
        for step in steps:
            for piece in step.pieces:
                state.take(piece)
    done = [step for steps in shared.rounds for step in steps]
    assert sorted(map(repr, done)) == sorted(map(repr, order.steps))


def test_two_ends_are_worked_on_at_once_and_one_end_is_not(shop: Shop) -> None:
    assembly = shop.assemble({
        "frame": shop.tube(0, 1000, 100, 50),
        "front-cap": shop.tube(-20, 0, 100),
        "back-cap": shop.turned((0, 990), (24, 990), (24, 1000), (50, 1000), (50, 1020), (0, 1020)),
        "back-nut": shop.tube(1020, 1030, 20),
    })  # fmt: skip
    blocking = find_blocking(assembly)
    order = find_order(assembly, blocking)
    shared = share_order(assembly, blocking, order)
    together = [{step.part for step in steps} for steps in shared.rounds]
    assert {"front-cap", "back-nut"} in together
    assert not any({"back-nut", "back-cap"} <= parts for parts in together)
    assert len(shared.rounds) < shared.longest == 4


def test_part_that_must_be_lifted_is_taken_off_with_all_hands(shop: Shop) -> None:
    assembly = shop.assemble({
        "frame": shop.tube(0, 1000, 100, 50),
        "front-cap": shop.tube(-20, 0, 100),
        "back-cap": shop.tube(1000, 1020, 100),
    })  # fmt: skip
    blocking = find_blocking(assembly)
    order = find_order(assembly, blocking)
    shared = share_order(assembly, blocking, order, lifted={"back-cap"})
    assert all(len(steps) == 1 for steps in shared.rounds if "back-cap" in {s.part for s in steps})


def test_no_fitter_takes_nothing_off(shop: Shop) -> None:
    assembly, blocking = shop.name("ab"), shop.bar("ab", {})
    with pytest.raises(ValueError, match="0 fitters"):
        share_order(assembly, blocking, find_order(assembly, blocking), 0)
