"""What is seen of the steps of the procedures, held against the extents of the solids and what the procedures say."""

from __future__ import annotations

import numpy as np
import pytest

from models.spec.procedure import MOVES, Does
from trainer.session.asking import Benches
from trainer.session.asking.procedure_kind import list_procedures
from trainer.session.bench import Bench
from trainer.session.step_move import StepMove, find_step_gap, find_step_move

BENCHES = Benches()


@pytest.fixture(params=["end-suction/100-250", "self-priming/100"])
def bench(request: pytest.FixtureRequest) -> Bench:
    return BENCHES.open(request.param)


def find(bench: Bench, procedure: str, step: str) -> StepMove:
    found = find_step_move(bench, procedure, step)
    assert found is not None, (procedure, step)
    return found


def test_every_step_that_moves_parts_moves_all_of_them_clear(bench: Bench) -> None:
    for name, procedure in list_procedures(bench).items():
        for step in procedure.steps:
            if step.does not in MOVES:
                assert find_step_move(bench, name, step.name) is None
                continue
            move = find(bench, name, step.name)
            named = {piece for part in step.parts for piece in bench.build.places[part]}
            assert set(move.pieces) == named
            assert named <= move.moving
            assert not move.moving & move.gone
            assert move.goes_on is (step.does is Does.ON)
            for piece, shift in move.shifts.items():
                low, high = bench.assembly.by_name[piece].mesh.bounds
                length_mm = float((high - low) @ np.abs(shift)) / float(np.linalg.norm(shift))
                assert np.linalg.norm(shift) > length_mm, "it is seen to have left its place"


def test_what_comes_on_for_a_trial_comes_off_again_the_same_way(bench: Bench) -> None:
    on, off = (find(bench, "set-impeller", f"trial-impeller{end}") for end in ("", "-off"))
    assert on.shifts.keys() == off.shifts.keys()
    assert all(np.array_equal(shift, off.shifts[name]) for name, shift in on.shifts.items())
    assert on.gone == off.gone
    assert (on.goes_on, off.goes_on) == (True, False)


def test_only_what_has_to_be_off_is_not_shown() -> None:
    bench = BENCHES.open("end-suction/100-250")
    move = find(bench, "take-impeller-off", "impeller-off")
    assert {"impeller-screw", "suction-cover", "volute"} <= move.gone, "the pump was opened before"
    assert move.gone.isdisjoint({"shaft", "bracket", "bearing-housing", "back-plate"})
    trial = find(bench, "set-impeller", "trial-impeller")
    assert "seal-face" in trial.gone, "a trial fit has nothing behind it but the pack"
    nuts = find(bench, "open-pump", "casing-nuts-off")
    assert nuts.gone == frozenset()


def test_what_comes_off_first_goes_farthest() -> None:
    move = find(BENCHES.open("end-suction/100-250"), "take-impeller-off", "screw-off")
    assert move.pieces[0] == "impeller-screw"
    lengths = [float(np.linalg.norm(move.shifts[name])) for name in move.pieces]
    assert lengths == sorted(lengths, reverse=True)


def test_a_step_that_no_procedure_has_is_no_step(bench: Bench) -> None:
    with pytest.raises(KeyError):
        find_step_move(bench, "set-impeller", "polish")


def test_a_pump_is_open_by_then_as_it_is_taught() -> None:
    bench = BENCHES.open("end-suction/100-250")
    for step in ("screw-off", "impeller-off", "seal-off"):
        assert "volute" in find(bench, "take-impeller-off", step).gone
    assert "impeller" not in find(bench, "open-pump", "volute-off").gone


def test_a_way_is_told_only_where_all_go_the_same() -> None:
    bench = BENCHES.open("end-suction/100-250")
    pack = find(bench, "set-impeller", "trial-pack")
    assert pack.direction is None, (
        "a key is lifted out of its seat, shims are drawn along the shaft"
    )
    nuts = find(bench, "open-pump", "casing-nuts-off")
    assert nuts.direction is not None


def test_a_step_that_measures_gives_its_gap_and_no_other_does() -> None:
    bench = BENCHES.open("self-priming/100")
    assert find_step_gap(bench, "put-back", "set-plate") == "wear-plate"
    assert find_step_gap(bench, "put-back", "cross-tighten") == ""
    assert find_step_gap(bench, "put-back", "polish") == ""
    with pytest.raises(KeyError):
        find_step_gap(bench, "dance", "set-plate")
