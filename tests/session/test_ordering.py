"""A learner's whole order on the demonstration pump: verdicts, late work, repair, sister builds, shared work."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest

from models.spec.errors import RefusalError
from trainer.core.order.directions import Direction
from trainer.core.order.marking import Verdict, mark_order
from trainer.session import ordering
from trainer.session.bench import Bench, open_bench
from trainer.session.ordering import (
    count_bench,
    find_bench_routes,
    mark_whole_order,
    share_bench,
)
from trainer.session.relations import read_relations

RIGHT = [
    "cover-nut",
    "suction-cover",
    "impeller-screw",
    "tab-washer",
    "retaining-washer",
    "impeller",
]


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250")


def test_right_order_needs_neither_repair_nor_sister(bench: Bench) -> None:
    whole = mark_whole_order(bench, RIGHT)
    assert (whole.marked.is_valid, whole.late, whole.repair, whole.right_in) == (True, (), None, ())


def test_wrong_order_comes_with_its_shortest_repair(bench: Bench) -> None:
    wrong = [*RIGHT[:4], "impeller", "retaining-washer"]
    whole = mark_whole_order(bench, wrong)
    assert whole.repair is not None
    assert [(move.pieces, move.before) for move in whole.repair.moves] == [
        (("retaining-washer",), "impeller")
    ]
    repaired = mark_order(bench.assembly, bench.blocking, [[name] for name in whole.repair.order])
    assert repaired.is_valid


def test_work_is_asked_only_of_an_order_that_names_any(bench: Bench) -> None:
    assert mark_whole_order(bench, RIGHT).late == ()
    late = {work.key for work in mark_whole_order(bench, ["lock-out", *RIGHT]).late}
    assert {"vent-and-drain", "sling-cover", "bend-tab", "seal-spring-pushes"} <= late
    assert "lock-out" not in late
    assert "sling-volute" not in late  # the volute is not taken off in this order


def test_work_done_in_time_is_not_late_and_done_afterwards_is(bench: Bench) -> None:
    start = ["lock-out", "vent-and-drain", "match-marks"]
    sling_late = [*start, *RIGHT[:2], "sling-cover", *RIGHT[2:]]
    assert "sling-cover" in {work.key for work in mark_whole_order(bench, sling_late).late}
    in_time = [*start, RIGHT[0], "sling-cover", *RIGHT[1:]]
    assert "sling-cover" not in {work.key for work in mark_whole_order(bench, in_time).late}


def test_wrong_practice_is_neither_refused_nor_counted(bench: Bench) -> None:
    lines = [*RIGHT, "seal-retainer", "seal-spring", "seal-face", "impeller-key"]
    whole = mark_whole_order(bench, lines)
    verdicts = {step.piece: step.verdict for step in whole.marked.steps}
    assert verdicts["seal-face"] is Verdict.WRONG_PRACTICE
    assert whole.marked.is_valid
    assert whole.marked.score == 1.0


def test_unknown_line_is_refused_with_near_matches(bench: Bench) -> None:
    with pytest.raises(RefusalError, match="suction-cover"):
        mark_whole_order(bench, ["suction-covr"])


@pytest.fixture
def lenient(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Let every sister build judge all orders right: only what is done with that is looked at."""
    real = mark_order

    def judge(assembly: object, *args: object, **named: object) -> object:
        if named.get("reasons") is False:
            return real(assembly, args[0], [])  # type: ignore[arg-type]
        return real(assembly, *args, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(ordering, "mark_order", judge)
    return iter(())


@pytest.mark.usefixtures("lenient")
def test_sister_in_which_it_would_have_been_right_is_named(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Only sisters that have been on the bench before: a mark does not wait for their solids."""
    seen = open_bench("end-suction/100-250", {"bracket": "open"})
    assert seen.blocking.names
    monkeypatch.setattr(
        ordering,
        "read_relations",
        lambda build, cache: (
            read_relations(build, cache) if build.options == seen.build.options else None
        ),
    )
    assert mark_whole_order(bench, ["impeller"]).right_in == (("bracket", "open"),)


def test_order_wrong_in_every_sister_names_none(bench: Bench) -> None:
    assert mark_whole_order(bench, ["impeller"]).right_in == ()


def test_set_is_reached_by_its_nearest_piece(bench: Bench) -> None:
    routes = find_bench_routes(bench, "shim")
    way = routes[Direction.SUCTION]
    assert way is not None
    assert way.steps[-1][0].piece == "shim-3"


def test_shared_work_is_done_in_fewer_rounds_and_slung_parts_alone(bench: Bench) -> None:
    shared = share_bench(bench, 2)
    assert len(shared.rounds) < shared.longest
    for steps in shared.rounds:
        if {"suction-cover", "volute", "bearing-housing"} & {step.part for step in steps}:
            assert len(steps) == 1
    assert len(share_bench(bench, 1).rounds) == shared.longest
    with pytest.raises(RefusalError, match="write 1 or more"):
        share_bench(bench, 0)


def test_number_of_orders_is_an_estimate_and_says_so(bench: Bench) -> None:
    found = count_bench(bench)
    assert found.exact is None
    assert found.spread_log10 > 0
    # fewer than all orders of so many parts, and far more than none
    assert 20 < found.log10 < math.log10(math.factorial(len(bench.assembly.sets)))
