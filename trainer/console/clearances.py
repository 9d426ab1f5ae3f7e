"""The command `clearances`: every gap beside what is required of it, and by name the chain behind one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Unpack

import click

from trainer.console.asking import (
    BuildChoice,
    make_build_options,
    make_command,
    make_json_option,
    open_chosen,
    print_json,
)
from trainer.words import Words
from trainer.words.telling import find_clearance, tell_clearance, tell_part, tell_piece

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rich.console import Console
    from rich.table import Table

    from models.spec.build import Build
    from trainer.core.measure.adjusting import Turning
    from trainer.core.measure.chain import Link, MeasuredClearance
    from trainer.session.bench import Bench

PLACES_MM, PLACES_PERCENT = 3, 1
"""Digits after the point: a micrometer's thousandth; of a share in percent."""
FEWEST_SHARE = 0.005
"""Share of the spread below which a link is only counted, where a chain is long."""
LONG = 12
"""Links from which on a chain is long."""
BAR = 12
"""Characters of the bar that shows a share of the spread."""


COLUMNS = ("name", "now", "worst", "required", "inside", "source")
WIDE = 96
"""Characters across from which on the worst case has room in the list; by name it is always told."""


class ClearanceChoice(BuildChoice):
    """What the options of `clearances` say."""

    names: tuple[str, ...]
    gap: str | None


def make_clearances(words: Words) -> click.Command:
    """Make the command."""
    names = click.argument("names", nargs=-1, metavar="[NAME]...")
    build, *options = make_build_options(words)

    gap = click.option("--gap", metavar="VALUE", help=words.say("clearances.help-gap"))

    @make_command(words, "clearances", build, names, *options, gap, make_json_option(words))
    def clearances(as_json: bool, **chosen: Unpack[ClearanceChoice]) -> None:
        bench = open_chosen(words, chosen)
        asked = [
            bench.clearance(find_clearance(words, bench.build, name)) for name in chosen["names"]
        ]
        felt_mm = _read_felt_mm(words, bench.build, asked, chosen["gap"])
        if as_json:
            print_json(
                [describe_clearance(bench.build, one, felt_mm) for one in asked or bench.clearances]
            )
        elif asked:
            show_chains(words, bench.build, asked, felt_mm=felt_mm)
        else:
            show_clearances(words, bench)

    return clearances


def _read_felt_mm(
    words: Words, build: Build, asked: list[MeasuredClearance], gap: str | None
) -> float | None:
    """Read a gap as felt, in mm. Raises click.UsageError unless one clearance is named that screws set."""
    if gap is None:
        return None
    if len(asked) != 1 or build.clearance(asked[0].name).adjusted_by is None:
        raise click.UsageError(words.say("clearances.gap-needs-screws"))
    from trainer.session.shims import read_reading

    return read_reading(asked[0].name, gap).gap_mm


def describe_clearance(
    build: Build, one: MeasuredClearance, felt_mm: float | None = None
) -> dict[str, Any]:
    """Describe a clearance as JSON: lengths in mm under keys that say so, a share without."""
    from models.spec.clearance import ClearanceKind

    clearance, turning = build.clearance(one.name), _find_turning(build, one, felt_mm)
    unit = "" if one.kind is ClearanceKind.SHARE else "_mm"
    told: dict[str, Any] = {
        "name": one.name,
        "kind": one.kind.value,
        "group": clearance.group.value,
        "taken_up": one.taken_up,
        f"nominal{unit}": round(one.nominal_mm, 6),
        f"value{unit}": round(one.value_mm, 6),
        f"in_service{unit}": round(one.in_service_mm, 6),
        f"worst{unit}": [round(value, 6) for value in one.worst_mm],
        f"sigma{unit}": round(one.sigma_mm, 6),
        f"aim{unit}": round(one.aim_mm, 6),
        f"required{unit}": [round(value, 6) for value in one.required_mm],
        "required_by": one.required_by,
        "inside": one.is_inside,
        "chain": [_describe_link(link) for link in one.chain],
        "effects": [
            {"name": effect.name, f"value{unit}": round(effect.value_mm, 6)}
            for effect in one.effects
        ],
    }
    if turning is not None:
        told["turning"] = {
            "screws": turning.place,
            "per_turn_mm": round(turning.per_turn_mm, 6),
            "per_flat_mm": round(turning.per_flat_mm, 6),
            "turns_to_aim": round(turning.to_aim, 6),
            "flats_to_aim": round(turning.flats_to_aim, 6),
        }
    return told


def _describe_link(link: Link) -> dict[str, Any]:
    return {
        "piece": link.piece,
        "dimension": link.dimension,
        "value_mm": round(link.value_mm, 6),
        "nominal_mm": link.nominal_mm,
        "limits_mm": [link.lower_mm, link.upper_mm],
        "distribution": link.distribution.value,
        "sensitivity": round(link.sensitivity, 9),
        "share_of_spread": round(link.share, 6),
        "measured": link.measured,
        "source": link.source,
    }


