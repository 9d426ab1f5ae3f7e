"""The bell housing comes wholly apart: the disc leads, the hub may stay, the cap waits for the bell."""

from __future__ import annotations

import pytest

from trainer.core.order.state import Refused, State
from trainer.session.bench import Bench, open_bench


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250", {"drive-end": "bell-housing"})


def _turns(bench: Bench) -> dict[str, int]:
    return {name: i for i, step in enumerate(bench.order.steps) for name in step.pieces}


def test_nothing_of_it_is_stuck(bench: Bench) -> None:
    assert bench.order.stuck == ()


def test_the_disc_is_off_before_the_screws_behind_it_and_these_before_the_bell(
    bench: Bench,
) -> None:
    turn = _turns(bench)
    screws = [turn[name] for name in bench.find_pieces("bell-screw")]
    assert max(turn[name] for name in bench.find_pieces("disc-screw")) < turn["flexible-disc"]
    assert turn["flexible-disc"] < min(screws)
    assert max(screws) < turn["bell-housing"] < turn["bearing-cap"]


def test_the_set_screw_is_out_before_the_hub_and_the_hub_off_before_the_key(bench: Bench) -> None:
    turn = _turns(bench)
    assert turn["set-screw"] < turn["coupling-hub"] < turn["coupling-key"]
    assert turn["coupling-hub"] < turn["bearing-cap"]


@pytest.mark.parametrize("piece", ["bell-screw-1", "coupling-key", "bearing-cap", "cap-screw-1"])
def test_what_lies_behind_the_disc_cannot_come_first(bench: Bench, piece: str) -> None:
    state = State(bench.assembly, bench.blocking)
    assert isinstance(state.look(piece), Refused)
