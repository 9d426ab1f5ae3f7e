"""Show answers about orders: tables for people, plain values for scripts."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rich.console import Console

from trainer.console.show import make_table, open_console
from trainer.core.order.count import OrderCount
from trainer.core.order.directions import Direction
from trainer.core.order.marking import MarkedStep, Verdict
from trainer.core.order.reach import Reached
from trainer.core.order.share import Shared
from trainer.core.order.teardown import reverse_order
from trainer.session.ordering import MarkedLines
from trainer.session.teaching import describe_step, find_verdict_name
from trainer.words import Words
from trainer.words.telling import (
    tell_fitting,
    tell_part,
    tell_piece,
    tell_pieces,
    tell_step,
    tell_taken,
)

if TYPE_CHECKING:
    from models.spec.build import Build
    from trainer.session.bench import Bench


def describe_order(words: Words, bench: Bench) -> dict[str, Any]:
    """Describe a teardown order as JSON; work that moves no part stands under `before`."""
    return {
        "build": bench.build.name,
        "steps": [
            {
                "pieces": list(step.pieces),
                "part": step.part,
                "direction": step.direction.name,
                "tool": step.taken[0].tool,
                "along": sorted(
                    set().union(*(taken.along for taken in step.taken)) - set(step.pieces)
                ),
                "before": [words.say(f"work.{work}") for work in bench.work_before(number)],
            }
            for number, step in enumerate(bench.order.steps)
        ],
        "stuck": list(bench.order.stuck),
    }


def show_order(words: Words, bench: Bench, console: Console | None = None) -> None:
    """Show a teardown order, with the work that comes before each step."""
    out = open_console(console)
    table = make_table(
        words.say("order.title", build=bench.build.name),
        *(words.say(f"order.column-{name}") for name in ("step", "take", "way", "before")),
    )
    for number, step in enumerate(bench.order.steps):
        before = "\n".join(words.say(f"work.{work}") for work in bench.work_before(number))
        what = tell_pieces(words, bench.build, step.pieces)
        way = tell_taken(words, bench.build, step.taken[0], len(step.taken))
        table.add_row(str(number + 1), what, way, before)
    out.print(table)
    if bench.order.stuck:
        out.print(
            words.say("order.stuck", pieces=tell_pieces(words, bench.build, bench.order.stuck))
        )
    out.print(words.say("order.safety"))


def describe_together(bench: Bench) -> dict[str, Any]:
    """Describe the order in which a build goes together as JSON."""
    return {
        "build": bench.build.name,
        "steps": [
            {
                "pieces": list(fitting.pieces),
                "part": fitting.part,
                "directions": [direction.name for direction in fitting.way],
                "along": sorted(fitting.along),
            }
            for fitting in reverse_order(bench.order)
        ],
    }


def show_together(words: Words, bench: Bench, console: Console | None = None) -> None:
    """Show the order in which a build goes together."""
    out = open_console(console)
    table = make_table(
        words.say("together.title", build=bench.build.name),
        words.say("order.column-step"),
        words.say("together.column-fit"),
        words.say("together.column-way"),
    )
    for number, fitting in enumerate(reverse_order(bench.order)):
        what = tell_pieces(words, bench.build, fitting.pieces)
        table.add_row(str(number + 1), what, tell_fitting(words, bench.build, fitting))
    out.print(table)
    out.print(words.say("together.procedure"))
    out.print(words.say("order.safety"))


def describe_marked(words: Words, build: Build, whole: MarkedLines) -> dict[str, Any]:
    """Describe a marked order as JSON, each step with its reason in words."""
    marked, repair = whole.marked, whole.repair
    return {
        "valid": marked.is_valid,
        "score": marked.score,
        "complete": marked.complete,
        "steps": [
            describe_step(step) | {"why": tell_step(words, build, step)} for step in marked.steps
        ],
        "late_work": [
            {"work": work.key, "before": work.before, "critical": work.critical}
            for work in whole.late
        ],
        "repair": repair
        and [{"move": list(move.pieces), "before": move.before or None} for move in repair.moves],
        "right_in": [{"option": option, "value": value} for option, value in whole.right_in],
    }


def show_marked(
    words: Words, build: Build, whole: MarkedLines, console: Console | None = None
) -> None:
    """Show a marked order. Pieces of one set with the same verdict and reason share a line."""
    out, marked = open_console(console), whole.marked
    table = make_table(
        words.say("mark.title"),
        *(words.say(f"mark.column-{name}") for name in ("asked", "verdict", "why")),
    )
    rows: list[tuple[list[MarkedStep], str, str]] = []
    for step in marked.steps:
        why, verdict = tell_step(words, build, step), find_verdict_name(step)
        part = build.pieces[step.piece].place.name
        same = rows and build.pieces[rows[-1][0][0].piece].place.name == part
        if same and rows[-1][1:] == (verdict, why):
            rows[-1][0].append(step)
        else:
            rows.append(([step], verdict, why))
    for steps, verdict, _ in rows:
        style = "bold" if verdict in {"held", "blocked"} else ""
        what = tell_pieces(words, build, [step.piece for step in steps])
        why = tell_step(words, build, steps[0], len(steps))
        table.add_row(what, words.say(f"mark.verdict-{verdict}"), why, style=style)
    out.print(table)
    wrong = sum(step.verdict is Verdict.REFUSED for step in marked.steps)
    out.print(words.count("mark.wrong", wrong) if wrong else words.say("mark.right"))
    poor = sum(step.verdict is Verdict.WRONG_PRACTICE for step in marked.steps)
    if poor:
        out.print(words.count("mark.practice", poor))
    out.print(words.say("mark.score", score=marked.score))
    left_out = len(build.pieces) - len({step.piece for step in marked.steps})
    if left_out:
        out.print(words.count("mark.incomplete", left_out))
    for work in whole.late:
        told = words.say(f"work.{work.key}")
        key = "mark.late-work" if work.before else "mark.late-work-start"
        part = tell_part(words, work.before) if work.before else ""
        out.print(words.say(key, part=part, work=told) if part else words.say(key, work=told))
    if not marked.is_valid:
        _show_repair(words, build, whole, out)


def _show_repair(words: Words, build: Build, whole: MarkedLines, out: Console) -> None:
    if whole.repair is None:
        out.print(words.say("mark.no-repair"))
    else:
        out.print(words.say("mark.repair"))
        for move in whole.repair.moves:
            pieces = tell_pieces(words, build, move.pieces)
            if move.before:
                before = tell_piece(words, build, move.before)
                told = words.say("mark.repair-before", pieces=pieces, before=before)
            else:
                told = words.say("mark.repair-end", pieces=pieces)
            out.print("  " + told)
    for option, value in whole.right_in:
        out.print(words.say("mark.right-in", option=option, value=value))


def describe_routes(routes: Mapping[Direction, Reached | None]) -> list[dict[str, Any]]:
    """Describe the ways to a part as JSON, one from each end."""
    return [
        {
            "from": "suction-end" if end is Direction.SUCTION else "drive-end",
            "shortest": way.is_shortest if way else None,
            "steps": [
                {
                    "pieces": [taken.piece for taken in step],
                    "direction": step[0].direction.name,
                    "tool": step[0].tool,
                    "as_unit": step[0].as_unit,
                    "along": sorted(step[0].along - {taken.piece for taken in step}),
                }
                for step in way.steps
            ]
            if way
            else None,
        }
        for end, way in routes.items()
    ]


def show_routes(
    words: Words,
    bench: Bench,
    name: str,
    routes: Mapping[Direction, Reached | None],
    console: Console | None = None,
) -> None:
    """Show what must come off to reach a part, from either end."""
    out, build = open_console(console), bench.build
    piece = bench.find_pieces(name)[0]
    part = tell_part(words, build.pieces[piece].place.name)
    for end, way in routes.items():
        title = "reach.title" if end is Direction.SUCTION else "reach.title-drive"
        if way is None:
            out.print(words.say(title, part=part), style="bold")
            out.print(words.say("reach.none"))
            continue
        table = make_table(
            words.say(title, part=part),
            *(words.say(f"order.column-{name}") for name in ("step", "take", "way")),
        )
        for number, step in enumerate(way.steps):
            what = tell_pieces(words, build, [taken.piece for taken in step])
            table.add_row(str(number + 1), what, tell_taken(words, build, step[0], len(step)))
        out.print(table)
        if not way.is_shortest:
            out.print(words.say("reach.not-shortest"))
    out.print(words.say("order.safety"))


def describe_shared(shared: Shared) -> dict[str, Any]:
    """Describe shared work as JSON: rounds of steps that may be done at once."""
    return {
        "rounds": [[list(step.pieces) for step in steps] for steps in shared.rounds],
        "steps": shared.longest,
    }


def show_shared(
    words: Words, build: Build, shared: Shared, fitters: int, console: Console | None = None
) -> None:
    """Show which steps may be done at the same time, round by round."""
    out, rounds = open_console(console), len(shared.rounds)
    table = make_table(
        words.count("share.title", fitters, rounds=rounds, steps=shared.longest),
        words.say("share.column-round"),
        *(words.say("share.column-fitter", number=i + 1) for i in range(fitters)),
    )
    for number, steps in enumerate(shared.rounds):
        cells = [tell_pieces(words, build, step.pieces) for step in steps]
        table.add_row(str(number + 1), *cells)
    out.print(table)
    out.print(words.say("share.safety"))
    out.print(words.say("order.safety"))


def describe_count(count: OrderCount, steps: int) -> dict[str, Any]:
    """Describe a number of orders as JSON; `exact` is null when it was estimated."""
    return {
        "parts": steps,
        "exact": count.exact,
        "log10": round(count.log10, 3),
        "spread_log10": round(count.spread_log10, 3),
    }


def show_count(words: Words, count: OrderCount, steps: int, console: Console | None = None) -> None:
    """Show how many orders are right, and whether that was counted or estimated."""
    if count.exact is not None:
        told = words.say("count.exact", number=count.exact, steps=steps)
    else:
        number = f"10^{words.number(count.log10, 0)}"
        factor = words.number(10 ** (2 * count.spread_log10), 1)
        told = words.say("count.about", number=number, steps=steps, factor=factor)
    open_console(console).print(told)
