"""How long it takes until every consequence follows a dragged gap, against building the pump anew for it.

`python -m tests.bench.bench_service` prints the table; absolute times depend on the machine, the ratio does not.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from models.builds import make_named_build
from trainer.session.service import ServiceBench, Setting
from trainer.session.typed import make_pack

BUILDS: tuple[tuple[str, dict[str, str]], ...] = (
    ("end-suction/100-250", {}),
    ("end-suction/100-250", {"hub-ring": "balance-holes"}),
    ("self-priming/100", {}),
)
LIMIT_S = 0.05


@dataclass(frozen=True, slots=True)
class Row:
    """One build: median time of a look at a dragged setting, and of building the pump with that pack and looking once."""

    name: str
    look_s: float
    anew_s: float

    @property
    def ratio(self) -> float:
        """How many looks fit into one building anew."""
        return self.anew_s / self.look_s


def run(looks: int = 100, anew: int = 5) -> tuple[Row, ...]:
    """Measure every build; the looks go over as many different gaps, so that nothing is remembered."""
    rows = []
    for name, options in BUILDS:
        bench = ServiceBench(make_named_build(name, options))
        bench.look()
        settings = [Setting(0.3 * step / looks) for step in range(looks)]
        look = [_time(partial(bench.look, setting)) for setting in settings]
        build = [_time(partial(_build_anew, name, options, step)) for step in range(anew)]
        told = " ".join([name, *(f"{key}={value}" for key, value in options.items())])
        rows.append(Row(told, statistics.median(look), statistics.median(build)))
    return tuple(rows)


def _build_anew(name: str, options: dict[str, str], step: int) -> None:
    pack = make_pack((0.5, 0.3, 0.2 + 0.01 * step))
    ServiceBench(make_named_build(name, options, pack=pack)).look()


def _time(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def tell(rows: tuple[Row, ...]) -> str:
    """Tell the table."""
    lines = [f"all consequences anew, without a solid (limit {1e3 * LIMIT_S:.0f} ms)"]
    lines += [
        f"{row.name}: {1e3 * row.look_s:.2f} ms; built anew {1e3 * row.anew_s:.0f} ms, ratio {row.ratio:.0f}"
        for row in rows
    ]
    return "\n".join(lines)


if __name__ == "__main__":
    print(tell(run()))
