"""How long it takes to draw questions of every kind, and whether every one of them is well made.

`python -m tests.bench.bench_questions [COUNT]` draws COUNT (10,000 if not given), checks each, and prints the table.
The solids' relations come from the cache; that benches are opened once is told apart. Absolute times depend on
the machine; the ratio, against building a pump anew once a question, does not. Ends with 1 when a promise is missed.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from models.builds import make_named_build
from tests.answering import check_well_made
from trainer.lesson.item import Item
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.wanted import Wanted
from trainer.session.asking import Benches, draw_item, list_subjects
from trainer.session.asking.kinds import KINDS
from trainer.words import load_words

BUILDS = (
    "end-suction/100-250",
    "self-priming/100",
    "impellers/100-250",
    "mechanical-seal/38",
    "radial-shaft-seals/45",
)
COUNT = 10_000
PROMISED_S = 20.0
"""For COUNT questions, on one core; processor time, for others may use the machine."""
PROMISED_RATIO = 0.05
"""Most of a question against building a pump anew."""
ANEW = 5


@dataclass(frozen=True, slots=True)
class Row:
    """One kind: how many were drawn, and the processor time of one, in seconds."""

    kind: QuestionKind
    count: int
    each_s: float


@dataclass(frozen=True, slots=True)
class Result:
    """What was measured, in seconds of processor time.

    opened_s: opening the benches, whose relations lie in the cache. drawn_s: drawing every question, all that is
    worked out once among it. anew_s: building a pump anew. invalid: questions that are not well made.
    """

    rows: tuple[Row, ...]
    opened_s: float
    drawn_s: float
    anew_s: float
    invalid: tuple[str, ...]

    @property
    def count(self) -> int:
        return sum(row.count for row in self.rows)

    @property
    def ratio(self) -> float:
        """A question against building a pump anew."""
        return self.drawn_s / self.count / self.anew_s

    @property
    def is_kept(self) -> bool:
        in_time = self.drawn_s * COUNT / self.count <= PROMISED_S
        return in_time and self.ratio <= PROMISED_RATIO and not self.invalid


def run(count: int = COUNT, builds: tuple[str, ...] = BUILDS) -> Result:
    """Draw so many questions, of every kind in turn on every build that has something to ask of it."""
    benches, words = Benches(), load_words()
    begin = time.process_time()
    for name in builds:
        bench = benches.open(name)
        assert bench.order.steps
        assert bench.clearances is not None
    opened_s = time.process_time() - begin
    drawn: Counter[QuestionKind] = Counter()
    spent: Counter[QuestionKind] = Counter()
    items: list[Item] = []
    turns = _take_turns(benches, builds)
    for number in range(count):
        name, kind = next(turns)
        begin = time.process_time()
        items.append(draw_item(benches.open(name), benches, Wanted(kind), str(number)))
        spent[kind] += time.process_time() - begin  # type: ignore[assignment]  # a counter of seconds
        drawn[kind] += 1
    rows = tuple(Row(kind, drawn[kind], spent[kind] / drawn[kind]) for kind in KINDS if drawn[kind])
    invalid = []
    for item in items:
        try:
            check_well_made(item, benches.open(item.build, item.options).build, words)
        except AssertionError as error:
            invalid.append(f"{item.key} of {item.build}: {error}")
    return Result(rows, opened_s, float(sum(spent.values())), _time_anew(), tuple(invalid))


def _take_turns(benches: Benches, builds: tuple[str, ...]) -> Iterator[tuple[str, QuestionKind]]:
    """Yield build and kind in turn, for ever; what a build has nothing to ask of is left out."""
    asked = [
        (name, kind) for kind in KINDS for name in builds if list_subjects(benches.open(name), kind)
    ]
    while True:
        yield from asked


def _time_anew() -> float:
    begin = time.process_time()
    for _ in range(ANEW):
        make_named_build(BUILDS[0])
    return (time.process_time() - begin) / ANEW


def tell(result: Result) -> str:
    """Tell the table."""
    lines = [f"{'kind':18} {'drawn':>6} {'ms each':>8}"]
    lines += [f"{row.kind:18} {row.count:6} {1e3 * row.each_s:8.2f}" for row in result.rows]
    lines += [
        (
            f"{result.count} questions of {len(result.rows)} kinds: {result.drawn_s:.2f} s of one core, after"
            f" {result.opened_s:.2f} s for opening the benches; promised {PROMISED_S:.0f} s for {COUNT}"
        ),
        f"a question against building a pump anew: ratio {result.ratio:.3f}, at most {PROMISED_RATIO}",
        f"not well made: {len(result.invalid)}",
        *result.invalid[:10],
    ]
    return "\n".join(lines)


def main() -> int:
    """Run the bench and print it."""
    result = run(int(sys.argv[1]) if len(sys.argv) > 1 else COUNT)
    print(tell(result))
    return 0 if result.is_kept else 1


if __name__ == "__main__":
    sys.exit(main())
