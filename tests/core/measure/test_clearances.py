"""Chains against changing each dimension by itself; a shim moves the gap by its thickness."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.builds import make_named_build
from models.spec.build import Build
from trainer.core.measure.chain import measure_clearances
from trainer.session.typed import make_pack

PUMP = "end-suction/100-250"
BUILD = make_named_build(PUMP)
CLEARANCES = measure_clearances(BUILD)


def value_mm(build: Build, name: str) -> float:
    return float(build.read_chain(build.clearance(name)))


@pytest.mark.parametrize("name", [one.name for one in CLEARANCES])
def test_sensitivities_are_what_moving_each_dimension_does(name: str) -> None:
    clearance = next(one for one in CLEARANCES if one.name == name)
    for link in clearance.chain:
        moved = make_named_build(
            PUMP, measured={(link.piece, link.dimension): link.value_mm + 0.01}
        )
        change = value_mm(moved, name) - clearance.value_mm
        assert change == pytest.approx(link.sensitivity * 0.01, abs=1e-9), link.dimension


@pytest.mark.parametrize("name", [one.name for one in CLEARANCES])
def test_dimensions_outside_the_chain_do_not_move_it(name: str) -> None:
    clearance = next(one for one in CLEARANCES if one.name == name)
    inside = {(link.piece, link.dimension) for link in clearance.chain}
    others = [
        (piece.name, key)
        for piece in BUILD.pieces.values()
        for key in piece.dimensions
        if (piece.name, key) not in inside
    ]
    for term in random.Random(name).sample(others, 12):
        if BUILD.dimension(term).unit == "mm":
            moved = make_named_build(PUMP, measured={term: BUILD.dimension(term).middle + 0.01})
            assert value_mm(moved, name) == pytest.approx(clearance.value_mm, abs=1e-9), term


def test_worst_case_holds_every_sample() -> None:
    chance = random.Random(4)
    for _ in range(25):
        terms = {(link.piece, link.dimension): link for one in CLEARANCES for link in one.chain}
        measured = {
            term: chance.uniform(link.lower_mm, link.upper_mm) for term, link in terms.items()
        }
        build = make_named_build(PUMP, measured=measured)
        for one in CLEARANCES:
            low, high = one.worst_mm
            assert low - 1e-9 <= value_mm(build, one.name) <= high + 1e-9


@given(st.floats(0.01, 2.0), st.floats(0.01, 2.0))
def test_adding_a_shim_moves_the_gap_by_its_thickness(first_mm: float, more_mm: float) -> None:
    one = make_named_build(PUMP, pack=make_pack((first_mm,)))
    two = make_named_build(PUMP, pack=make_pack((first_mm, more_mm)))
    assert value_mm(two, "back-vane") - value_mm(one, "back-vane") == pytest.approx(
        more_mm, abs=1e-9
    )
