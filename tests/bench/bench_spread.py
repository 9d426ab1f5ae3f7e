"""How fast spread is found and shims are chosen: `python -m tests.bench.bench_spread`.

Three ratios, each against a reference timed in the same run, turn by turn, by the processor's clock:

- Monte Carlo of the longest chain against the same sum written out plainly in numpy, drawn by the same kind
  of generator: MOST_TIMES as long at most.
- The exact distribution against Monte Carlo at equal error. Error is how far the shares below PLACES values lie,
  at the worst of them, from those on a very fine grid. Monte Carlo's is measured over several seeds (root mean
  square); the exact one uses the coarsest grid that is no further off. Both are timed as they stand.
- Choosing the pack against judging every pack in plain loops; both must find the same chance.

Ends with 1 when a promised ratio is missed, or answers differ.
"""

from __future__ import annotations

import itertools
import math
import os
import statistics
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from models.builds import list_builds, make_named_build
from models.spec.dimension import Distribution
from trainer.core.measure.chain import MeasuredClearance, measure_clearances
from trainer.core.measure.contributor import Contributor, Floats, list_contributors
from trainer.core.measure.convolution import convolve
from trainer.core.measure.packs import StockShim
from trainer.core.measure.rests import MeasuredGap
from trainer.core.measure.shims import CHANCES, choose_pack
from trainer.core.measure.spread import find_exact, find_monte_carlo, sample_sum

MOST_TIMES = 1.3
LEAST_FASTER = 50.0
LEAST_PACKS_FASTER = 5.0
"""Though the loops judge the one gap alone, and rank nothing."""
PROMISED_PACKS_MS = 5.0
FINE, COARSEST, PLACES = 1 << 16, 32, 41
SEEDS = 8
PUMP = "end-suction/100-250"
REAR = "back-vane"
KNOWN = (0.5, 0.3, 0.2)
DRAWER = (0.05, 0.1, 0.15, 0.2, 0.25, 0.254, 0.3, 0.4, 0.5, 0.508, 0.7, 1.0)


@dataclass(frozen=True)
class Size:
    """How much is run. kinds, most: of the shims."""

    builds: int = 1_000_000
    repeats: int = 9
    seeds: int = SEEDS
    kinds: int = 12
    most: int = 6


@dataclass(frozen=True, slots=True)
class Result:
    """What was measured: seconds of processor time, errors as shares, and how many packs."""

    size: Size
    chain: int
    ours_s: float
    plain_s: float
    drawn_s: float
    drawn_error: float
    exact_s: float
    exact_error: float
    exact_bound: float
    cells: int
    packs: int
    found_s: float
    drawing_s: float
    loops_s: float
    is_same: bool

    @property
    def times(self) -> float:
        return self.ours_s / self.plain_s

    @property
    def faster(self) -> float:
        return self.drawn_s / self.exact_s

    @property
    def packs_faster(self) -> float:
        return self.loops_s / max(self.found_s, self.drawing_s)

    @property
    def is_kept(self) -> bool:
        return (
            self.is_same
            and self.times <= MOST_TIMES
            and self.faster >= LEAST_FASTER
            and self.packs_faster >= LEAST_PACKS_FASTER
            and self.exact_error <= self.drawn_error
        )


def find_longest() -> MeasuredClearance:
    """Find the clearance with the longest chain among the usual builds."""
    every = [one for name in list_builds() for one in measure_clearances(make_named_build(name))]
    return max(every, key=lambda one: len(one.service_chain))


def draw_plainly(one: MeasuredClearance, chance: np.random.Generator, builds: int) -> Floats:
    """Write the sum out: each dimension drawn by its distribution, times its sensitivity (all are normal there)."""
    total = one.in_service_mm + sum(
        link.sensitivity * (chance.normal(link.mean_mm, link.sigma_mm, builds) - link.value_mm)
        for link in one.service_chain
    )
    return np.asarray(total)


def mix_kinds(chain: Sequence[Contributor]) -> list[Contributor]:
    """Give the contributors of a chain every distribution in turn, but none the normal one: the hardest case."""
    kinds = [kind for kind in Distribution if kind is not Distribution.NORMAL]
    mixed = []
    for place, one in enumerate(chain):
        kind = kinds[place % len(kinds)]
        peak = one.low_mm + 0.2 * one.width_mm if kind is Distribution.LOPSIDED else one.mean_mm
        mean = (one.low_mm + peak + one.high_mm) / 3.0
        mixed.append(replace(one, distribution=kind, peak_mm=peak, mean_mm=mean))
    return mixed


def run(size: Size) -> Result:
    """Measure all three."""
    one = find_longest()
    chain = list_contributors(one)
    assert all(link.distribution is Distribution.NORMAL for link in one.service_chain)
    sample_sum(chain, np.random.default_rng(0), 1000)
    ours_s, plain_s = _take_turns(
        lambda: sample_sum(chain, np.random.default_rng(1), size.builds),
        lambda: draw_plainly(one, np.random.default_rng(1), size.builds),
        size.repeats,
    )
    equal = _compare_at_equal_error(mix_kinds(chain), size)
    packs = _compare_packs(size)
    return Result(size, len(chain), ours_s, plain_s, *equal, *packs)


