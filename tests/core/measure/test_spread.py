"""Spread: four methods against each other, against closed forms, and against what must always be so."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.builds import make_named_build
from models.spec.dimension import Dimension, Distribution, Source, Unit
from models.spec.errors import RefusalError
from trainer.core.measure.chain import measure_clearances
from trainer.core.measure.contributor import Contributor, list_contributors, make_contributor
from trainer.core.measure.convolution import convolve
from trainer.core.measure.spread import (
    BLOCK,
    MOST_SAMPLES,
    Method,
    check_required,
    compare_spreads,
    find_exact,
    find_monte_carlo,
    find_root_sum_square,
    find_worst_case,
    sample_sum,
)

BUILD = make_named_build("end-suction/100-250")
CLEARANCES = measure_clearances(BUILD)
BACK_VANE = next(one for one in CLEARANCES if one.name == "back-vane")
BOUNDED = [kind for kind in Distribution if kind is not Distribution.NORMAL]


def make_one(
    kind: Distribution, low: float, high: float, nominal: float | None = None, s: float = 1.0
) -> Contributor:
    """Make a contributor between two limits, mm."""
    middle = (low + high) / 2.0 if nominal is None else nominal
    return make_contributor(
        Dimension("d", middle, low, high, Unit.MM, kind, Source("", 0, "a test")), s
    )


widths = st.floats(0.004, 1.0)
kinds = st.sampled_from(list(Distribution))
some = st.builds(
    lambda kind, low, width, share, s: make_one(kind, low, low + width, low + share * width, s),
    kinds,
    st.floats(-2.0, 2.0),
    widths,
    st.floats(0.0, 1.0),
    st.sampled_from([1.0, -1.0, 0.5, -2.0]),
)
chains = st.lists(some, min_size=1, max_size=6)


@given(some)
def test_shares_below_are_the_slope_of_the_mean_excess_and_give_mean_and_sigma(
    one: Contributor,
) -> None:
    low, high = one.reach_mm
    at = np.linspace(low, high, 4_001)
    shares, excess = one.find_share_below(at), one.find_mean_excess(at)
    assert np.all(np.diff(shares) >= -1e-12)
    assert shares[0] == pytest.approx(0.0, abs=1e-12)
    assert shares[-1] == pytest.approx(1.0, abs=1e-12)
    mean = low + np.trapezoid(1.0 - shares, at)
    assert mean == pytest.approx(one.mean_mm, abs=1e-6 * (high - low))
    second = 2.0 * np.trapezoid((at - low) * (1.0 - shares), at) - (mean - low) ** 2
    assert math.sqrt(second) == pytest.approx(one.sigma_mm, rel=1e-4)
    assert excess[0] == pytest.approx(one.mean_mm - low, abs=1e-9)
    assert np.gradient(excess, at)[1:-1] == pytest.approx(shares[1:-1] - 1.0, abs=2e-3)
    steepest = np.diff(shares).max() / (at[1] - at[0])
    assert one.highest_per_mm * 0.99 <= steepest <= one.highest_per_mm * (1.0 + 1e-6)


@given(chains)
def test_the_grid_keeps_the_mean_and_all_of_the_mass(chain: list[Contributor]) -> None:
    shape = convolve(chain)
    assert shape.masses.sum() == pytest.approx(1.0, abs=1e-12)
    kept = shape.kept.mean_mm if shape.kept else 0.0
    mean = float(shape.masses @ shape.at_mm) + kept
    assert mean == pytest.approx(sum(one.mean_mm for one in chain), abs=1e-9)


@given(chains)
def test_shares_are_shares_and_the_list_says_what_each_value_says(
    chain: list[Contributor],
) -> None:
    shape = convolve(chain)
    values, shares = shape.list_shares()
    assert np.all(np.diff(shares) >= -1e-12)
    assert shares[0] == pytest.approx(0.0, abs=1e-12)
    assert shares[-1] == pytest.approx(1.0, abs=1e-12)
    for place in (0, len(values) // 3, len(values) // 2, len(values) - 1):
        assert shape.find_share_below(float(values[place])) == pytest.approx(
            shares[place], abs=1e-11
        )


@given(chains, st.floats(-3.0, 3.0), st.floats(0.001, 2.0), st.floats(0.0, 1.0))
def test_wider_limits_hold_no_less(
    chain: list[Contributor], low: float, width: float, more: float
) -> None:
    narrow = find_exact(0.0, chain, (low, low + width))
    wide = find_exact(0.0, chain, (low - more, low + width + more))
    assert narrow.inside is not None
    assert wide.inside is not None
    assert 0.0 <= narrow.inside <= wide.inside + 1e-12 <= 1.0 + 2e-12
    assert narrow.below is not None
    assert narrow.above is not None
    assert narrow.below + narrow.inside + narrow.above == pytest.approx(1.0, abs=1e-9)


@given(chains, st.randoms(use_true_random=False))
def test_the_order_of_the_contributors_changes_nothing(
    chain: list[Contributor], order: object
) -> None:
    mixed = list(chain)
    order.shuffle(mixed)  # type: ignore[attr-defined]
    one, other = convolve(chain), convolve(mixed)
    for share in np.linspace(0.05, 0.95, 7):
        low, high = one.reach_mm
        at = low + share * (high - low)
        assert one.find_share_below(at) == pytest.approx(
            other.find_share_below(at), abs=one.error + other.error + 1e-12
        )


@given(st.lists(some, min_size=1, max_size=5))
def test_a_finer_grid_stays_within_the_bound_of_the_coarser(chain: list[Contributor]) -> None:
    coarse, fine = convolve(chain, 64), convolve(chain, 4096)
    low, high = fine.reach_mm
    for at in np.linspace(low, high, 41):
        off = abs(coarse.find_share_below(float(at)) - fine.find_share_below(float(at)))
        assert off <= coarse.error + fine.error + 1e-12


@pytest.mark.parametrize("cells", [16, 64, 256, 1024, 4096])
@pytest.mark.parametrize("number", [2, 3, 4, 8])
def test_sum_of_rectangles_is_as_far_from_irwin_and_hall_as_the_bound_allows(
    number: int, cells: int
) -> None:
    """Closed form: the share of a sum of n uniform numbers below x is sum((-1)^k C(n,k) (x-k)^n) / n!."""
    chain = [make_one(Distribution.RECTANGULAR, 0.0, 1.0) for _ in range(number)]
    shape = convolve(chain, cells)
    worst = 0.0
    for x in np.linspace(0.013, number - 0.017, 97):
        terms = (
            (-1) ** k * math.comb(number, k) * (x - k) ** number for k in range(math.floor(x) + 1)
        )
        worst = max(
            worst,
            abs(shape.find_share_below(float(x)) - math.fsum(terms) / math.factorial(number)),
        )
    assert worst <= shape.error + 1e-13
    assert shape.error <= number**3 / (8.0 * cells**2)


@pytest.mark.parametrize("pair", list(itertools.combinations_with_replacement(BOUNDED, 2)))
def test_two_contributors_against_numeric_integration(
    pair: tuple[Distribution, Distribution],
) -> None:
    """Closed form: F(t) = integral of F1(t - x) over the shares of x, by 200,000 strips."""
    one = make_one(pair[0], 0.0, 0.3, 0.05)
    other = make_one(pair[1], -0.1, 0.2, 0.15, -1.0)
    shape = convolve([one, other])
    edges = np.linspace(other.low_mm, other.high_mm, 200_001)
    strips = np.diff(other.find_share_below(edges))
    middles = (edges[1:] + edges[:-1]) / 2.0
    for at in (-0.1, 0.0, 0.1, 0.2, 0.31):
        share = float(one.find_share_below(at - middles) @ strips)
        assert shape.find_share_below(at) == pytest.approx(share, abs=shape.error + 1e-9)


def test_normal_contributors_alone_are_one_normal_exactly() -> None:
    exact = find_exact(1.0, list_contributors(BACK_VANE), (0.9, 1.2))
    square = find_root_sum_square(1.0, list_contributors(BACK_VANE), (0.9, 1.2))
    assert exact.error == 0.0
    assert exact.inside == pytest.approx(square.inside, abs=1e-13)
    assert exact.limits_mm == pytest.approx(square.limits_mm, abs=1e-5)


@given(st.lists(some, min_size=1, max_size=5), st.integers(0, 2**32))
def test_monte_carlo_agrees_with_the_exact_one_within_its_error(
    chain: list[Contributor], seed: int
) -> None:
    mean = sum(one.mean_mm for one in chain)
    sigma = math.hypot(*(one.sigma_mm for one in chain))
    required = (mean - 1.1 * sigma, mean + 0.7 * sigma)
    exact = find_exact(0.0, chain, required)
    drawn = find_monte_carlo(0.0, chain, required, np.random.default_rng(seed), 20_000)
    assert exact.inside is not None
    assert drawn.inside is not None
    assert abs(drawn.inside - exact.inside) <= 5.5 * drawn.error + exact.error
    assert drawn.mean_mm == pytest.approx(mean, abs=5.5 * sigma / math.sqrt(20_000))


@given(
    st.lists(
        st.builds(
            lambda kind, low, width, share: make_one(kind, low, low + width, low + share * width),
            st.sampled_from(BOUNDED),
            st.floats(-1, 1),
            widths,
            st.floats(0, 1),
        ),
        min_size=1,
        max_size=6,
    ),
    st.integers(0, 2**32),
)
def test_limits_hold_every_draw(chain: list[Contributor], seed: int) -> None:
    drawn = sample_sum(chain, np.random.default_rng(seed), 5_000)
    assert drawn.min() >= sum(one.low_mm for one in chain) - 1e-9
    assert drawn.max() <= sum(one.high_mm for one in chain) + 1e-9


def test_same_seed_same_draws_and_another_seed_others() -> None:
    chain = list_contributors(BACK_VANE)
    first, again, other = (
        sample_sum(chain, np.random.default_rng(seed), BLOCK + 7) for seed in (5, 5, 6)
    )
    assert np.array_equal(first, again)
    assert not np.array_equal(first, other)
    assert len(first) == BLOCK + 7


def test_four_methods_stand_side_by_side_for_every_clearance() -> None:
    for one in CLEARANCES:
        worst, square, exact, drawn = compare_spreads(one, np.random.default_rng(3), 20_000)
        assert [s.method for s in (worst, square, exact, drawn)] == list(Method)
        if one.bends:  # a straight line is then only near, and may leave what the parts can do
            assert exact.sigma_mm == pytest.approx(square.sigma_mm, rel=0.25)
        else:
            assert exact.sigma_mm == pytest.approx(square.sigma_mm)
        for spread in (exact, drawn) if one.bends else (square, exact, drawn):
            assert worst.limits_mm[0] <= spread.limits_mm[0] <= one.in_service_mm
            assert one.in_service_mm <= spread.limits_mm[1] <= worst.limits_mm[1]
        width = np.diff(exact.values_mm)
        mass = float(((exact.density_per_mm[1:] + exact.density_per_mm[:-1]) / 2.0) @ width)
        assert mass == pytest.approx(1.0, abs=1e-4 if one.bends else 1e-6)


@pytest.mark.parametrize(
    ("required", "told"),
    [
        ((0.0, 1.0), (0.0, 1.0, 0.0)),
        ((0.4, 0.8), (None, None, None)),
        ((0.4, 1.0), (None, None, 0.0)),
        ((1.1, 1.2), (1.0, 0.0, 0.0)),
        ((-0.2, -0.1), (0.0, 0.0, 1.0)),
    ],
)
def test_the_worst_case_says_all_or_none_or_nothing(
    required: tuple[float, float], told: tuple[float | None, ...]
) -> None:
    found = find_worst_case(0.5, list_contributors(BACK_VANE), required)
    assert (found.below, found.inside, found.above) == told


def test_what_is_measured_without_a_gauge_spreads_no_more() -> None:
    measured = {(link.piece, link.dimension): link.value_mm for link in BACK_VANE.chain}
    clearances = measure_clearances(make_named_build("end-suction/100-250", measured=measured))
    known = next(one for one in clearances if one.name == "back-vane")
    for spread in compare_spreads(known, np.random.default_rng(1), 100):
        assert spread.limits_mm == pytest.approx((0.5, 0.5))
        assert spread.inside == 1.0


def test_a_gauge_spreads_a_measured_value_evenly_between_its_limits() -> None:
    term = ("shaft", "overhang")
    build = make_named_build("end-suction/100-250", measured={term: 330.0}, gauges={term: 0.02})
    one = next(one for one in measure_clearances(build) if one.name == "back-vane")
    gauged = next(c for c in list_contributors(one) if c.distribution is Distribution.RECTANGULAR)
    assert (gauged.low_mm, gauged.high_mm) == pytest.approx((-0.02, 0.02))
    assert convolve(list_contributors(one)).error > 0.0


@pytest.mark.parametrize("required", [(0.5, 0.5), (0.8, 0.4), (math.nan, 1.0), (0.0, math.inf)])
def test_limits_that_nothing_can_be_inside_are_refused(required: tuple[float, float]) -> None:
    with pytest.raises(RefusalError, match=r"clearance\.back-vane: its limits are"):
        check_required(replace(BACK_VANE, required_mm=required))


@pytest.mark.parametrize("samples", [0, 1, -5, MOST_SAMPLES + 1])
def test_a_number_of_builds_that_cannot_be_drawn_is_refused(samples: int) -> None:
    with pytest.raises(RefusalError, match="samples: "):
        sample_sum(list_contributors(BACK_VANE), np.random.default_rng(1), samples)
