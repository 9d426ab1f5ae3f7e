"""The demonstration pump: found, valid and invalid orders, each against a second way of telling."""

from __future__ import annotations

import random

import pytest

from trainer.core.order.marking import Verdict, mark_order
from trainer.core.order.state import Refused, State, TakenOff
from trainer.session.bench import Bench, open_bench


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250")


def spell_out(bench: Bench, parts: str) -> list[tuple[str, ...]]:
    return [bench.find_pieces(part) for part in parts.split()]


def test_found_order_takes_everything_and_is_valid(bench: Bench) -> None:
    assert bench.order.stuck == ()
    marked = mark_order(bench.assembly, bench.blocking, [step.pieces for step in bench.order.steps])
    assert (marked.is_valid, marked.complete, marked.score, marked.waiting) == (True, True, 1.0, ())


def test_reversed_order_is_a_way_to_put_it_together(bench: Bench) -> None:
    """Taken backwards, each piece enters by the way it left: nothing fitted before it may be in the way."""
    state = State(bench.assembly, bench.blocking)
    for step in bench.order.steps:
        for taken in step.taken:
            found = state.take(taken.piece)
            assert isinstance(found, TakenOff)
            assert found.direction is taken.direction


@pytest.mark.parametrize(
    "parts",
    [
        # from the front
        "cover-nut suction-cover impeller-screw tab-washer retaining-washer impeller impeller-key shim",
        # the drive end first
        "coupling-key cap-screw bearing-cap lock-nut lock-washer bearing-outboard cover-nut suction-cover wear-ring",
        # volute and cover as one unit, then the impeller
        "bracket-nut volute impeller-screw tab-washer retaining-washer impeller cover-nut suction-cover",
        # plugs whenever one likes
        "drain-plug cover-nut oil-fill-plug suction-cover cover-o-ring",
    ],
)
def test_orders_that_can_be_done_are_accepted(bench: Bench, parts: str) -> None:
    marked = mark_order(bench.assembly, bench.blocking, spell_out(bench, parts))
    assert marked.is_valid
    assert marked.score == 1.0


@pytest.mark.parametrize("seed", range(6))
def test_any_order_that_the_state_allows_is_marked_valid(bench: Bench, seed: int) -> None:
    chance, state = random.Random(seed), State(bench.assembly, bench.blocking)
    left, order = list(bench.assembly.by_name), []
    while left:
        free = [name for name in left if isinstance(state.look(name), TakenOff)]
        assert free, f"stuck: {left}"
        order.append(chance.choice(free))
        state.take(order[-1])
        left.remove(order[-1])
    marked = mark_order(bench.assembly, bench.blocking, [(name,) for name in order])
    assert (marked.is_valid, marked.complete) == (True, True)


def test_shims_behind_their_key_name_the_key_and_the_travel_to_it(bench: Bench) -> None:
    parts = "cover-nut suction-cover impeller-screw tab-washer retaining-washer impeller shim-3 impeller-key"
    marked = mark_order(bench.assembly, bench.blocking, spell_out(bench, parts))
    step = next(step for step in marked.steps if step.piece == "shim-3")
    assert step.verdict is Verdict.REFUSED
    assert isinstance(step.found, Refused)
    assert step.found.way is not None
    assert step.found.way.blocked_by[0] == "impeller-key"
    # the solids say so too: from the face of the shim to the end of the key along the shaft
    shim = bench.assembly.by_name["shim-3"].mesh.points[:, 0].min()
    key = bench.assembly.by_name["impeller-key"].mesh.points[:, 0].max()
    assert step.found.way.travel_mm == pytest.approx(shim - key, abs=0.1)


def test_refused_piece_waits_and_what_follows_from_it_is_not_counted(bench: Bench) -> None:
    parts = "suction-cover impeller-screw tab-washer retaining-washer impeller cover-nut"
    marked = mark_order(bench.assembly, bench.blocking, spell_out(bench, parts))
    verdicts = {step.piece: step.verdict for step in marked.steps}
    assert verdicts["suction-cover"] is Verdict.REFUSED
    assert verdicts["impeller"] is Verdict.CONSEQUENCE
    assert verdicts["cover-nut-8"] is Verdict.FREE
    assert marked.waiting == ()
    assert marked.score == pytest.approx(1 - 1 / len(marked.steps))


def test_stud_is_not_wound_out_under_its_nut(bench: Bench) -> None:
    found = State(bench.assembly, bench.blocking).look("cover-stud-3")
    assert isinstance(found, Refused)
    assert [held.by for held in found.held] == [("cover-nut-3",)]
