"""How fast orders are marked: `python -m tests.bench.bench_marking`.

The reference, timed in the same run, is `plain_replay`: the same rules in plain sets and loops. Both
must refuse the same pieces. Ends with 1 when a promised ratio is missed, or an answer differs.
"""

from __future__ import annotations

import os
import random
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from models.spec.assembly import Assembly
from tests.bench.plain_replay import Rules, find_refused
from tests.bench.stack import make_stack
from trainer.core.order.blocking import Blocking, find_blocking
from trainer.core.order.marking import DONE, Marked, mark_order
from trainer.core.order.teardown import find_order

LEAST_RATIO = 4.0
"""How many times faster than the plain replay marking must be."""
PROMISED_ORDER_MS, PROMISED_ALL_S = 0.1, 1.0
"""Promised for one valid order of 90 parts, and for all learners' orders on one core."""
FAULTS = 6
"""Pieces that a learner's order has in the wrong place, at most."""


@dataclass(frozen=True)
class Size:
    """How much is run. sample: learners' orders that the plain replay marks too."""

    parts: int = 90
    orders: int = 10_000
    repeats: int = 300
    sample: int = 20


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table: the time of one order, and of the reference for it."""

    what: str
    ours_s: float
    plain_s: float

    @property
    def ratio(self) -> float:
        return self.plain_s / self.ours_s


@dataclass(frozen=True, slots=True)
class Result:
    """What was measured. different: orders of which the two routes refuse different pieces."""

    size: Size
    rows: tuple[Row, ...]
    all_s: float
    different: int
    marked: int
    valid: int

    @property
    def is_kept(self) -> bool:
        return self.different == 0 and all(row.ratio >= LEAST_RATIO for row in self.rows)


def make_learners_order(order: Sequence[str], chance: random.Random) -> list[str]:
    """Misplace some pieces of a right order, as a learner does: from none to FAULTS of them."""
    mine = list(order)
    for _ in range(chance.randint(0, FAULTS)):
        mine.insert(chance.randrange(len(mine)), mine.pop(chance.randrange(len(mine))))
    return mine


def run(size: Size) -> Result:
    """Mark valid, faulty, learners' and wholly shuffled orders, both ways."""
    assembly = make_stack(size.parts).assemble()
    blocking = find_blocking(assembly)
    found = find_order(assembly, blocking)
    assert not found.stuck, found.stuck
    right = [name for step in found.steps for name in step.pieces]
    assert len(right) == size.parts
    rules, chance = Rules.of(assembly, blocking), random.Random(4711)
    faulty = list(right)
    for k in range(3):
        faulty.insert(8 * k, faulty.pop(-1 - 3 * k))
    learners = [make_learners_order(right, chance) for _ in range(size.orders)]
    shuffled = [chance.sample(right, len(right)) for _ in range(size.repeats)]
    bench = _Bench(assembly, blocking, rules)
    bench.mark(right)  # what the states share is worked out once
    rows = [
        bench.compare("valid order", [right] * size.repeats, 3),
        bench.compare("order with 3 pieces misplaced, told why", [faulty] * size.repeats, 3),
    ]
    begin = time.process_time()
    marked = [bench.mark(order, reasons=False) for order in learners]
    all_s = time.process_time() - begin
    rows += [
        bench.compare("learners' orders, marks only", learners, size.sample, reasons=False),
        bench.compare("learners' orders, told why", learners[: size.repeats], size.sample),
        bench.compare("wholly shuffled, marks only", shuffled, 3, reasons=False),
    ]
    valid = sum(one.is_valid for one in marked)
    return Result(size, tuple(rows), all_s, bench.different, bench.compared, valid)


class _Bench:
    def __init__(self, assembly: Assembly, blocking: Blocking, rules: Rules) -> None:
        self.assembly, self.blocking, self.rules = assembly, blocking, rules
        self.different = self.compared = 0

    def mark(self, order: Sequence[str], *, reasons: bool = True) -> Marked:
        return mark_order(self.assembly, self.blocking, [[one] for one in order], reasons=reasons)

    def compare(
        self, what: str, orders: Sequence[Sequence[str]], sample: int, *, reasons: bool = True
    ) -> Row:
        """Time both; the reference on the first few orders only, and hold its answers against ours."""
        ours_s = _time(lambda order: self.mark(order, reasons=reasons), orders)
        plain_s = _time(lambda order: find_refused(self.rules, order), orders[:sample])
        for order in orders[:sample]:
            refused = [one.piece for one in self.mark(order).steps if one.verdict not in DONE]
            self.different += refused != find_refused(self.rules, order)
            self.compared += 1
        return Row(what, ours_s, plain_s)


def _time(mark: Callable[[Sequence[str]], object], orders: Sequence[Sequence[str]]) -> float:
    """Give seconds of processor time an order: one core works, and others may use the machine."""
    begin = time.process_time()
    for order in orders:
        mark(order)
    return (time.process_time() - begin) / len(orders)


def tell(result: Result) -> str:
    """Put a result into a table."""
    size = result.size
    lines = [
        f"Marking orders of {size.parts} parts, processor time of one core of {os.cpu_count()}, load {os.getloadavg()[0]:.1f}",
        f"{'':42} {'ours, ms':>9} {'plain, ms':>10} {'ratio':>7}",
    ]
    lines += [
        f"{row.what:42} {row.ours_s * 1e3:9.3f} {row.plain_s * 1e3:10.2f} {row.ratio:7.0f}"
        for row in result.rows
    ]
    lines += [
        f"promised: a valid order in {PROMISED_ORDER_MS} ms; each ratio {LEAST_RATIO:.0f} at least",
        (
            f"{size.orders} learners' orders (0-{FAULTS} pieces misplaced; {result.valid} of them valid),"
            f" marks only: {result.all_s:.2f} s; promised {PROMISED_ALL_S} s"
        ),
        f"orders marked both ways: {result.marked}, refusing different pieces: {result.different}",
    ]
    return "\n".join(lines)


def main(size: Size | None = None) -> int:
    """Run the bench and print it."""
    result = run(size or Size())
    print(tell(result))
    return 0 if result.is_kept else 1


if __name__ == "__main__":
    quick = "--quick" in sys.argv[1:]
    sys.exit(main(replace(Size(), orders=500, repeats=30, sample=5) if quick else None))
