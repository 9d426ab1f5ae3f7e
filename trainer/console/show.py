"""Show answers: tables for people, plain values for scripts."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rich import box
from rich.console import Console
from rich.table import Table

from trainer.words import Words
from trainer.words.telling import tell_part

if TYPE_CHECKING:
    from models.solids.verify import Problem, Report
    from models.spec.build import Build

PLACES_MM = 3
"""Digits after the point of a clearance: a micrometer's thousandth."""


def open_console(console: Console | None) -> Console:
    """Give the console to write to: the one given, else the terminal."""
    return console or Console(highlight=False)


def make_table(title: str, *columns: str) -> Table:
    """Make an empty table in the house's look."""
    table = Table(
        title=title, title_justify="left", title_style="bold", box=box.SIMPLE_HEAD, pad_edge=False
    )
    for column in columns:
        table.add_column(column, overflow="fold")
    return table


def show_builds(
    words: Words, found: dict[str, dict[str, list[str]]], console: Console | None = None
) -> None:
    """Show every build with its options."""
    table = make_table(
        words.say("builds.title"),
        words.say("builds.column-build"),
        words.say("builds.column-options"),
    )
    for name, options in found.items():
        table.add_row(
            name, "; ".join(f"{option}={' | '.join(values)}" for option, values in options.items())
        )
    open_console(console).print(table)


def describe_parts(words: Words, build: Build) -> list[dict[str, Any]]:
    """Describe a build's parts as JSON."""
    described = []
    for place, pieces in build.places.items():
        part = build.pieces[pieces[0]].part
        described.append(
            {
                "name": place,
                "title": tell_part(words, place),
                "pieces": list(pieces),
                "kind": part.kind,
                "material": part.material.value,
                "duty": words.say(f"part.{place}.duty"),
                "quantity": len(pieces),
            }
        )
    return described


def show_parts(words: Words, build: Build, console: Console | None = None) -> None:
    """Show a build's parts list."""
    table = make_table(
        words.say("parts.title", build=build.name),
        *(words.say(f"parts.column-{name}") for name in ("name", "quantity", "material", "duty")),
    )
    for part in describe_parts(words, build):
        material = words.say(f"material.{part['material']}.name")
        table.add_row(part["title"], str(part["quantity"]), material, part["duty"])
    open_console(console).print(table)


def _tell_problem(words: Words, problem: Problem) -> str:
    return words.say(
        f"verify.problem-{problem.what}",
        build=problem.build,
        pieces=", ".join(problem.pieces),
        amount=words.number(problem.amount, 4).rstrip("0").rstrip("."),
        detail=problem.detail,
    )


def describe_report(words: Words, report: Report) -> dict[str, Any]:
    """Describe a verification as JSON."""
    return {
        "ok": report.is_ok,
        "builds": report.builds,
        "solids": report.solids,
        "pairs": report.pairs,
        "undeclared_overlaps": report.undeclared_overlaps,
        "unsealed_joints": report.unsealed_joints,
        "broken_rules": report.broken_rules,
        "unplaced_parts": report.unplaced_parts,
        "max_clearance_error_mm": report.max_clearance_error_mm,
        "problems": [_tell_problem(words, problem) for problem in report.problems],
    }


def tell_report(words: Words, report: Report) -> list[str]:
    """Tell of a verification: its problems, then its counts."""
    told = [_tell_problem(words, problem) for problem in report.problems]
    if report.is_ok:
        told.append(words.say("verify.ok"))
    counts = words.say(
        "verify.counts",
        builds=report.builds,
        solids=report.solids,
        pairs=report.pairs,
        overlaps=report.undeclared_overlaps,
        seals=report.unsealed_joints,
        rules=report.broken_rules,
        unplaced=report.unplaced_parts,
        error=words.millimetres(report.max_clearance_error_mm, 6),
    )
    return [*told, counts]