def _compare_at_equal_error(
    chain: list[Contributor], size: Size
) -> tuple[float, float, float, float, float, int]:
    """Time both as the program calls them; the error is the greatest of the shares below PLACES values."""
    sigma = math.hypot(*(one.sigma_mm for one in chain))
    mean = sum(one.mean_mm for one in chain)
    required = (mean - 1.2 * sigma, mean + 1.5 * sigma)
    places = mean + sigma * np.linspace(-2.5, 2.5, PLACES)
    truth = find_shares(chain, places, FINE)
    errors, times = [], []
    for seed in range(size.seeds):
        begin = time.process_time()
        find_monte_carlo(0.0, chain, required, np.random.default_rng(seed), size.builds)
        times.append(time.process_time() - begin)
        drawn = np.sort(sample_sum(chain, np.random.default_rng(seed), size.builds))
        shares = np.searchsorted(drawn, places, side="right") / size.builds
        errors.append(float(np.abs(shares - truth).max()))
    drawn_error = math.sqrt(statistics.fmean(error * error for error in errors))
    cells = COARSEST
    while np.abs(find_shares(chain, places, cells) - truth).max() > drawn_error:
        cells *= 2
    exact_s = _time(lambda: find_exact(0.0, chain, required, cells), 200)
    error = float(np.abs(find_shares(chain, places, cells) - truth).max())
    bound = convolve(chain, cells).error
    return statistics.median(times), drawn_error, exact_s, error, bound, cells


def find_shares(chain: Sequence[Contributor], places: Floats, cells: int) -> Floats:
    """Find the exact share below each of some values."""
    shape = convolve(chain, cells)
    return np.array([shape.find_share_below(float(at)) for at in places])


def _compare_packs(size: Size) -> tuple[int, float, float, float, bool]:
    """Choose a pack from one measured gap, and from the drawing; judge every one of the first in plain loops."""
    clearances = measure_clearances(make_named_build(PUMP))
    rear = next(one for one in clearances if one.name == REAR)
    stock = [StockShim(t, 0.04 * t, size.most) for t in DRAWER[: size.kinds]]
    found = MeasuredGap(0.81, KNOWN)
    answer = choose_pack([rear], REAR, stock, found, size.most)
    choose_pack(clearances, REAR, stock, found, size.most)
    choose_pack(clearances, REAR, stock, None, size.most)
    found_s = _time(lambda: choose_pack(clearances, REAR, stock, found, size.most), 40)
    drawing_s = _time(lambda: choose_pack(clearances, REAR, stock, None, size.most), 40)
    begin = time.process_time()
    best, packs = judge_every_pack(stock, size.most, rear.required_mm)
    loops_s = time.process_time() - begin
    is_same = best - answer.best.alone <= 1.0 / CHANCES and packs == answer.tried
    return answer.tried, found_s, drawing_s, loops_s, is_same


def judge_every_pack(
    stock: Sequence[StockShim], most: int, required_mm: tuple[float, float]
) -> tuple[float, int]:
    """Judge every pack in plain loops; give the highest chance and how many packs there are."""
    low, high = required_mm
    best, packs = 0.0, 0
    for count in range(1, most + 1):
        for pack in itertools.combinations_with_replacement(stock, count):
            result, left = 0.81 - sum(KNOWN), list(KNOWN)
            variance = 0.0
            for kind in pack:
                result += kind.thickness_mm
                if kind.thickness_mm in left:
                    left.remove(kind.thickness_mm)
                else:
                    variance += (kind.tolerance_mm / 3.0) ** 2
            variance += sum((0.04 * thickness / 3.0) ** 2 for thickness in left)
            scale = math.sqrt(2.0 * variance) or 1e-12
            chance = 0.5 * (math.erf((high - result) / scale) - math.erf((low - result) / scale))
            best, packs = max(best, chance), packs + 1
    return best, packs


def _take_turns(
    ours: Callable[[], object], theirs: Callable[[], object], repeats: int
) -> tuple[float, float]:
    """Time both turn by turn, so that what else runs on the machine meets both alike; give the medians."""
    times = [(_time(ours, 1), _time(theirs, 1)) for _ in range(repeats)]
    return statistics.median(one for one, _ in times), statistics.median(two for _, two in times)


def _time(work: Callable[[], object], repeats: int) -> float:
    begin = time.process_time()
    for _ in range(repeats):
        work()
    return (time.process_time() - begin) / repeats


def tell(result: Result) -> str:
    """Put a result into a table."""
    size = result.size
    return "\n".join(
        (
            f"Spread and shims, processor time of one core of {os.cpu_count()}, load {os.getloadavg()[0]:.1f}",
            (
                f"{size.builds} builds of the longest chain ({result.chain} dimensions): {result.ours_s * 1e3:.0f} ms,"
                f" plain numpy {result.plain_s * 1e3:.0f} ms, ratio {result.times:.2f}; promised {MOST_TIMES} at most"
            ),
            (
                f"exact on {result.cells} cells: {result.exact_s * 1e3:.3f} ms, off by {result.exact_error:.1e}"
                f" (bound {result.exact_bound:.1e}); {size.builds} builds drawn: {result.drawn_s * 1e3:.0f} ms,"
                f" off by {result.drawn_error:.1e}; ratio {result.faster:.0f}, promised {LEAST_FASTER:.0f} at least"
            ),
            (
                f"{result.packs} packs ({size.kinds} thicknesses, up to {size.most}): {result.found_s * 1e3:.2f} ms from"
                f" one gap, {result.drawing_s * 1e3:.2f} ms from the drawing (promised {PROMISED_PACKS_MS:.0f} ms);"
                f" plain loops {result.loops_s * 1e3:.0f} ms, ratio {result.packs_faster:.0f},"
                f" promised {LEAST_PACKS_FASTER:.0f} at least; same answer: {result.is_same}"
            ),
        )
    )


def main(size: Size | None = None) -> int:
    """Run the bench and print it."""
    result = run(size or Size())
    print(tell(result))
    return 0 if result.is_kept else 1


if __name__ == "__main__":
    quick = "--quick" in sys.argv[1:]
    sys.exit(main(Size(builds=100_000, repeats=5, seeds=4) if quick else None))
