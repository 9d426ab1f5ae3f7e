"""Every clearance of every family against its build made anew: sensitivities, signs, what cancels, what encloses."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from models.builds import list_builds, make_named_build
from models.spec.build import Build
from models.spec.choosing import fill_places
from models.spec.dimension import Unit
from models.spec.length import Term
from models.spec.placing import Placing
from trainer.core.measure.chain import MeasuredClearance, find_worst, measure_clearances
from trainer.session.bench import list_every_build

STEP_MM = 1e-4
"""By how much each dimension is moved: so little that what bends looks straight."""
PUMP = "end-suction/100-250"
NEAR = {True: (0.0, 1e-8), False: (5e-4, 3e-3)}
"""How near a sensitivity must be, as a share of it and beside that: of a plain sum exact; a formula may take a shape, as a ball's size, for a fixed number."""

USUAL = {name: make_named_build(name) for name in list_builds()}


def find_those_that_add() -> list[Build]:
    """List the usual builds, and those with one other option value that bring a clearance or another chain for one."""
    found: list[Build] = []
    seen: set[tuple[str, str, frozenset[Term]]] = set()
    for build in [*USUAL.values(), *list_every_build()]:
        chains = {
            (build.family.name, one.name, frozenset(build.read_chain(one).terms))
            for one in build.clearances
        }
        if not chains <= seen:
            found.append(build)
            seen |= chains
    return found


BUILDS = find_those_that_add()


def say(build: Build) -> str:
    usual = USUAL[build.name].options
    other = [f"{key}={value}" for key, value in build.options.items() if usual[key] != value]
    return " ".join([build.name, *other])


def change(build: Build, measured: dict[Term, float]) -> Build:
    """Make the build anew with values measured, from the same rows."""
    filled = fill_places(build.family, build.options)
    return Placing(
        build.family, build.size, dict(build.options), filled, build.pack, measured
    ).build()


def read_mm(build: Build) -> dict[str, float]:
    return {one.name: float(build.read_chain(one)) for one in build.clearances}


def list_terms(measured: tuple[MeasuredClearance, ...]) -> dict[Term, float]:
    return {(link.piece, link.dimension): link.value_mm for one in measured for link in one.chain}


MOVED = 2
"""Of the dimensions that a build has in common with the usual one, so many are moved in it again."""


def list_slopes(measured: tuple[MeasuredClearance, ...]) -> dict[Term, set[tuple[str, float]]]:
    """List for each dimension which clearances it moves, and by how much."""
    slopes: dict[Term, set[tuple[str, float]]] = {}
    for one in measured:
        for link in one.chain:
            term = link.piece, link.dimension
            slopes.setdefault(term, set()).add((one.name, round(link.sensitivity, 9)))
    return slopes


USUAL_SLOPES = {name: list_slopes(measure_clearances(build)) for name, build in USUAL.items()}


@pytest.mark.parametrize("build", BUILDS, ids=say)
def test_sensitivities_are_what_moving_each_dimension_does(build: Build) -> None:
    measured = measure_clearances(build)
    terms = list(list_terms(measured).items())
    if build not in USUAL.values():  # what moves the same things there is moved there
        slopes, usual = list_slopes(measured), USUAL_SLOPES[build.name]
        new = [one for one in terms if slopes[one[0]] != usual.get(one[0])]
        same = [one for one in terms if slopes[one[0]] == usual.get(one[0])]
        terms = new + random.Random(say(build)).sample(same, min(MOVED, len(same)))
    for term, value in terms:
        more, less = (read_mm(change(build, {term: value + way * STEP_MM})) for way in (1, -1))
        for one in measured:
            known = {(link.piece, link.dimension): link.sensitivity for link in one.chain}
            slope = (more[one.name] - less[one.name]) / (2 * STEP_MM)
            rel, abs_ = NEAR[build.clearance(one.name).is_plain]
            wanted = pytest.approx(known.get(term, 0.0), rel=rel, abs=abs_)
            assert slope == wanted, (one.name, term)


@pytest.mark.parametrize("build", BUILDS, ids=say)
def test_dimensions_outside_every_chain_move_nothing(build: Build) -> None:
    before, measured = read_mm(build), measure_clearances(build)
    inside = list_terms(measured)
    others = [
        (piece.name, key)
        for piece in build.pieces.values()
        for key, dimension in piece.dimensions.items()
        if (piece.name, key) not in inside and dimension.unit is Unit.MM
    ]
    if not others:
        return
    for term in random.Random(build.name).sample(others, min(12, len(others))):
        moved = read_mm(change(build, {term: build.dimension(term).middle + 0.01}))
        assert moved == pytest.approx(before, abs=1e-9), term


