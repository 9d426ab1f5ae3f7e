"""Back plate and bracket in one casting, and jacking screws: the pump comes wholly apart, from either end."""

from __future__ import annotations

import pytest

from trainer.core.order.directions import Direction
from trainer.core.order.reach import find_routes
from trainer.core.order.state import Refused, State, TakenOff
from trainer.session.bench import Bench, open_bench

CHOICES = [{"bracket": "enclosed"}, {"bracket": "open", "jacking": "screws"}]


@pytest.fixture(scope="module", params=CHOICES, ids=str)
def bench(request: pytest.FixtureRequest) -> Bench:
    return open_bench("end-suction/100-250", {"back-plate": "one-casting", **request.param})


def test_nothing_of_it_is_stuck_and_no_back_plate_comes_off(bench: Bench) -> None:
    assert bench.order.stuck == ()
    taken = {name for step in bench.order.steps for name in step.pieces}
    assert taken == set(bench.assembly.by_name)
    assert not {"back-plate", "bracket-o-ring"} & taken


def test_the_casting_leads_the_impeller_out_backwards_and_stays_put_from_the_front(
    bench: Bench,
) -> None:
    routes = find_routes(bench.assembly, bench.blocking, "impeller")
    front, back = routes[Direction.SUCTION], routes[Direction.DRIVE]
    assert front is not None
    assert back is not None
    assert "bracket" not in {t.piece for step in front.steps for t in step}
    pulled = back.steps[1][0]
    assert pulled.as_unit
    assert pulled.direction is Direction.DRIVE
    assert {"shaft", "impeller", "bracket", "seal-seat"} <= pulled.along
    assert not {"volute", "suction-cover", "wear-ring"} & pulled.along


@pytest.fixture(scope="module")
def jacked() -> Bench:
    return open_bench("end-suction/100-250", {"jacking": "screws"})


def test_jacking_screws_ride_back_with_the_frame(jacked: Bench) -> None:
    assert jacked.order.stuck == ()
    back = find_routes(jacked.assembly, jacked.blocking, "impeller")[Direction.DRIVE]
    assert back is not None
    assert {"jacking-screw-1", "jacking-nut-2", "bracket"} <= back.steps[1][0].along


def test_the_back_plate_cannot_leave_the_bracket_before_the_jacking_screws_are_out(
    jacked: Bench,
) -> None:
    parts = [step.part for step in jacked.order.steps]
    steps = jacked.order.steps[: parts.index("jacking-screw")]
    assert "back-plate" not in {step.part for step in steps}
    state = State(jacked.assembly, jacked.blocking)
    taken = [state.take(piece) for step in steps for piece in step.pieces]
    assert not any(isinstance(found, Refused) for found in taken)
    assert isinstance(state.look("back-plate"), Refused)
    for screw in jacked.find_pieces("jacking-screw"):
        state.take(screw)
    assert isinstance(state.look("back-plate"), TakenOff)