def _find_turning(build: Build, one: MeasuredClearance, felt_mm: float | None) -> Turning | None:
    from trainer.core.measure.adjusting import find_turning

    return find_turning(build, build.clearance(one.name), one, felt_mm)


class _Notes:
    """Number the sources as they are first named, so that each title stands once below."""

    def __init__(self) -> None:
        self._titles: dict[tuple[str, str], int] = {}

    def refer(self, source: str) -> str:
        """Give number and line of a source `FILE:LINE (TITLE)`."""
        where, _, title = source.partition(" (")
        file, colon, line = where.rpartition(":")
        key = (file if colon else where, title.removesuffix(")"))
        number = self._titles.setdefault(key, len(self._titles) + 1)
        return f"[{number}]:{line}" if colon and line != "0" else f"[{number}]"

    def tell(self) -> list[str]:
        """List the sources by number, each with its file and who says so."""
        return [
            f"[{number}] {': '.join(filter(None, key))}" for key, number in self._titles.items()
        ]


def show_clearances(words: Words, bench: Bench, console: Console | None = None) -> None:
    """Show every clearance beside what is required, those that belong together under one heading."""
    from models.spec.clearance import ClearanceGroup
    from trainer.console.show import open_console

    out, notes, build = open_console(console), _Notes(), bench.build
    if not bench.clearances:
        out.print(words.say("clearances.none", build=build.name))
        return
    shown = [key for key in COLUMNS if key != "worst" or out.width >= WIDE]
    title = words.say("clearances.title", build=build.name)
    table = _make_table(title, {key: words.say(f"clearances.column-{key}") for key in shown})
    for group in ClearanceGroup:
        found = [one for one in bench.clearances if build.clearance(one.name).group is group]
        if found:
            table.add_section()
            table.add_row(f"[bold]{words.say(f'clearances.group-{group}')}[/bold]")
            for one in found:
                row = _tell_row(words, one, notes)
                table.add_row(*(row[key] for key in shown))
    out.print(table)
    outside = [tell_clearance(words, one.name) for one in bench.clearances if not one.is_inside]
    if outside:
        out.print(words.say("clearances.outside", names=words.join(outside)), style="bold")
    for key in ("reading", "float", "how-chain"):
        out.print(words.say(f"clearances.{key}", build=build.name))
    _print_notes(words, out, notes)


def _make_table(title: str, columns: dict[str, str]) -> Table:
    from trainer.console.show import make_table

    table = make_table(title, *columns.values())
    for key, column in zip(columns, table.columns, strict=True):
        if key in ("now", "worst", "required"):
            column.justify = "right"
        column.no_wrap = key != "name"
    return table


def _tell_row(words: Words, one: MeasuredClearance, notes: _Notes) -> dict[str, str]:
    low, high, aim = (_trim(words, one, value) for value in (*one.required_mm, one.aim_mm))
    span = words.say("clearances.range", low=low, high=high)
    worst = [_bare(words, one, value) for value in one.worst_mm]
    return {
        "name": tell_clearance(words, one.name),
        "now": _bare(words, one, one.in_service_mm),
        "worst": words.say("clearances.range", low=worst[0], high=worst[1]),
        "required": words.say("clearances.required", range=span, aim=aim),
        "inside": words.say("clearances.yes" if one.is_inside else "clearances.no"),
        "source": notes.refer(one.required_by).replace("[", r"\["),
    }


def _bare(words: Words, one: MeasuredClearance, value: float) -> str:
    """Write a value without its unit: mm, or percent of what is a share."""
    from models.spec.clearance import ClearanceKind

    if one.kind is ClearanceKind.SHARE:
        return words.number(100.0 * value, PLACES_PERCENT)
    return words.number(value, PLACES_MM)


def _trim(words: Words, one: MeasuredClearance, value: float) -> str:
    """Write a limit as a drawing does: no more digits than it has."""
    written = _bare(words, one, value)
    return written.rstrip("0").rstrip(".") if "." in written else written


def _number(words: Words, one: MeasuredClearance, value: float) -> str:
    from models.spec.clearance import ClearanceKind

    key = "percent" if one.kind is ClearanceKind.SHARE else "millimetres"
    return words.say(f"clearances.{key}", value=_bare(words, one, value))


def _range(words: Words, one: MeasuredClearance, limits: tuple[float, float]) -> str:
    low, high = (_number(words, one, value) for value in limits)
    return words.say("clearances.range", low=low, high=high)


def _print_notes(words: Words, out: Console, notes: _Notes) -> None:
    out.print()
    out.print(words.say("clearances.sources"), style="bold")
    for line in notes.tell():
        out.print(line, markup=False)
    out.print(words.say("clearances.defer"))


