"""The vacuum pump comes wholly off: hose and guard first, then belt, sheaves and back plate, and only then the bearing cap."""

from __future__ import annotations

import pytest

from trainer.core.order.state import Refused, State, TakenOff
from trainer.session.bench import Bench, open_bench

WAYS = [
    {"vacuum-pump": "on-housing"},
    {"vacuum-pump": "beside", "bracket": "open"},
    {"vacuum-pump": "on-housing", "drive-end": "coupling-hub", "lubrication": "grease"},
]


@pytest.fixture(scope="module", params=WAYS, ids=lambda way: "-".join(way.values()))
def bench(request: pytest.FixtureRequest) -> Bench:
    return open_bench("end-suction/100-250", request.param)


@pytest.fixture(scope="module")
def turn(bench: Bench) -> dict[str, int]:
    """Give the step in which each piece leaves."""
    return {name: i for i, step in enumerate(bench.order.steps) for name in step.pieces}


def test_nothing_of_it_is_stuck(bench: Bench) -> None:
    assert bench.order.stuck == ()


def test_the_guard_is_off_before_the_belt_and_the_belt_before_both_sheaves(
    bench: Bench, turn: dict[str, int]
) -> None:
    screws = [turn[name] for name in bench.find_pieces("belt-guard-screw")]
    assert max(screws) < turn["belt-guard"] < turn["vacuum-belt"]
    assert turn["vacuum-belt"] < min(turn["shaft-sheave"], turn["vacuum-sheave"])
    assert turn["vacuum-belt"] < min(turn[name] for name in bench.find_pieces("vacuum-pump-screw"))


def test_sheaves_and_back_plate_are_off_before_the_bearing_cap(turn: dict[str, int]) -> None:
    assert turn["shaft-sheave-screw"] < turn["shaft-sheave"] < turn["shaft-sheave-key"]
    assert max(turn["shaft-sheave"], turn["vacuum-sheave"]) < turn["guard-back"]
    assert turn["guard-back"] < turn["bearing-cap"]


def test_the_hose_is_drawn_off_its_stems_when_both_clips_are_open(turn: dict[str, int]) -> None:
    assert max(turn["hose-clip-chamber"], turn["hose-clip-pump"]) < turn["vacuum-hose"]
    assert turn["vacuum-hose"] < min(turn["vacuum-fitting"], turn["vacuum-inlet-fitting"])


def test_a_coupling_hub_leaves_before_the_guard(turn: dict[str, int]) -> None:
    if "coupling-hub" in turn:
        assert turn["coupling-hub"] < turn["belt-guard"]


@pytest.mark.parametrize(
    "piece", ["vacuum-belt", "shaft-sheave", "guard-back", "bearing-cap", "vacuum-sheave-key"]
)
def test_what_lies_behind_the_guard_cannot_come_first(bench: Bench, piece: str) -> None:
    state = State(bench.assembly, bench.blocking)
    assert isinstance(state.look(piece), Refused)


def test_taking_the_pump_off_its_feet_in_the_belt_is_wrong_practice(bench: Bench) -> None:
    state = State(bench.assembly, bench.blocking)
    found = state.look("vacuum-pump-screw-1")
    assert isinstance(found, TakenOff)
    assert found.cautions


def test_the_belt_is_locked_out_and_slackened_first(bench: Bench) -> None:
    before = {work.key: work.before for work in bench.build.work}
    assert before["lock-out-belt"] == "belt-guard-screw"
    assert before["slacken-belt"] == "vacuum-belt"
