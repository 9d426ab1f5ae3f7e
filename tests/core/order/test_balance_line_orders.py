"""The balance line ties suction cover and frame together outside the casing: it has to be off before either leaves."""

from __future__ import annotations

import pytest

from trainer.core.order.directions import Direction
from trainer.core.order.marking import mark_order
from trainer.core.order.reach import find_routes
from trainer.session.bench import Bench, open_bench


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250", {"hub-ring": "balance-line"})


def find_turns(bench: Bench) -> dict[str, int]:
    return {piece: i for i, step in enumerate(bench.order.steps) for piece in step.pieces}


def test_nothing_of_it_is_stuck(bench: Bench) -> None:
    assert bench.order.stuck == ()


def test_the_line_is_off_before_the_cover_and_before_the_back_plate(bench: Bench) -> None:
    turn = find_turns(bench)
    assert turn["balance-line"] < turn["suction-cover"]
    assert turn["balance-line"] < turn["back-plate"]
    for end in ("plate", "cover"):
        assert turn["balance-line"] < turn[f"balance-fitting-{end}"]
        assert turn[f"balance-fitting-{end}"] < turn[f"balance-ring-{end}"]


def test_the_fitting_in_the_window_is_out_before_the_bracket_leaves_the_back_plate(
    bench: Bench,
) -> None:
    turn = find_turns(bench)
    assert turn["balance-fitting-plate"] < max(turn["bracket"], turn["back-plate"])


@pytest.mark.parametrize("piece", ["suction-cover", "back-plate"])
def test_neither_casting_comes_off_while_the_line_is_on(bench: Bench, piece: str) -> None:
    """Everything else may have gone: a mark that leaves the line to the end finds the casting refused."""
    line = [step.pieces for step in bench.order.steps if "balance-line" in step.pieces]
    others = [step.pieces for step in bench.order.steps if "balance-line" not in step.pieces]
    upto = next(i for i, pieces in enumerate(others) if piece in pieces) + 1
    marked = mark_order(bench.assembly, bench.blocking, [*others[:upto], *line])
    assert not marked.is_valid


def test_with_a_bell_housing_too_the_frame_is_drawn_out_past_the_line_that_bars_a_nut() -> None:
    """The bell leaves one nut no way but past the oil line, which is the frame's own: it comes off by itself first."""
    bench = open_bench("end-suction/100-250", {"hub-ring": "balance-line", "drive-end": "bell-housing"})  # fmt: skip
    route = find_routes(bench.assembly, bench.blocking, "impeller")[Direction.DRIVE]
    assert route is not None
    turn = {taken.piece: i for i, step in enumerate(route.steps) for taken in step}
    (drawn_out,) = (step[0] for step in route.steps if step[0].as_unit)
    assert {"back-plate", "bell-housing", "impeller"} <= set(drawn_out.along)
    assert "volute" not in drawn_out.along
    assert turn["balance-line"] < turn[drawn_out.piece]
    nuts = [turn[piece] for piece in turn if piece.startswith("bracket-nut-")]
    assert turn["oil-line"] < max(nuts) < turn[drawn_out.piece]


def test_the_frame_is_drawn_out_past_a_hose_that_comes_off_only_with_its_clips() -> None:
    chosen = {"hub-ring": "balance-line", "priming": "vacuum-assisted", "vacuum-pump": "on-housing"}
    bench = open_bench("end-suction/100-250", chosen)
    route = find_routes(bench.assembly, bench.blocking, "impeller")[Direction.DRIVE]
    assert route is not None
    parts = [bench.assembly.by_name[step[0].piece].part for step in route.steps]
    assert parts[:4] == ["bracket-nut", "balance-line", "vacuum-hose", "bearing-housing"]
    assert "vacuum-pump" in route.steps[3][0].along, "it stays on the frame"
