"""The command `shims`: which shims to fit, how sure it is, what every gap becomes, and what to order if none fits."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Unpack

import click

from trainer.console.asking import (
    FILE,
    BuildChoice,
    make_build_options,
    make_command,
    make_json_option,
    open_chosen,
    print_json,
)
from trainer.console.spread import make_plot_option, write_spread
from trainer.words import Words
from trainer.words.telling import find_clearance, tell_clearance
from trainer.words.telling_shims import find_thou, tell_shim

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rich.console import Console

    from models.spec.length import Term
    from trainer.core.measure.shims import Moved, Pack, ShimAnswer
    from trainer.session.bench import Bench

PLACES_MM = 3
MOST_SHIMS = 4
SEED = 1
CAUTIONS = ("micrometer", "between", "crooked", "again", "defer")


def make_shims(words: Words) -> click.Command:
    """Make the command."""
    options = (
        click.option("--clearance", metavar="NAME", help=words.say("console.help-clearance")),
        click.option("--stock", type=FILE, metavar="FILE", help=words.say("console.help-stock")),
        click.option(
            "--gap",
            "gaps",
            multiple=True,
            metavar="[NAME=]VALUE",
            help=words.say("console.help-gap"),
        ),
        click.option("--with-pack", metavar="VALUES", help=words.say("console.help-with-pack")),
        click.option(
            "--most",
            type=int,
            default=MOST_SHIMS,
            show_default=True,
            help=words.say("shims.help-most"),
        ),
        make_plot_option(words),
    )

    @make_command(words, "shims", *make_build_options(words), *options, make_json_option(words))
    def shims(
        as_json: bool,
        clearance: str | None,
        stock: Path | None,
        gaps: tuple[str, ...],
        with_pack: str | None,
        most: int,
        plot: Path | None,
        **chosen: Unpack[BuildChoice],
    ) -> int:
        from trainer.session.shims import answer_shims, read_found
        from trainer.session.typed import read_stock

        clearance, stock = _check_said(words, clearance, stock, chosen)
        if bool(gaps) != (with_pack is not None):
            raise click.UsageError(words.say("shims.gap-needs-pack"))
        drawer = read_stock(stock)
        bench = open_chosen(words, chosen)
        clearance = bench.clearance(find_clearance(words, bench.build, clearance)).name
        named = [text.rpartition("=") for text in gaps]
        gaps = tuple(
            f"{find_clearance(words, bench.build, name)}{sign}{value}"
            for name, sign, value in named
        )
        found = read_found(gaps, with_pack, clearance)
        answer = answer_shims(bench, clearance, drawer, found, most)
        if plot is not None:
            import numpy as np

            from trainer.session.shims import find_pack_spread

            spreads, shares = find_pack_spread(
                bench, answer, drawer, found, np.random.default_rng(SEED)
            )
            told = _tell_shares(words, bench, shares)
            write_spread(words, plot, bench.clearance(clearance), spreads, told)
        if as_json:
            print_json(describe_shims(answer))
        else:
            show_shims(words, answer)
            if bench.build.clearance(clearance).adjusted_by is not None:
                said = words.say("shims.has-screws", build=bench.build.name, name=clearance)
                click.echo("- " + said)
            if plot is not None:
                click.echo(words.say("console.written", file=str(plot)))
        return 0 if answer.fits else 1

    return shims


def _check_said(
    words: Words, clearance: str | None, stock: Path | None, chosen: BuildChoice
) -> tuple[str, Path]:
    """Check that gap and stock were named. Raises click.UsageError telling what could be."""
    from trainer.core.measure.rests import is_moved
    from trainer.session.typed import DEPOT_DRAWER

    if clearance is None:
        moved = [one.name for one in open_chosen(words, chosen).clearances if is_moved(one)]
        raise click.UsageError(words.say("shims.which-gap", names=", ".join(moved)))
    if stock is None:
        raise click.UsageError(words.say("shims.which-stock", file=str(DEPOT_DRAWER)))
    return clearance, stock


def _tell_shares(words: Words, bench: Bench, shares: dict[Term, float]) -> dict[str, float]:
    from trainer.core.measure.rests import GAUGE
    from trainer.session.shims import SHIMS
    from trainer.words.telling import tell_piece

    told = {}
    for (piece, dimension), share in shares.items():
        if (piece, dimension) == SHIMS:
            name = words.say("spread.shims")
        elif piece == GAUGE:
            name = words.say("spread.gauge")
        else:
            name = words.say(
                "spread.contributor",
                piece=tell_piece(words, bench.build, piece),
                dimension=dimension.replace("-", " "),
            )
        told[name] = share
    return told


# ------------------------------------------------------------------ as plain values
def describe_shims(answer: ShimAnswer) -> dict[str, Any]:
    """Describe a shim answer as JSON, in mm, chances from 0 to 1."""
    conflict = answer.conflict
    return {
        "clearance": answer.clearance,
        "fits": answer.fits,
        "from_gap": answer.from_gap,
        "aim_mm": answer.aim_mm,
        "required_mm": list(answer.required_mm),
        "ideal_mm": round(answer.ideal_mm, 6),
        **_describe_pack(answer.best),
        "windows": [
            {"clearance": name, "pack_from_mm": round(low, 6), "pack_to_mm": round(high, 6)}
            for name, low, high in answer.windows
        ],
        "conflict": None
        if conflict is None
        else {
            "wants_more": conflict.wants_more,
            "least_mm": round(conflict.least_mm, 6),
            "wants_less": conflict.wants_less,
            "most_mm": round(conflict.most_mm, 6),
        },
        "order_mm": [round(shim, 6) for shim in answer.to_order],
        "ordered": None if answer.ordered is None else _describe_pack(answer.ordered),
        "alternatives": [_describe_pack(pack) for pack in answer.alternatives],
        "packs_compared": answer.tried,
    }


def _describe_pack(pack: Pack) -> dict[str, Any]:
    return {
        "pack": [round(shim, 6) for shim in pack.shims_mm],
        "total_mm": round(pack.total_mm, 6),
        "result_mm": round(pack.result_mm, 6),
        "chance": round(pack.chance, 6),
        "chance_alone": round(pack.alone, 6),
        "add_mm": [round(shim, 6) for shim in pack.added_mm],
        "remove_mm": [round(shim, 6) for shim in pack.removed_mm],
        "moves": [
            {
                "clearance": moved.name,
                "result_mm": round(moved.result_mm, 6),
                "required_mm": list(moved.required_mm),
                "inside": moved.is_inside,
                "outside_by_mm": round(moved.outside_mm, 6),
            }
            for moved in pack.moved
        ],
        "conflicts": list(pack.conflicts),
    }


# ------------------------------------------------------------------ for people
def show_shims(words: Words, answer: ShimAnswer, console: Console | None = None) -> None:
    """Show which shims to fit, how sure it is, what every gap becomes, what else would do, and what to mind."""
    from trainer.console.show import open_console

    out = open_console(console)
    clearance = tell_clearance(words, answer.clearance)
    out.print(words.say("shims.title", clearance=clearance), style="bold")
    out.print()
    if answer.fits:
        out.print(words.say("shims.fit", total=words.millimetres(answer.best.total_mm, PLACES_MM)))
    else:
        _show_why_not(words, answer, out)
    for line in _draw_stack(words, answer.best.shims_mm):
        out.print("  " + line)
    _show_change(words, answer, out)
    out.print()
    _show_gaps(words, answer, out)
    _show_chance(words, answer, out)
    _show_alternatives(words, answer, out)
    out.print(words.say("shims.mind"), style="bold")
    from models.systems.inspection_cover import FEELER_SPREAD_MM

    most = words.millimetres(FEELER_SPREAD_MM)
    for caution in CAUTIONS:
        out.print("- " + words.say(f"shims.caution-{caution}", most=most))


def _write(words: Words, shims: Sequence[float]) -> str:
    if any(find_thou(shim) for shim in shims):
        return " + ".join(tell_shim(words, shim) for shim in shims)
    return " + ".join(words.number(shim, PLACES_MM) for shim in shims) + " mm"


def arrange_stack(shims_mm: Sequence[float]) -> tuple[float, ...]:
    """Arrange a pack from shoulder to hub: the thickest outside, the thin ones between (common practice)."""
    first: list[float] = []
    last: list[float] = []
    for place, shim in enumerate(sorted(shims_mm, reverse=True)):
        (last if place % 2 else first).append(shim)
    return (*first, *reversed(last))


def _draw_stack(words: Words, shims_mm: Sequence[float]) -> list[str]:
    """Draw the pack as it lies: a bar for each shim, the longer the thicker."""
    from trainer.words.telling import tell_part

    thickest = max(shims_mm)
    bars = [
        f"│ {'▬' * max(1, round(16 * shim / thickest)):<16} {tell_shim(words, shim)}"
        for shim in arrange_stack(shims_mm)
    ]
    shoulder = words.say("shims.shoulder", part=tell_part(words, "shaft"))
    hub = words.say("shims.hub", part=tell_part(words, "impeller"))
    return [f"┌ {shoulder}", *bars, f"└ {hub}"]


def _show_change(words: Words, answer: ShimAnswer, out: Console) -> None:
    best = answer.best
    if not answer.from_gap:
        return
    if not best.added_mm and not best.removed_mm:
        out.print(words.say("shims.leave"))
    if best.removed_mm:
        out.print(words.say("shims.take-out", pack=_write(words, best.removed_mm)))
    if best.added_mm:
        out.print(words.say("shims.put-in", pack=_write(words, best.added_mm)))


def _show_why_not(words: Words, answer: ShimAnswer, out: Console) -> None:
    """Say why no pack fits, and what to order where that would help."""
    out.print(words.say("shims.none-fits"), style="bold")
    conflict = answer.conflict
    if answer.windows[0][2] <= 0.0:
        out.print(words.say("shims.beyond"))
    elif conflict is not None:
        out.print(
            words.say(
                "shims.conflict",
                more=tell_clearance(words, conflict.wants_more),
                least=words.millimetres(conflict.least_mm, PLACES_MM),
                less=tell_clearance(words, conflict.wants_less),
                most=words.millimetres(conflict.most_mm, PLACES_MM),
            )
        )
    elif answer.ordered is not None:
        result = words.millimetres(answer.ordered.result_mm, PLACES_MM)
        pack = _write(words, answer.ordered.shims_mm)
        order = _write_order(words, answer.to_order)
        out.print(words.say("shims.order", order=order, pack=pack, result=result))
    else:
        ideal = words.millimetres(answer.ideal_mm, PLACES_MM)
        out.print(words.say("shims.order-made", ideal=ideal))
    out.print(
        words.say("shims.nearest", result=words.millimetres(answer.best.result_mm, PLACES_MM))
    )


def _write_order(words: Words, shims_mm: Sequence[float]) -> str:
    counts = {shim: shims_mm.count(shim) for shim in dict.fromkeys(shims_mm)}
    told = [
        words.say("shims.order-line", number=str(n), thickness=tell_shim(words, shim))
        for shim, n in counts.items()
    ]
    return words.join(told)


def _show_gaps(words: Words, answer: ShimAnswer, out: Console) -> None:
    """Show what every gap becomes against its limits."""
    from trainer.console.show import make_table
    from trainer.core.measure.shims import Moved

    columns = ("gap", "becomes", "least", "most", "verdict")
    table = make_table(
        words.say("shims.gaps"), *(words.say(f"shims.column-{name}") for name in columns)
    )
    target = Moved(answer.clearance, answer.best.result_mm, answer.required_mm)
    for moved in (target, *answer.best.moved):
        low, high = moved.required_mm
        table.add_row(
            tell_clearance(words, moved.name),
            words.number(moved.result_mm, PLACES_MM),
            words.number(low, PLACES_MM),
            words.number(high, PLACES_MM),
            _tell_verdict(words, moved),
        )
    out.print(table)


def _tell_verdict(words: Words, moved: Moved) -> str:
    if moved.is_inside:
        return words.say("shims.inside")
    off = words.millimetres(moved.outside_mm, PLACES_MM)
    is_low = moved.result_mm < moved.required_mm[0]
    return words.say("shims.too-small" if is_low else "shims.too-big", off=off)


def _show_chance(words: Words, answer: ShimAnswer, out: Console) -> None:
    best = answer.best
    together, alone = (words.number(100.0 * one, 1) for one in (best.chance, best.alone))
    out.print(words.say("shims.chance", percent=together, alone=alone))
    key = "shims.chance-from-gap" if answer.from_gap else "shims.chance-from-drawing"
    out.print(words.say(key))
    if answer.from_gap and not answer.has_gauge:
        out.print(words.say("shims.gauge-exact"))
    out.print()


def _show_alternatives(words: Words, answer: ShimAnswer, out: Console) -> None:
    from trainer.console.show import make_table

    if not answer.alternatives:
        return
    columns = ("pack", "total", "gives", "chance")
    table = make_table(
        words.say("shims.alternatives"), *(words.say(f"shims.column-{name}") for name in columns)
    )
    for pack in answer.alternatives:
        outside = [tell_clearance(words, name) for name in pack.conflicts]
        percent = words.say("spread.per-cent", percent=words.number(100.0 * pack.chance, 1))
        if outside:
            percent = words.say("shims.but", percent=percent, outside=words.join(outside))
        table.add_row(
            _write(words, pack.shims_mm),
            words.number(pack.total_mm, PLACES_MM),
            words.number(pack.result_mm, PLACES_MM),
            percent,
        )
    out.print(table)
