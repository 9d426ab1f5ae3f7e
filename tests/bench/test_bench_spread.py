"""The bench of spread and shims at small size, so that it cannot rot, and its promised ratios held there too."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.bench import bench_spread
from trainer.core.measure.contributor import list_contributors
from trainer.core.measure.spread import sample_sum


@pytest.fixture(scope="module")
def result() -> bench_spread.Result:
    return bench_spread.run(bench_spread.Size(builds=200_000, repeats=5, seeds=4))


def test_ratios_are_kept(result: bench_spread.Result) -> None:
    assert result.packs == 18_563
    assert result.is_same
    assert result.times <= bench_spread.MOST_TIMES
    assert result.faster >= bench_spread.LEAST_FASTER
    assert result.packs_faster >= bench_spread.LEAST_PACKS_FASTER
    assert result.exact_error <= result.exact_bound
    assert result.exact_error <= result.drawn_error
    assert result.is_kept


def test_a_missed_ratio_is_told(result: bench_spread.Result) -> None:
    assert not replace(result, ours_s=2.0 * result.plain_s).is_kept
    assert not replace(result, exact_s=result.drawn_s).is_kept
    assert not replace(result, is_same=False).is_kept
    told = bench_spread.tell(result)
    assert f"ratio {result.times:.2f}" in told
    assert "18563 packs" in told


def test_the_plain_sum_is_the_same_sum() -> None:
    one = bench_spread.find_longest()
    assert len(one.service_chain) >= 15
    plain = bench_spread.draw_plainly(one, np.random.default_rng(3), 40_000)
    ours = one.in_service_mm + sample_sum(list_contributors(one), np.random.default_rng(4), 40_000)
    assert plain.mean() == pytest.approx(ours.mean(), abs=5e-3)
    assert plain.std() == pytest.approx(ours.std(), rel=0.03)
