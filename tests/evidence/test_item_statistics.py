"""Item statistics against a published worked class and against a library's own example."""

from __future__ import annotations

import numpy as np
import pytest

from trainer.lesson.statistics import (
    ScoreTable,
    correlate,
    find_figures,
    find_reliability,
    find_variance,
)

WUENSCH = (
    "K. L. Wuensch, East Carolina University, KR-20: data worked by hand, ten students at ten items"
)
SCIPY = "scipy documentation, scipy.stats.pointbiserialr: the example"
OWN = "closed form: correlation of an item with the mean of the nine others, worked out by numpy alone"
ROWS = (
    "1111110110", "1011011101", "1111011001", "0010001000", "0000010010",
    "1110111111", "1101110111", "1111111101", "0101111101", "1101101110",
)  # fmt: skip
UNCORRECTED = (0.7946, 0.7946, 0.2027, 0.6140, 0.7095, 0.4345, 0.1625, 0.7946, 0.0828, 0.6251)
CORRECTED = (0.7059, 0.7059, 0.0000, 0.4736, 0.5839, 0.2861, -0.0274, 0.7059, -0.1236, 0.4759)


@pytest.fixture(scope="module")
def table() -> ScoreTable:
    scores = np.array([[float(sign) for sign in row] for row in ROWS])
    return ScoreTable(tuple("ABCDEFGHIJ"), tuple(f"item/{n}" for n in range(10)), scores)


@pytest.mark.evidence(WUENSCH)
def test_totals_difficulties_and_variances_are_the_printed_ones(table: ScoreTable) -> None:
    totals = table.scores.sum(axis=1)
    assert totals.tolist() == [8, 7, 7, 2, 2, 9, 8, 9, 7, 7]
    assert find_variance(totals) == pytest.approx(5.84)
    difficulties = [one.difficulty for one in find_figures(table)]
    assert difficulties == pytest.approx([0.7, 0.7, 0.6, 0.7, 0.6, 0.8, 0.7, 0.7, 0.5, 0.6])
    assert sum(p * (1 - p) for p in difficulties) == pytest.approx(2.18)


@pytest.mark.evidence(WUENSCH)
def test_kr_20_is_the_printed_one(table: ScoreTable) -> None:
    found = find_reliability(table)
    assert found.alpha == pytest.approx(0.69635, abs=5e-6)
    assert found.error == pytest.approx(1.3317, abs=5e-4)
    # With the sample's variance of the totals beside the population's of the items it would be this.
    assert found.alpha != pytest.approx(0.7378, abs=1e-3)


@pytest.mark.evidence(OWN)
def test_discrimination_is_that_of_the_rest_and_not_of_the_total(table: ScoreTable) -> None:
    totals = table.scores.sum(axis=1)
    uncorrected = [correlate(table.scores[:, column], totals) for column in range(10)]
    assert uncorrected == pytest.approx(UNCORRECTED, abs=5e-5)
    found = [one.discrimination for one in find_figures(table)]
    assert found == pytest.approx(CORRECTED, abs=5e-5)


@pytest.mark.evidence(SCIPY)
def test_the_point_biserial_is_the_documented_one() -> None:
    assert correlate([0, 0, 0, 1, 1, 1, 1], range(7)) == pytest.approx(0.8660254, abs=1e-7)
