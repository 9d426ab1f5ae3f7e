"""The legs of a chain add up to the chain itself, in value and in every dimension, whatever pump it is."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from models.builds import make_named_build
from models.spec.build import Build
from models.spec.errors import RefusalError
from models.spec.length import Length
from tests.covering_sample import SAMPLE
from trainer.core.measure.legs import list_legs


@pytest.mark.parametrize(("name", "chosen"), SAMPLE)
def test_the_legs_of_every_chain_add_up_to_it(name: str, chosen: dict[str, str]) -> None:
    build = make_named_build(name, chosen)
    for clearance in build.clearances:
        if not clearance.is_plain:
            continue
        chain, legs = build.read_chain(clearance), list_legs(build, clearance)
        along = sum(leg.end_mm - leg.start_mm for leg in legs)
        assert along == pytest.approx(float(chain), abs=1e-9), clearance.name
        terms = [term for leg in legs for term in leg.terms]
        assert sorted(terms) == sorted(chain.terms), clearance.name


def find_legs(build: Build, name: str) -> list[tuple[str, ...]]:
    return [leg.pieces for leg in list_legs(build, build.clearance(name))]


def test_each_leg_begins_where_the_one_before_ends() -> None:
    build = make_named_build("end-suction/100-250")
    legs = list_legs(build, build.clearance("ring-overlap"))
    for before, after in itertools.pairwise(legs):
        assert after.start_mm == pytest.approx(before.end_mm)


def test_the_back_vane_gap_is_walked_from_impeller_to_back_plate_through_what_the_shaft_rests_on() -> (
    None
):
    build = make_named_build("end-suction/100-250")
    shims = [(name,) for name in reversed(build.pieces_at("shim"))]
    rest = [("shaft",), ("bearing-housing",), ("bracket",), ("back-plate",)]
    assert find_legs(build, "back-vane") == [("impeller",), *shims, *rest]


def test_adjusting_screws_are_one_leg_together() -> None:
    build = make_named_build("self-priming/100")
    assert build.pieces_at("adjusting-screw") in find_legs(build, "wear-plate")


def test_a_ring_and_what_runs_in_it_are_crossed_on_their_diameters() -> None:
    build = make_named_build("end-suction/100-250")
    journal, bore = list_legs(build, build.clearance("wear-ring"))
    assert (journal.pieces, bore.pieces) == (("impeller",), ("wear-ring",))
    assert journal.start_mm - journal.end_mm == pytest.approx(139.975)
    assert bore.end_mm - bore.start_mm == pytest.approx(140.56)


def test_what_is_computed_otherwise_has_no_walk() -> None:
    build = make_named_build("end-suction/100-250")
    computed = replace(build.clearance("back-vane"), compute=lambda _: Length(1.0))
    with pytest.raises(RefusalError, match="back-vane"):
        list_legs(build, computed)
