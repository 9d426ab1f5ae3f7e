"""The demonstration pump: found, valid and invalid orders, each against a second way of telling."""

from __future__ import annotations

import itertools
import math
import random

import numpy as np
import pytest

from trainer.core.order.directions import Direction
from trainer.core.order.marking import Verdict, mark_order
from trainer.core.order.reach import find_routes
from trainer.core.order.state import Refused, State, TakenOff
from trainer.core.order.teardown import count_turns
from trainer.session.bench import Bench, open_bench


@pytest.fixture(scope="module", params=["enclosed", "open"])
def bench(request: pytest.FixtureRequest) -> Bench:
    return open_bench("end-suction/100-250", {"bracket": request.param})


def spell_out(bench: Bench, parts: str) -> list[tuple[str, ...]]:
    return [bench.find_pieces(part) for part in parts.split()]


def test_found_order_takes_everything_and_is_valid(bench: Bench) -> None:
    assert bench.order.stuck == ()
    marked = mark_order(bench.assembly, bench.blocking, [step.pieces for step in bench.order.steps])
    assert (marked.is_valid, marked.complete, marked.score, marked.waiting) == (True, True, 1.0, ())


def test_reversed_order_is_a_way_to_put_it_together(bench: Bench) -> None:
    """Taken backwards, each piece enters by the way it left, past what was fitted before it.

    Told from the table and plain sets: which heaps lie together at each step backwards, and whether
    anything of the heap that a body enters lies on its way.
    """
    table, order = bench.blocking, [t for step in bench.order.steps for t in step.taken]
    number = {name: i for i, name in enumerate(table.names)}
    heaps: list[set[str]] = [{name} for name in table.names]
    carriers = {(carry.carrier, carry.carried) for carry in bench.assembly.carries}
    for taken in reversed(order):
        body = next(heap for heap in heaps if taken.piece in heap)
        assert body == set(taken.along)
        d = table.directions.index(taken.direction)
        later = order[: order.index(taken)]
        home = find_home(table.names, later, taken)
        soft = bench.assembly.by_name[taken.piece].flexible
        fitted = {name for name in home - body if not (soft and (name, taken.piece) in carriers)}
        met = [
            (one, other, float(table.travel_mm[d, number[one], number[other]]))
            for one in body
            for other in fitted
            if np.isfinite(table.travel_mm[d, number[one], number[other]])
        ]
        if taken.aside is None:
            assert met == []
        else:
            rows = np.flatnonzero(
                (table.asides.head == number[taken.piece]) & (table.asides.first == d)
            )
            assert any(
                table.directions[table.asides.then[k]] == taken.aside
                and all(far > table.asides.draw_mm[k] for _, _, far in met)
                and not any(table.asides.bars[k][number[name]] for name in fitted)
                for k in rows
            )
        heaps = [heap for heap in heaps if not heap & (home | body)] + [home | body]
    assert heaps == [set(table.names)]


def find_home(names: tuple[str, ...], before: list[TakenOff], taken: TakenOff) -> set[str]:
    """Find the heap that a piece was taken from, told by what had been taken off before it."""
    heap = set(names)
    for earlier in before:
        heap = set(earlier.along) if taken.piece in earlier.along else heap - earlier.along
    return heap


def test_found_order_turns_less_than_any_of_many_others(bench: Bench) -> None:
    """Tool and direction are changed least: against 200 orders of the same steps drawn at random."""

    def count_all(moves: list[TakenOff]) -> int:
        return sum(count_turns(one, other) for one, other in itertools.pairwise(moves))

    ours = [step.taken[0] for step in bench.order.steps]
    chance, fewest = random.Random(5), math.inf
    for _ in range(200):
        state, left = State(bench.assembly, bench.blocking), dict(bench.assembly.sets)
        moves: list[TakenOff] = []
        while left:
            can = [part for part, names in left.items() if state.find(names[-1])]
            taken = [state.take(name) for name in reversed(left.pop(chance.choice(can)))]
            moves += [found for found in taken[:1] if isinstance(found, TakenOff)]
            assert all(isinstance(found, TakenOff) for found in taken)
        fewest = min(fewest, count_all(moves))
    assert count_all(ours) < fewest


def test_both_routes_lead_to_the_impeller(bench: Bench) -> None:
    """From the front past the cover, and by back pull-out, which leaves volute and pipework standing."""
    routes = find_routes(bench.assembly, bench.blocking, "impeller")
    front, back = routes[Direction.SUCTION], routes[Direction.DRIVE]
    assert front is not None
    assert back is not None
    assert front.is_shortest
    assert back.is_shortest
    parts = [[bench.assembly.by_name[t.piece].part for t in step] for step in front.steps]
    assert [names[0] for names in parts] == [
        "cover-nut", "suction-cover", "impeller-screw", "tab-washer", "retaining-washer", "impeller",
    ]  # fmt: skip
    assert [step[0].piece for step in back.steps][1:] == [
        "bearing-housing", "impeller-screw", "tab-washer", "retaining-washer", "impeller",
    ]  # fmt: skip
    pulled = back.steps[1][0]
    assert pulled.as_unit
    assert pulled.direction is Direction.DRIVE
    assert {"shaft", "impeller", "bracket", "back-plate"} <= pulled.along
    assert not {"volute", "suction-cover", "wear-ring"} & pulled.along


def test_frame_pulled_back_without_its_impeller_is_possible_and_wrong_practice(
    bench: Bench,
) -> None:
    state = State(bench.assembly, bench.blocking)
    for piece in ("impeller-screw", *bench.find_pieces("bracket-nut")):
        state.take(piece)
    found = state.look("bearing-housing")
    assert isinstance(found, TakenOff)
    assert "impeller" not in found.along
    assert "impeller-left-behind" in found.cautions


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