SLACK_MM = {True: 1e-9, False: 2e-3}
"""What a sample may stand out of the worst case: nothing of a plain sum; what bends is worked out to first order."""


@pytest.mark.parametrize("name", USUAL)
def test_worst_case_holds_every_sample(name: str) -> None:
    build, chance = USUAL[name], random.Random(4)
    measured = measure_clearances(build)
    links = {(link.piece, link.dimension): link for one in measured for link in one.chain}
    for _ in range(25):
        values = {t: chance.uniform(link.lower_mm, link.upper_mm) for t, link in links.items()}
        found = read_mm(change(build, values))
        for one in measured:
            slack = SLACK_MM[build.clearance(one.name).is_plain]
            low, high = find_worst(one.value_mm, one.chain) if one.effects else one.worst_mm
            assert low - slack <= found[one.name] <= high + slack, one.name


def test_a_bent_clearance_is_held_by_its_worst_case_to_the_very_corner() -> None:
    """The end float climbs as the root of a clearance: straight from its middle its least would be far too much."""
    build = USUAL[PUMP]
    (float_,) = (one for one in measure_clearances(build) if one.name == "end-float")
    for end, is_up in zip(float_.worst_mm, (False, True), strict=True):
        corner = {
            (link.piece, link.dimension): link.upper_mm
            if (link.sensitivity > 0) == is_up
            else link.lower_mm
            for link in float_.chain
        }
        assert read_mm(change(build, corner))["end-float"] == pytest.approx(end, abs=1e-4)


@pytest.mark.parametrize("build", BUILDS, ids=say)
def test_swapping_the_faces_of_a_clearance_negates_it(build: Build) -> None:
    for one in build.clearances:
        if one.is_plain:
            swapped = build.read_chain(replace(one, low=one.high, high=one.low))
            length = build.read_chain(one)
            assert float(swapped) == pytest.approx(-float(length), abs=1e-12)
            assert dict(swapped.terms) == pytest.approx({t: -s for t, s in length.terms.items()})


def test_what_both_faces_rest_on_cancels() -> None:
    """The shims lie under the impeller: in every gap that it has to a casting, in none between casting and casting."""
    build = USUAL[PUMP]
    face = ("back-plate", "wet-face")
    common = build.position("back-plate", "seat-shoulder").terms.keys()
    between = build.position(*face) - build.position("back-plate", "seat-shoulder")
    assert ("volute", "width") in common
    assert {piece for piece, _ in between.terms} == {"back-plate"}
    line = build.read_chain(build.clearance("seal-line"))
    assert not {"volute", "casing-gasket"} & {piece for piece, _ in line.terms}


@pytest.mark.parametrize("build", BUILDS, ids=say)
def test_every_sound_build_keeps_every_clearance(build: Build) -> None:
    outside = [
        (one.name, one.in_service_mm, one.required_mm)
        for one in measure_clearances(build)
        if not one.is_inside
    ]
    assert outside == []


@pytest.mark.parametrize("build", BUILDS, ids=say)
def test_every_clearance_says_what_is_required_and_by_whom(build: Build) -> None:
    for one in measure_clearances(build):
        low, high = one.required_mm
        assert low <= one.aim_mm <= high, one.name
        assert low < high, one.name
        assert one.required_by.count(":") >= 1, one.name


def test_a_measured_ring_bore_is_closed_already() -> None:
    measured = {("wear-ring", "bore"): 140.62, ("impeller", "nose-diameter"): 139.90}
    found = measure_clearances(make_named_build(PUMP, measured=measured))
    (gap,) = (one for one in found if one.name == "wear-ring")
    assert gap.in_service_mm == pytest.approx(0.72)
    assert gap.worst_mm == pytest.approx((0.72, 0.72))


def test_the_worst_case_of_a_running_clearance_is_that_of_the_pressed_ring() -> None:
    (gap,) = (one for one in measure_clearances(USUAL[PUMP]) if one.name == "wear-ring")
    assert gap.in_service_mm < gap.value_mm
    assert gap.worst_mm == find_worst(gap.in_service_mm, gap.service_chain)
