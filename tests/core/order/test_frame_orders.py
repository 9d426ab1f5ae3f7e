"""Back plate and bracket in one casting: the pump still comes wholly apart, from either end."""

from __future__ import annotations

import pytest

from trainer.core.order.directions import Direction
from trainer.core.order.reach import find_routes
from trainer.session.bench import Bench, open_bench


@pytest.fixture(scope="module", params=["enclosed", "open"])
def bench(request: pytest.FixtureRequest) -> Bench:
    choice = {"back-plate": "one-casting", "bracket": request.param}
    return open_bench("end-suction/100-250", choice)


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