def show_chains(
    words: Words,
    build: Build,
    asked: Iterable[MeasuredClearance],
    console: Console | None = None,
    *,
    felt_mm: float | None = None,
) -> None:
    """Show the chain behind each of some clearances: what it is the sum of, and what spreads it."""
    from trainer.console.show import open_console

    out, notes = open_console(console), _Notes()
    for one in asked:
        out.print(words.say("clearances.chain", clearance=tell_clearance(words, one.name)), style="bold")  # fmt: skip
        mark = words.say("clearances.is-inside" if one.is_inside else "clearances.is-outside")
        out.print(
            words.say(
                "clearances.state", now=_number(words, one, one.in_service_mm), inside=mark,
                range=_range(words, one, one.required_mm), aim=_number(words, one, one.aim_mm),
                worst=_range(words, one, one.worst_mm), source=notes.refer(one.required_by),
            ),
            markup=False,
        )  # fmt: skip
        _show_links(words, build, one, notes, out)
        _show_how_to_measure(words, one, out)
        for effect in one.effects:
            if effect.value_mm:
                value = words.millimetres(effect.value_mm, PLACES_MM)
                out.print(words.say("clearances.effect", effect=words.say(f"effect.{effect.name}"), value=value))  # fmt: skip
        _show_turning(words, build, one, felt_mm, out)
        out.print()
    _print_notes(words, out, notes)


def _show_links(
    words: Words, build: Build, one: MeasuredClearance, notes: _Notes, out: Console
) -> None:
    from trainer.console.show import make_table

    columns = ("sign", "piece", "value", "limits", "share", "source")
    table = make_table("", *(words.say(f"clearances.column-{name}") for name in columns))
    for number in (0, 2, 3):
        table.columns[number].justify = "right"
    for number in (0, 2, 3, 4, 5):
        table.columns[number].no_wrap = True
    shown, rest = split_links(one.chain)
    for link in shown:
        piece = tell_piece(words, build, link.piece)
        dimension = link.dimension.replace("-", " ")
        table.add_row(
            f"{link.sensitivity:+.3g}",
            words.say("clearances.of-piece", piece=piece, dimension=dimension),
            words.number(link.value_mm, PLACES_MM),
            _tell_limits(words, link),
            _draw_share(words, link.share),
            notes.refer(link.source).replace("[", r"\["),
        )
    out.print(table)
    if rest:
        percent = words.number(100.0 * sum(link.share for link in rest), PLACES_PERCENT)
        out.print("  " + words.count("clearances.rest", len(rest), percent=percent))


def _show_how_to_measure(words: Words, one: MeasuredClearance, out: Console) -> None:
    """Show how to put in a measured dimension, by the one that spreads the clearance most."""
    if any(link.measured for link in one.chain) or not one.chain:
        return
    most = max(one.chain, key=lambda link: link.share)
    value = words.number(most.nominal_mm, 2)
    out.print(
        words.say(
            "clearances.how-to-measure", piece=most.piece, dimension=most.dimension, value=value
        ),
        markup=False,
    )


def split_links(chain: tuple[Link, ...]) -> tuple[list[Link], list[Link]]:
    """Split a chain into links to show and, where it is long, those that hardly spread it and were not measured."""
    if len(chain) < LONG:
        return list(chain), []
    shown = [link for link in chain if link.measured or link.share >= FEWEST_SHARE]
    return shown, [link for link in chain if link not in shown]


def _tell_limits(words: Words, link: Link) -> str:
    low, high = link.lower_mm - link.value_mm, link.upper_mm - link.value_mm
    if link.measured:
        key = "clearances.measured-off" if high > 0.0 else "clearances.measured"
        return words.say(key, off=words.number(high, PLACES_MM))
    if high <= 0.0 and low >= 0.0:
        return words.say("clearances.exact")
    return words.say("clearances.plus-minus", off=words.number((high - low) / 2.0, PLACES_MM))


def _draw_share(words: Words, share: float) -> str:
    bar = "█" * round(BAR * share)
    percent = words.number(100.0 * share, PLACES_PERCENT)
    return f"{bar:<{BAR}} {words.say('clearances.percent', value=percent):>7}"


def _show_turning(
    words: Words, build: Build, one: MeasuredClearance, felt_mm: float | None, out: Console
) -> None:
    turning = _find_turning(build, one, felt_mm)
    if turning is None:
        return
    out.print(
        words.say(
            "clearances.per-turn", screws=tell_part(words, turning.place),
            turn=words.millimetres(turning.per_turn_mm, PLACES_MM),
            flat=words.millimetres(turning.per_flat_mm, PLACES_MM),
        )
    )  # fmt: skip
    if felt_mm is not None:
        out.print(words.say("clearances.felt", gap=words.millimetres(felt_mm, PLACES_MM)))
    flats = turning.flats_to_aim
    way = "in" if flats > 0 else "out"
    key = f"clearances.turn-{way}" if abs(flats) >= 0.05 else "clearances.turn-none"
    out.print(words.say(key, flats=words.number(abs(flats), 1), turns=words.number(abs(turning.to_aim), 2)))  # fmt: skip
    if felt_mm is None:
        out.print(words.say("clearances.turn-from-felt"))
    out.print(words.say("clearances.turn-alike"))
