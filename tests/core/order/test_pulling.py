"""A piece pulled by hand: every direction tells what the table says, and agrees with what can be taken."""

from __future__ import annotations

import math

import numpy as np
import pytest

from trainer.core.order.directions import Direction
from trainer.core.order.pulling import Pull
from trainer.core.order.state import Refused, State, TakenOff
from trainer.session.bench import Bench, open_bench


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250")


def make_state(bench: Bench, steps: int = 0) -> State:
    ways = {one.piece: one.direction for step in bench.order.steps for one in step.taken}
    state = State(bench.assembly, bench.blocking, ways)
    for step in bench.order.steps[:steps]:
        for piece in step.pieces:
            state.take(piece)
    return state


def find_pull(state: State, piece: str, direction: Direction) -> Pull:
    return next(pull for pull in state.find_pulls(piece) if pull.direction == direction)


def measure_travel_mm(bench: Bench, pull: Pull, lot: frozenset[str]) -> dict[str, float]:
    """Read off the table alone how far what moves goes until it meets each of the rest of its lot."""
    table = bench.blocking
    number = {name: i for i, name in enumerate(table.names)}
    way = table.directions.index(pull.direction)
    own = [number[name] for name in pull.moving]
    return {
        name: float(table.travel_mm[way][own, number[name]].min()) for name in lot - pull.moving
    }


def test_what_is_pulled_and_what_can_be_taken_are_one_in_every_state_of_the_order(
    bench: Bench,
) -> None:
    state = make_state(bench)
    for step in [None, *bench.order.steps]:
        for piece in step.pieces if step else ():
            state.take(piece)
        for piece in set(bench.assembly.by_name) - set(state.off):
            pulls, found = state.find_pulls(piece), state.find(piece)
            assert any(pull.comes_off for pull in pulls) == (found is not None), piece
            if found:
                assert pulls[0].comes_off, piece
                assert pulls[0].direction == found.direction, piece
                assert pulls[0].moving == found.along, piece


def test_a_pull_stops_where_the_table_says_and_at_what_it_says(bench: Bench) -> None:
    checked = 0
    for steps in (0, 8, 20):
        state = make_state(bench, steps)
        for piece in set(bench.assembly.by_name) - set(state.off):
            if bench.assembly.by_name[piece].flexible:
                continue  # springs off over what carries it
            for pull in state.find_pulls(piece):
                is_unit = isinstance(pull.found, TakenOff) and pull.found.as_unit
                if pull.is_held or is_unit:
                    continue
                travel = measure_travel_mm(bench, pull, state.lot_of(piece))
                assert pull.stop_mm == pytest.approx(min(travel.values(), default=math.inf)), piece
                if isinstance(pull.found, Refused):
                    (met,) = pull.hindrance
                    assert travel[met] == pull.stop_mm, piece
                    checked += 1
    assert checked > 500


def test_every_direction_has_its_own_answer(bench: Bench) -> None:
    state = make_state(bench)
    pulls = state.find_pulls("cover-nut-1")
    assert {pull.direction for pull in pulls} >= {
        Direction.SUCTION,
        Direction.DRIVE,
        Direction.UP,
        Direction.LEFT,
    }
    assert [pull.comes_off for pull in pulls] == [True, *[False] * (len(pulls) - 1)]
    assert pulls[0].direction == Direction.SUCTION
    assert pulls[0].stop_mm == math.inf
    drive = find_pull(state, "cover-nut-1", Direction.DRIVE)
    assert drive.hindrance == {"suction-cover"}


def test_a_joint_holds_a_part_whichever_way_it_is_pulled(bench: Bench) -> None:
    state = make_state(bench)
    for pull in state.find_pulls("suction-cover"):
        assert pull.is_held
        assert pull.stop_mm == 0.0
        assert pull.hindrance == {f"cover-nut-{number}" for number in range(1, 9)}
        assert {"wear-ring", "suction-cover"} <= pull.moving


def test_it_is_off_beyond_its_own_length(bench: Bench) -> None:
    state = make_state(bench)
    nut = bench.assembly.by_name["cover-nut-1"].mesh
    length_mm = float(np.ptp(nut.points[:, 0]))
    pull = find_pull(state, "cover-nut-1", Direction.SUCTION)
    assert length_mm <= pull.off_mm <= length_mm + 1.5


def test_a_screw_that_is_drawn_and_goes_aside_may_be_let_go_once_it_is_drawn(bench: Bench) -> None:
    found = [
        pull
        for steps in range(0, len(bench.order.steps), 4)
        for state in [make_state(bench, steps)]
        for piece in set(bench.assembly.by_name) - set(state.off)
        for pull in state.find_pulls(piece)
        if isinstance(pull.found, TakenOff) and pull.found.aside
    ]
    assert found
    for pull in found:
        assert 0.0 < pull.off_mm < pull.stop_mm < math.inf
