"""What a bench can say about orders: a learner's order with its repair, the ways to a part, the shared work."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from models.builds import make_named_build
from models.solids.cache import MeshCache
from models.spec.errors import ImpossibleChoiceError, RefusalError
from models.spec.work import Work
from trainer.core.order.count import OrderCount, count_orders
from trainer.core.order.directions import Direction
from trainer.core.order.marking import Marked, mark_order
from trainer.core.order.reach import Reached, find_routes
from trainer.core.order.repair import Repair, find_repair
from trainer.core.order.share import Shared, share_order
from trainer.session.bench import Bench
from trainer.session.relations import read_relations

LIFTING = "sling-"
"""Work keys that begin so mean lifting gear: then nobody works elsewhere on the pump."""


@dataclass(frozen=True, slots=True)
class MarkedLines:
    """A learner's whole order, marked.

    late: work that the order names too late, or not at all though it names other work. repair: the
    shortest, None when the order is right or no short one exists. right_in: options of sister builds,
    as (option, value), in which the order would have been right.
    """

    marked: Marked
    late: tuple[Work, ...]
    repair: Repair | None
    right_in: tuple[tuple[str, str], ...]


def mark_whole_order(bench: Bench, lines: Sequence[str]) -> MarkedLines:
    """Mark an order of lines, each a piece, a part (its whole set) or the key of a piece of work.

    Raises:
        RefusalError: a line names nothing known; near matches are given.
    """
    works = {work.key for work in bench.build.work}
    groups = [bench.find_pieces(line) for line in lines if line not in works]
    marked = mark_order(bench.assembly, bench.blocking, groups)
    late = _find_late(bench, lines) if works & set(lines) else ()
    if marked.is_valid:
        return MarkedLines(marked, late, None, ())
    repair = find_repair(bench.assembly, bench.blocking, groups)
    return MarkedLines(marked, late, repair, _find_right_in(bench, groups))


def _find_late(bench: Bench, lines: Sequence[str]) -> tuple[Work, ...]:
    """Find the work that does not stand before the part it belongs before (the start's work before everything)."""
    works = {work.key: work for work in bench.build.work}
    moved = {
        name
        for line in lines
        if line not in works
        for name in (line, bench.build.pieces[bench.find_pieces(line)[0]].place.name)
    }
    late = []
    for work in works.values():
        if work.before and work.before not in moved:
            continue
        first = next(
            (
                i
                for i, line in enumerate(lines)
                if line not in works and (not work.before or _is_of(bench, line, work.before))
            ),
            len(lines),
        )
        if work.key not in lines[:first]:
            late.append(work)
    return tuple(late)


def _is_of(bench: Bench, line: str, part: str) -> bool:
    return any(bench.build.pieces[name].place.name == part for name in bench.find_pieces(line))


def _find_right_in(bench: Bench, groups: Sequence[Sequence[str]]) -> tuple[tuple[str, str], ...]:
    """Find the options, one changed at a time, with which the order would have been right.

    Only builds whose relations are known already are asked: a mark does not wait for solids to be made.
    """
    build = bench.build
    found = []
    for option, values in build.family.option_values().items():
        for value in values:
            if value == build.options.get(option):
                continue
            try:
                sister = Bench(make_named_build(build.name, {**build.options, option: value}))
            except ImpossibleChoiceError:
                continue
            known = all(name in sister.build.pieces for group in groups for name in group)
            if (
                known
                and read_relations(sister.build, MeshCache()) is not None
                and mark_order(sister.assembly, sister.blocking, groups, reasons=False).is_valid
            ):
                found.append((option, value))
    return tuple(found)


def find_bench_routes(bench: Bench, name: str) -> dict[Direction, Reached | None]:
    """Find the shortest way to a part, or a piece, from either end.

    Of a set the piece that is reached in the fewest steps counts.

    Raises:
        RefusalError: no part or piece is called that; near matches are given.
    """
    routes: dict[Direction, Reached | None] = {}
    for piece in bench.find_pieces(name):
        for end, way in find_routes(bench.assembly, bench.blocking, piece).items():
            best = routes.get(end)
            if best is None or (way is not None and len(way.steps) < len(best.steps)):
                routes[end] = way
    return routes


def share_bench(bench: Bench, fitters: int) -> Shared:
    """Share the teardown between fitters; what is slung is taken off with all hands.

    Raises:
        RefusalError: fewer than one fitter.
    """
    if fitters < 1:
        raise RefusalError(f"{fitters} fitters take nothing off; write 1 or more")
    lifted = {work.before for work in bench.build.work if work.key.startswith(LIFTING)}
    return share_order(bench.assembly, bench.blocking, bench.order, fitters, lifted)


def count_bench(bench: Bench) -> OrderCount:
    """Count the right orders of the bench's parts, each set taken off in one go."""
    groups = list(bench.assembly.sets.values())
    return count_orders(bench.assembly, bench.blocking, groups)
