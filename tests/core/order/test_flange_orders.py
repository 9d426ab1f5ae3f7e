"""The other flange drilling: what hangs on its flanges comes off as it does with the usual one."""

from __future__ import annotations

import pytest

from trainer.session.bench import Bench, open_bench


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250", {"flanges": "class-150", "priming": "vacuum-assisted"})


def test_nothing_of_it_is_stuck(bench: Bench) -> None:
    """Its studs are longer: their nuts still find their way past barrel and clean-out."""
    assert bench.order.stuck == ()


def test_the_check_valve_leaves_after_its_nuts_and_before_its_gasket(bench: Bench) -> None:
    turn = {piece: i for i, step in enumerate(bench.order.steps) for piece in step.pieces}
    nuts = [turn[name] for name in bench.build.pieces_at("check-valve-nut")]
    assert max(nuts) < turn["check-valve"] < turn["discharge-gasket"]
    assert max(turn[name] for name in bench.build.pieces_at("spool-nut")) < turn["spool-piece"]


@pytest.mark.parametrize("discharge", ["top-horizontal", "bottom-horizontal"])
def test_the_check_valve_s_studs_come_out_wherever_the_discharge_points(discharge: str) -> None:
    chosen = {"discharge": discharge, "priming": "vacuum-assisted"}
    assert open_bench("end-suction/100-250", chosen).order.stuck == ()
