"""Chains against changing each dimension by itself; packs against trying every one."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.builds import make_named_build
from models.spec.build import Build
from models.spec.errors import RefusalError
from trainer.core.measure.chain import measure_clearances
from trainer.core.measure.shims import MeasuredGap, StockShim, choose_pack, find_chance
from trainer.session.typed import make_pack

PUMP = "end-suction/100-250"
BUILD = make_named_build(PUMP)
CLEARANCES = measure_clearances(BUILD)
STOCK = tuple(
    StockShim(t, 0.01, n) for t, n in ((0.05, 2), (0.1, 1), (0.2, 3), (0.3, 2), (0.5, 2), (1.0, 1))
)


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


def every_pack() -> set[tuple[float, ...]]:
    single = [shim.thickness_mm for shim in STOCK for _ in range(shim.in_drawer)]
    return {
        tuple(sorted(chosen, reverse=True))
        for count in range(1, 5)
        for chosen in itertools.combinations(single, count)
    }


@given(st.floats(0.1, 2.0), st.floats(0.1, 2.0))
def test_pack_from_one_gap_is_the_best_of_all(gap_mm: float, known_mm: float) -> None:
    answer = choose_pack(CLEARANCES, "back-vane", STOCK, MeasuredGap(gap_mm, (known_mm,)))
    best = answer.best
    assert best.shims_mm in every_pack()
    assert best.result_mm == pytest.approx(gap_mm - known_mm + best.total_mm)
    assert answer.ideal_mm == pytest.approx(known_mm + answer.aim_mm - gap_mm)
    for shims in every_pack():
        result = gap_mm - known_mm + sum(shims)
        sigma = (sum((0.01 / 3) ** 2 for _ in shims)) ** 0.5
        chance = find_chance(result, sigma, answer.required_mm)
        if chance > best.chance + 1e-3:
            other = choose_pack(
                CLEARANCES,
                "back-vane",
                [StockShim(t, 0.01, 4) for t in set(shims)],
                MeasuredGap(gap_mm, (known_mm,)),
            )
            assert len(other.best.conflicts) >= len(best.conflicts)


def test_conflict_with_another_gap_is_named() -> None:
    tight = tuple(
        replace(one, required_mm=(one.value_mm - 0.01, one.value_mm + 0.01))
        if one.name == "washer-clamp"
        else one
        for one in CLEARANCES
    )
    answer = choose_pack(tight, "back-vane", [StockShim(0.5, 0.01, 1)], MeasuredGap(0.5, (0.5,)))
    assert not answer.fits
    assert answer.best.conflicts == ("washer-clamp",)


@pytest.mark.parametrize(
    ("name", "stock"), [("wear-ring", STOCK), ("no-such", STOCK), ("back-vane", ())]
)
def test_what_cannot_be_shimmed_is_refused(name: str, stock: tuple[StockShim, ...]) -> None:
    with pytest.raises(RefusalError):
        choose_pack(CLEARANCES, name, stock)


def test_chance_of_a_centred_three_sigma_value() -> None:
    """Two-sided yield at three sigma is 99.73 % (CPK-1: 2699.8 ppm outside; scipy's normal distribution)."""
    assert 1 - find_chance(0.5, 0.1, (0.2, 0.8)) == pytest.approx(2699.8e-6, rel=1e-4)
