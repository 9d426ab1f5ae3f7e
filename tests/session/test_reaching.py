"""Ways to a part: those of the search, from where the pump stands, with the work before each step; and they can be gone."""

from __future__ import annotations

import pickle

import numpy as np
import pytest

from trainer.session.bench import Bench, open_bench
from trainer.session.by_hand import ByHand
from trainer.session.ordering import find_bench_routes
from trainer.session.reaching import Routes, answer_reach, ask_reach, list_steps


@pytest.fixture(scope="module")
def bench() -> Bench:
    return open_bench("end-suction/100-250")


@pytest.fixture(scope="module")
def routes(bench: Bench) -> Routes:
    """The ways to the impeller, asked as a process is asked."""
    question = ask_reach(bench, ("impeller",), ())
    return answer_reach(pickle.loads(pickle.dumps(question)))


def test_the_answer_is_that_of_the_search(bench: Bench, routes: Routes) -> None:
    assert list(routes.values()) == list(find_bench_routes(bench, "impeller").values())
    assert set(routes) == {"suction", "drive"}
    assert all(way is not None for way in routes.values()), "the back pull-out is one of them"


def test_what_is_off_already_need_not_come_off(bench: Bench) -> None:
    off = [name for step in bench.order.steps[:2] for name in step.pieces]
    way = answer_reach(ask_reach(bench, ("impeller-screw",), off))["suction"]
    assert way is not None
    assert way.pieces == ("impeller-screw",)
    assert answer_reach(ask_reach(bench, (off[0],), off)) == {}


def test_work_stands_before_its_step_and_the_start_before_all(bench: Bench, routes: Routes) -> None:
    way = routes["suction"]
    assert way is not None
    first, second = list_steps(bench, way, is_together=True)[:2]
    assert first.pieces[0].startswith("cover-nut")
    assert first.work[0] == "lock-out"
    assert "vent-and-drain" in first.work
    assert second.work == ("sling-cover",)
    later = list_steps(bench, way, is_together=False)
    assert "lock-out" not in later[0].work


def test_every_step_of_a_way_can_be_taken_by_hand(bench: Bench, routes: Routes) -> None:
    for way in routes.values():
        assert way is not None
        hand = ByHand(bench.assembly, bench.blocking, bench.order)
        for step in list_steps(bench, way, is_together=True):
            for taken in step.taken:
                pulls = [pull for pull in hand.find_pulls(taken.piece) if pull.comes_off]
                assert taken.direction in {pull.direction for pull in pulls}
                hand.take(tuple(pull for pull in pulls if pull.direction == taken.direction))
                assert hand.is_off(taken.piece)
        assert hand.off == set(way.pieces)
        places = hand.find_places(bench.layout, 0.0)
        assert all(np.any(places[name]) for name in way.pieces)
