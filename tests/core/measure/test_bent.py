"""The spread of what bends: against closed forms, against straight sums, against draws."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.builds import make_named_build
from models.spec.dimension import Distribution
from trainer.core.measure.bent import convolve_bent, find_bent_ends, make_parts
from trainer.core.measure.chain import Bend, Link, measure_clearance
from trainer.core.measure.contributor import make_own
from trainer.core.measure.convolution import CELLS
from trainer.core.measure.spread import compare_spreads, find_bent, find_exact

BUILD = make_named_build("end-suction/100-250")
END_FLOAT = measure_clearance(BUILD, BUILD.clearance("end-float"))


def make_link(name: str, half_mm: float, distribution: Distribution) -> Link:
    sigma = half_mm / (3.0 if distribution is Distribution.NORMAL else math.sqrt(3.0))
    return Link(
        "piece", name, 0.0, 0.0, -half_mm, half_mm, distribution, 0.0, sigma, 1.0, 1.0, "made up", measured=False
    )  # fmt: skip


def bend(link: Link, of: Callable[[float], float], value_mm: float = 0.0) -> Bend:
    return Bend(value_mm, (link,), of)


def cut_off(value: float) -> float:
    return max(value, 0.0)


def test_a_normal_cut_off_at_nothing_is_as_its_closed_form() -> None:
    """Half of it stays at nothing; its mean is sigma over the root of two pi."""
    sigma = 0.02
    parts = make_parts([bend(make_link("a", 3 * sigma, Distribution.NORMAL), cut_off)])
    shape = convolve_bent(parts, CELLS)
    assert shape.mean_mm == pytest.approx(sigma / math.sqrt(2 * math.pi), rel=1e-3)
    assert 1 - shape.find_share_below(sigma) == pytest.approx(0.158655, abs=2e-4)


def test_the_root_of_an_even_chance_is_as_its_closed_form() -> None:
    """Of x even from 0 to 1, the share of roots below y is y squared."""
    parts = make_parts(
        [bend(make_link("a", 0.5, Distribution.RECTANGULAR), lambda x: math.sqrt(max(x, 0.0)), 0.5)]
    )
    shape = convolve_bent(parts, CELLS)
    for at in (0.2, 0.5, 0.7, 0.95):
        assert shape.find_share_below(at) == pytest.approx(at**2, abs=1e-3)


def test_what_does_not_bend_spreads_as_the_straight_sum() -> None:
    links = [
        make_link("a", 0.05, Distribution.NORMAL),
        make_link("b", 0.02, Distribution.RECTANGULAR),
    ]
    required = (0.96, 1.03)
    straight = find_exact(1.0, [make_own(link) for link in links], required)
    bent = find_bent(make_parts([bend(links[0], float, 0.4), bend(links[1], float, 0.6)]), required)
    assert bent.inside == pytest.approx(straight.inside, abs=1e-3)
    assert bent.mean_mm == pytest.approx(1.0, abs=1e-6)
    assert bent.limits_mm == pytest.approx(straight.limits_mm, abs=1e-3)


def test_worst_cases_are_those_of_the_clearance() -> None:
    ends = find_bent_ends(make_parts(END_FLOAT.bends))
    assert ends == pytest.approx(END_FLOAT.worst_mm, abs=1e-6)


def test_the_end_float_by_exact_and_by_draws_agree_and_neither_leaves_its_worst_case() -> None:
    worst, _, exact, drawn = compare_spreads(END_FLOAT, np.random.default_rng(5), 200_000)
    assert exact.inside is not None
    assert drawn.inside is not None
    assert exact.inside == pytest.approx(drawn.inside, abs=5 * drawn.error + exact.error)
    assert exact.mean_mm == pytest.approx(
        drawn.mean_mm, abs=5 * (drawn.sigma_mm or 0) / 200_000**0.5
    )
    for one in (exact, drawn):
        assert worst.limits_mm[0] <= one.limits_mm[0] < one.limits_mm[1] <= worst.limits_mm[1]


@given(st.floats(0.002, 0.1), st.floats(0.002, 0.1), st.floats(-0.05, 0.1), st.integers(0, 2**31))
def test_any_two_parts_agree_with_draws(a: float, b: float, start: float, seed: int) -> None:
    bends = (
        bend(make_link("a", a, Distribution.NORMAL), cut_off, start),
        bend(make_link("b", b, Distribution.RECTANGULAR), lambda x: math.sqrt(max(x, 0.0)), 0.06),
    )
    middle = sum(one.of(one.value_mm) for one in bends)
    one = replace(END_FLOAT, bends=bends, required_mm=(middle - 0.02, middle + 0.03))
    _, _, exact, drawn = compare_spreads(one, np.random.default_rng(seed), 40_000)
    assert exact.inside is not None
    assert drawn.inside is not None
    assert abs(exact.inside - drawn.inside) <= 6 * max(drawn.error, 1e-4) + exact.error + 2e-3


def test_parts_that_share_a_dimension_are_not_taken_for_independent() -> None:
    link = make_link("a", 0.05, Distribution.NORMAL)
    with pytest.raises(ValueError, match="share"):
        make_parts([bend(link, float), bend(link, cut_off)])
