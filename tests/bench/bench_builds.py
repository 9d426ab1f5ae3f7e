"""How fast a pump's solids are made: `python -m tests.bench.bench_builds [BUILD]`.

The reference, timed in the same run, is the bare generator calls, one after another in this process
with the kernel loaded. Cold: builder processes started for an empty cache. Change: one dimension
measured otherwise, made by builders that are warm; the first change after their start is told apart.
Ends with 1 when a promised ratio is missed.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from models.builds import make_named_build
from models.solids.builders import Builders
from models.solids.cache import MeshCache
from models.solids.keys import make_key
from models.spec.build import Build, PlacedPiece
from models.spec.length import Term

LARGEST = "end-suction/100-250"
"""The largest size: what a cold build is promised for."""
PROMISED_COLD, PROMISED_CHANGE = 1.1, 0.1
"""Most of a cold build against the bare calls (two processes must make up for their start), and of a change against a cold build."""
MEASURED: Mapping[Term, float] = {
    ("wear-ring", "bore"): 0.02,
    ("shaft", "overhang"): -0.02,
    ("bearing-cap", "spigot-length"): 0.01,
    ("back-plate", "wet-face-depth"): 0.05,
}
"""What is measured otherwise, one at a time, and by how much in mm."""


@dataclass(frozen=True)
class Size:
    """What is built. only: pieces to make, all if empty. changes: what is then measured otherwise."""

    build: str = LARGEST
    only: tuple[str, ...] = ()
    changes: tuple[tuple[Term, float], ...] = tuple(MEASURED.items())
    workers: int = os.cpu_count() or 1


@dataclass(frozen=True, slots=True)
class Change:
    """One dimension measured otherwise: how many solids follow, and how long they take."""

    term: Term
    solids: int
    took_s: float


@dataclass(frozen=True, slots=True)
class Result:
    """What was measured, in seconds of the clock. bare_s: every generator once, in this process."""

    size: Size
    solids: int
    bare_s: float
    cold_s: float
    cached_s: float
    changes: tuple[Change, ...]

    @property
    def cold_ratio(self) -> float:
        return self.cold_s / self.bare_s

    @property
    def change_ratios(self) -> tuple[float, ...]:
        return tuple(change.took_s / self.cold_s for change in self.changes)

    @property
    def is_kept(self) -> bool:
        later = self.change_ratios[1:]
        return self.cold_ratio <= PROMISED_COLD and all(one <= PROMISED_CHANGE for one in later)


def run(size: Size) -> Result:
    """Build cold, from the cache, and after each change; then call every generator bare."""
    build = make_named_build(size.build)
    pieces = _choose(build, size)
    with tempfile.TemporaryDirectory() as folder:
        cache = MeshCache(Path(folder))
        begin = time.perf_counter()
        with Builders(size.workers) as passing:
            solids = _make(pieces, cache, passing)
            cold_s = time.perf_counter() - begin
        begin = time.perf_counter()
        with Builders(size.workers) as unused:
            again = _make(pieces, cache, unused)
        cached_s = time.perf_counter() - begin
        assert again == 0
        with Builders(size.workers) as builders:
            changes = tuple(
                _change(build, size, term, by, cache, builders) for term, by in size.changes
            )
    return Result(size, solids, _time_bare(pieces), cold_s, cached_s, changes)


def _choose(build: Build, size: Size) -> list[PlacedPiece]:
    return [piece for name, piece in build.pieces.items() if not size.only or name in size.only]


def _make(pieces: list[PlacedPiece], cache: MeshCache, builders: Builders) -> int:
    """Make what the cache lacks and read the rest; gives how many were made."""
    missing = {}
    for piece in pieces:
        key = make_key(piece)
        if cache.read(key) is None:
            missing[key] = piece
    keys = {piece.name: key for key, piece in missing.items()}
    for made in builders.make(missing.values()) if missing else ():
        cache.write(keys[made.piece.name], made.mesh)
    return len(missing)


def _change(
    build: Build, size: Size, term: Term, by_mm: float, cache: MeshCache, builders: Builders
) -> Change:
    piece, dimension = term
    middle = build.pieces[piece].dimensions[dimension].middle
    begin = time.perf_counter()
    changed = make_named_build(size.build, measured={term: middle + by_mm})
    made = _make(_choose(changed, size), cache, builders)
    return Change(term, made, time.perf_counter() - begin)


def _time_bare(pieces: list[PlacedPiece]) -> float:
    """Give seconds of every generator and its mesh, each once, with the kernel already loaded."""
    from models.solids.shape import make_shape
    from models.solids.tessellate import make_mesh

    different = {make_key(piece): piece for piece in pieces}
    make_mesh(make_shape(min(different.values(), key=lambda piece: piece.part.kind != "shim")))
    begin = time.perf_counter()
    for piece in different.values():
        make_mesh(make_shape(piece))
    return time.perf_counter() - begin


def tell(result: Result) -> str:
    """Put a result into a table."""
    size = result.size
    lines = [
        f"{size.build}: {result.solids} different solids, {size.workers} builder processes, load {os.getloadavg()[0]:.1f}",
        f"{'bare generator calls, one process':52} {result.bare_s:7.2f} s",
        f"{'cold, processes started':52} {result.cold_s:7.2f} s   ratio {result.cold_ratio:.2f}, promised {PROMISED_COLD}",
        f"{'all from the cache':52} {result.cached_s:7.2f} s",
    ]
    for number, (change, ratio) in enumerate(
        zip(result.changes, result.change_ratios, strict=True)
    ):
        what = f"{'first change' if number == 0 else 'change'}: {'.'.join(change.term)} (solids: {change.solids})"
        promised = "" if number == 0 else f", promised {PROMISED_CHANGE}"
        lines.append(f"{what:52} {change.took_s:7.2f} s   ratio {ratio:.2f}{promised}")
    return "\n".join(lines)


def main(size: Size | None = None) -> int:
    """Run the bench and print it."""
    result = run(size or Size())
    print(tell(result))
    return 0 if result.is_kept else 1


if __name__ == "__main__":
    sys.exit(main(Size(build=sys.argv[1]) if sys.argv[1:] else None))
