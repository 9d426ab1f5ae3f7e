"""Spread and chances against published problems, the guides to uncertainty, and libraries that others wrote.

Published problems give means and standard deviations; they are put in as normal contributors. A printed answer
that was read off a table of two digits of z is held to what that rounding allows, which is said beside it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest

from models.spec.dimension import Dimension, Distribution, Source, Unit
from trainer.core.measure.contributor import Contributor, make_contributor
from trainer.core.measure.convolution import convolve
from trainer.core.measure.spread import find_exact, find_monte_carlo, find_root_sum_square

NORMAL, RECTANGULAR = Distribution.NORMAL, Distribution.RECTANGULAR
TRIANGULAR, LOPSIDED, TRUNCATED = (
    Distribution.TRIANGULAR,
    Distribution.LOPSIDED,
    Distribution.TRUNCATED,
)
FAR = 1e9


def make_one(
    kind: Distribution, low: float, high: float, nominal: float | None = None, s: float = 1.0
) -> Contributor:
    middle = (low + high) / 2.0 if nominal is None else nominal
    return make_contributor(
        Dimension("d", middle, low, high, Unit.MM, kind, Source("", 0, "an example")), s
    )


def make_normal(mean: float, sigma: float, s: float = 1.0) -> Contributor:
    return make_one(NORMAL, mean - 3.0 * sigma, mean + 3.0 * sigma, s=s)


def make_even(sigma: float) -> Contributor:
    """Make a rectangular contributor about nought, of a standard deviation."""
    return make_one(RECTANGULAR, -sigma * math.sqrt(3.0), sigma * math.sqrt(3.0))


def find_share(chain: Sequence[Contributor], low: float, high: float) -> float:
    inside = find_exact(0.0, chain, (low, high)).inside
    assert inside is not None
    return inside


def find_quantile(chain: Sequence[Contributor], share: float) -> float:
    values, shares = convolve(chain).list_shares()
    return float(np.interp(share, shares, values))


# ------------------------------------------------------------------ printed problems of mating parts
PISTON = (make_normal(15.0, 0.025, 0.5), make_normal(14.88, 0.015, -0.5))
HOLE = "worked problem 'A cylindrical hole is drilled in a block, and a piston is placed in it' (clearance half the difference of diameters)"
BOLTS = "DeGroot and Schervish, Probability and Statistics, 4th ed.; chapter 5, exercise 13, bolts and nuts, printed answer 0.3812"
RING = "Vidakovic, Statistics for Bioengineering Sciences; example 6.3, thickness of a piston ring"
THREE = "worked problem 'An assembly consists of three components placed side by side', 100 mm each, variance 12"


@pytest.mark.evidence(f"{HOLE}; part b, standard deviation 0.01458")
def test_half_the_difference_of_two_diameters_has_the_printed_spread() -> None:
    assert find_root_sum_square(0.0, PISTON, (0.05, 0.09)).sigma_mm == pytest.approx(
        0.01458, abs=5e-6
    )


@pytest.mark.parametrize(
    ("low", "high", "printed", "within"),
    [
        # z is rounded to two digits there: -0.6858 to -0.69 and 2.0575 to 2.06
        pytest.param(-FAR, 0.05, 0.2451, 0.0015, marks=pytest.mark.evidence(f"{HOLE}; part c")),
        pytest.param(0.05, 0.09, 0.7352, 0.0017, marks=pytest.mark.evidence(f"{HOLE}; part e")),
    ],
)
def test_share_of_clearances_as_printed(
    low: float, high: float, printed: float, within: float
) -> None:
    assert find_share(PISTON, low, high) == pytest.approx(printed, abs=within)


@pytest.mark.evidence(f"{HOLE}; part d, 25th percentile 0.0502")
def test_quarter_of_the_clearances_lies_below_the_printed_value() -> None:
    assert find_quantile(PISTON, 0.25) == pytest.approx(0.0502, abs=5e-5)


@pytest.mark.evidence(BOLTS)
def test_share_of_bolts_and_nuts_that_fit_together() -> None:
    chain = (make_normal(2.02, 0.04), make_normal(2.0, 0.03, -1.0))
    assert find_share(chain, 0.0, 0.05) == pytest.approx(0.3812, abs=1.5e-4)


@pytest.mark.evidence(f"{RING}, part b, printed 0.0371")
def test_share_of_rings_thicker_than_the_printed_limit() -> None:
    chain = (make_normal(30.0, 0.02), make_normal(20.0, 0.01, -1.0))
    assert find_share(chain, 10.04, FAR) == pytest.approx(0.0371, abs=4e-4)  # sigma rounded there


@pytest.mark.parametrize(
    ("low", "high", "printed"),
    [
        pytest.param(-FAR, 309.0, 0.933192799, marks=pytest.mark.evidence(f"{THREE}; part a")),
        pytest.param(288.0, 312.0, 0.954499736, marks=pytest.mark.evidence(f"{THREE}; part b")),
    ],
)
def test_length_of_three_parts_side_by_side(low: float, high: float, printed: float) -> None:
    chain = [make_normal(100.0, math.sqrt(12.0)) for _ in range(3)]
    assert find_share(chain, low, high) == pytest.approx(printed, abs=1e-8)


HAYTER = "Hayter, Probability and Statistics for Engineers and Scientists; section 5.2, exercise 1"
MIXED = (
    ((1.0, 1.0, 0.0), 0.0, 1.1, 10.0),
    ((1.0, 1.0, -2.0), 0.0, -22.9, 40.0),
    ((3.0, 5.0, 0.0), 0.0, -0.9, 146.0),
    ((4.0, -4.0, 2.0), 0.0, 45.2, 190.0),
    ((1.0, 6.0, 1.0), 0.0, 2.6, 140.0),
    ((2.0, -1.0, 0.0), -6.0, 2.5, 29.5),
)


@pytest.mark.parametrize(
    ("factors", "more", "mean", "variance"),
    [
        pytest.param(*row, marks=pytest.mark.evidence(f"{HAYTER}{part}"))
        for row, part in zip(MIXED, "abcdef", strict=True)
    ],
)
def test_linear_combination_has_the_printed_mean_and_variance(
    factors: tuple[float, ...], more: float, mean: float, variance: float
) -> None:
    own = ((3.2, 6.5), (-2.1, 3.5), (12.0, 7.5))
    chain = [make_normal(m, math.sqrt(v), s) for (m, v), s in zip(own, factors, strict=True) if s]
    found = find_exact(more, chain, (-FAR, FAR))
    assert found.mean_mm == pytest.approx(mean, abs=1e-9)
    assert found.sigma_mm == pytest.approx(math.sqrt(variance), rel=1e-9)
    middle = (found.limits_mm[1] - found.limits_mm[0]) / 6.0
    assert middle == pytest.approx(math.sqrt(variance), rel=1e-4)  # three sigma at each side


# ------------------------------------------------------------------ guides to uncertainty
GUIDE = "JCGM 101:2008, as quoted in the tests of the package phonometry"


@pytest.mark.evidence(f"{GUIDE}; clause 9.2, additive model, u = 2.00")
def test_additive_model_has_the_printed_uncertainty() -> None:
    for chain in ([make_normal(0.0, 1.0)] * 4, [make_even(1.0)] * 4):
        assert find_exact(0.0, chain, (-4, 4)).sigma_mm == pytest.approx(2.0, abs=0.005)


@pytest.mark.evidence(f"{GUIDE}; table 3, clause 9.2.3, 95 % of four rectangular ones within 3.88")
def test_four_rectangular_ones_lie_within_the_printed_interval() -> None:
    chain = [make_even(1.0)] * 4
    for share, printed in ((0.025, -3.88), (0.975, 3.88)):
        assert find_quantile(chain, share) == pytest.approx(printed, abs=0.005)
    drawn = find_monte_carlo(0.0, chain, (-3.88, 3.88), np.random.default_rng(2), 400_000)
    assert drawn.inside == pytest.approx(0.95, abs=0.002)


@pytest.mark.evidence("JCGM 101:2008; table 2, clause 9.2.2", from_memory=True)
def test_four_normal_ones_lie_within_the_recalled_interval() -> None:
    assert find_quantile([make_normal(0.0, 1.0)] * 4, 0.975) == pytest.approx(3.92, abs=0.005)


@pytest.mark.evidence("JCGM 101:2008; table 4, clause 9.2.4", from_memory=True)
def test_one_wide_rectangular_one_rules_the_recalled_interval() -> None:
    chain = [*[make_even(1.0)] * 3, make_even(10.0)]
    assert find_exact(0.0, chain, (-1, 1)).sigma_mm == pytest.approx(10.15, abs=0.005)
    assert find_quantile(chain, 0.975) == pytest.approx(17.0, abs=0.05)


@pytest.mark.evidence(
    "EURACHEM/CITAC Guide, Quantifying Uncertainty in Analytical Measurement; appendix E.1, 7 to 10 is 0.87"
)
def test_rectangular_uncertainty_as_printed() -> None:
    assert make_one(RECTANGULAR, 7.0, 10.0).sigma_mm == pytest.approx(0.87, abs=0.005)


@pytest.mark.evidence("closed form: half-width over the root of 6 of a symmetric triangle")
def test_triangular_uncertainty() -> None:
    assert make_one(TRIANGULAR, -1.0, 1.0).sigma_mm == pytest.approx(1.0 / math.sqrt(6.0))


MATHWORLD = "MathWorld, Uniform Sum Distribution"
E_ = math.e


@pytest.mark.parametrize(
    ("reach", "printed"),
    [
        pytest.param(2.0, E_**2 - E_, marks=pytest.mark.evidence(f"{MATHWORLD}; m(2)")),
        pytest.param(
            3.0,
            (2 * E_**3 - 4 * E_**2 + E_) / 2,
            marks=pytest.mark.evidence(f"{MATHWORLD}; m(3)"),
        ),
        pytest.param(
            4.0,
            (6 * E_**4 - 18 * E_**3 + 12 * E_**2 - E_) / 6,
            marks=pytest.mark.evidence(f"{MATHWORLD}; m(4)"),
        ),
    ],
)
def test_how_many_uniform_numbers_pass_a_value(reach: float, printed: float) -> None:
    """The mean number of draws until their sum passes x is one more for each n whose sum lies below x."""
    own = make_one(RECTANGULAR, 0.0, 1.0)
    mean = 1.0 + sum(find_share([own] * number, -1.0, reach) for number in range(1, 24))
    assert mean == pytest.approx(printed, abs=2e-5)


# ------------------------------------------------------------------ process capability
@pytest.mark.parametrize(
    ("ratio", "ppm"),
    [
        pytest.param(
            ratio, ppm, marks=pytest.mark.evidence(f"scipy 1.17; stats.norm, run beforehand, Cp {ratio:g}")
        )
        for ratio, ppm in (
            (0.5, 133_614.4), (1.0, 2699.796), (4 / 3, 63.3425), (1.5, 6.79535), (2.0, 0.00197318),
        )
    ],
)  # fmt: skip
def test_share_outside_by_capability(ratio: float, ppm: float) -> None:
    chain = [make_normal(0.0, 0.6), make_normal(0.0, 0.8)]
    found = find_exact(0.0, chain, (-3.0 * ratio, 3.0 * ratio))
    low, high = found.outside_ppm
    assert low is not None
    assert high is not None
    assert low + high == pytest.approx(ppm, rel=2e-5)


@pytest.mark.evidence(
    "closed form: 40 H7/k6 with six sigma to the tolerance, difference of two normals"
)
def test_share_of_transition_fits_that_interfere() -> None:
    bore, shaft = make_one(NORMAL, 0.0, 25.0), make_one(NORMAL, 2.0, 18.0, s=-1.0)
    assert find_share([bore, shaft], -FAR, 0.0) == pytest.approx(0.3067, abs=5e-5)


# ------------------------------------------------------------------ libraries
MIXES: dict[str, tuple[tuple[Any, ...], ...]] = {
    "rectangles": ((RECTANGULAR, -0.1, 0.1), (RECTANGULAR, 0.0, 0.3), (RECTANGULAR, -0.05, 0.0)),
    "triangles": ((TRIANGULAR, -0.1, 0.1), (LOPSIDED, 0.0, 0.3, 0.05), (LOPSIDED, -0.2, 0.0, 0.0)),
    "normal and even": ((NORMAL, -0.1, 0.1), (RECTANGULAR, -0.2, 0.2)),
    "sorted out": ((TRUNCATED, -0.1, 0.1), (TRUNCATED, 0.0, 0.4), (RECTANGULAR, -0.05, 0.05)),
    "all kinds": (
        (NORMAL, -0.1, 0.1), (TRUNCATED, 0.0, 0.2), (RECTANGULAR, -0.1, 0.0), (TRIANGULAR, 0.0, 0.1),
        (LOPSIDED, -0.1, 0.3, 0.0),
    ),
    "a gauge": ((RECTANGULAR, -0.02, 0.02), (NORMAL, -0.006, 0.006), (NORMAL, -0.003, 0.003)),
}  # fmt: skip


def make_openturns(ot: Any, kind: Distribution, low: float, high: float, *nominal: float) -> Any:
    middle, half = (low + high) / 2.0, (high - low) / 2.0
    if kind is NORMAL:
        return ot.Normal(middle, half / 3.0)
    if kind is TRUNCATED:
        return ot.TruncatedNormal(middle, half / 2.0, low, high)
    if kind is RECTANGULAR:
        return ot.Uniform(low, high)
    return ot.Triangular(low, nominal[0] if nominal else middle, high)


@pytest.mark.parametrize(
    "mix",
    [
        pytest.param(
            mix, id=name, marks=pytest.mark.evidence(f"openturns 1.27, run by the test; {name}")
        )
        for name, mix in MIXES.items()
    ],
)
def test_convolution_agrees_with_openturns(mix: tuple[tuple[Any, ...], ...]) -> None:
    import openturns as ot

    signs = [1.0 if place % 2 == 0 else -1.0 for place in range(len(mix))]
    chain = [
        make_one(row[0], row[1], row[2], row[3] if len(row) > 3 else None, s)
        for row, s in zip(mix, signs, strict=True)
    ]
    theirs = ot.RandomMixture([make_openturns(ot, *row) for row in mix], signs)
    ours = convolve(chain)
    for share in (0.00135, 0.02, 0.2, 0.5, 0.8, 0.98, 0.99865):
        at = theirs.computeQuantile(share)[0]
        assert ours.find_share_below(at) == pytest.approx(theirs.computeCDF(at), abs=2e-5)
        assert find_quantile(chain, share) == pytest.approx(at, abs=2e-4)
    assert find_exact(0.0, chain, (-1, 1)).sigma_mm == pytest.approx(
        theirs.getStandardDeviation()[0], rel=1e-6
    )


def make_scipy(kind: Distribution, low: float, high: float, nominal: float) -> Any:
    from scipy import stats

    middle, half = (low + high) / 2.0, (high - low) / 2.0
    return {
        NORMAL: lambda: stats.norm(middle, half / 3.0),
        TRUNCATED: lambda: stats.truncnorm(-2.0, 2.0, middle, half / 2.0),
        RECTANGULAR: lambda: stats.uniform(low, high - low),
        TRIANGULAR: lambda: stats.triang(0.5, low, high - low),
        LOPSIDED: lambda: stats.triang((nominal - low) / (high - low), low, high - low),
    }[kind]()


@pytest.mark.parametrize(
    "kind",
    [
        pytest.param(
            kind, id=kind.value, marks=pytest.mark.evidence(f"scipy 1.17; stats, run by the test, {kind.value}")
        )
        for kind in Distribution
    ],
)  # fmt: skip
def test_each_distribution_agrees_with_scipy(kind: Distribution) -> None:
    ours, theirs = make_one(kind, 0.1, 0.5, 0.2), make_scipy(kind, 0.1, 0.5, 0.2)
    at = np.linspace(-0.1, 0.7, 33)
    assert ours.find_share_below(at) == pytest.approx(theirs.cdf(at), abs=1e-12)
    assert ours.mean_mm == pytest.approx(theirs.mean(), abs=1e-12)
    assert ours.sigma_mm == pytest.approx(theirs.std(), rel=1e-9)
    drawn = np.zeros(50_000)
    ours.add_draws(drawn, np.random.default_rng(9))
    from scipy import stats

    assert stats.kstest(drawn, theirs.cdf).pvalue > 1e-3


@pytest.mark.evidence(
    "scipy 1.17; integrate, run by the test, triangle less truncated normal by quadrature"
)
def test_sum_agrees_with_quadrature() -> None:
    from scipy import integrate

    one, other = make_scipy(LOPSIDED, 0.0, 0.4, 0.1), make_scipy(TRUNCATED, -0.1, 0.1, 0.0)
    chain = (make_one(LOPSIDED, 0.0, 0.4, 0.1), make_one(TRUNCATED, -0.1, 0.1, s=-1.0))
    ours = convolve(chain)
    for at in (-0.02, 0.1, 0.15, 0.27, 0.41):
        whole, _ = integrate.quad(
            lambda x, at=at: one.pdf(x) * other.sf(x - at),
            0.0, 0.4, points=[0.1], limit=200, epsabs=1e-11,
        )  # fmt: skip
        assert ours.find_share_below(at) == pytest.approx(whole, abs=ours.error + 1e-9)
