"""The command `spread`: how far a clearance strays, by four methods side by side."""

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
from trainer.words import Words
from trainer.words.speech import begin
from trainer.words.telling import find_clearance, tell_clearance

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from rich.console import Console

    from trainer.core.measure.chain import MeasuredClearance
    from trainer.core.measure.spread import Spread
    from trainer.session.bench import Bench

PLACES_MM = 3
SEED = 1
SAMPLES = 200_000


def make_spread(words: Words) -> click.Command:
    """Make the command."""
    options = (
        click.argument("clearance"),
        click.option(
            "--seed",
            type=click.IntRange(min=0),
            default=SEED,
            show_default=True,
            help=words.say("spread.help-seed"),
        ),
        click.option(
            "--samples",
            type=int,
            default=SAMPLES,
            show_default=True,
            help=words.say("spread.help-samples"),
        ),
        make_plot_option(words),
    )

    @make_command(words, "spread", *make_build_options(words), *options, make_json_option(words))
    def spread(
        as_json: bool,
        clearance: str,
        seed: int,
        samples: int,
        plot: Path | None,
        **chosen: Unpack[BuildChoice],
    ) -> None:
        import numpy as np

        from trainer.core.measure.spread import compare_spreads
        from trainer.words.telling_spread import tell_shares

        bench = open_chosen(words, chosen)
        one = bench.clearance(find_clearance(words, bench.build, clearance))
        spreads = compare_spreads(one, np.random.default_rng(seed), samples)
        if plot is not None:
            shares = tell_shares(words, bench.build, one.service_chain)
            write_spread(words, plot, one, spreads, shares)
        if as_json:
            print_json(describe_spreads(one, spreads))
        else:
            show_spreads(words, bench, one, spreads)
            if plot is not None:
                click.echo(words.say("console.written", file=str(plot)))

    return spread


def make_plot_option(words: Words) -> Any:  # noqa: ANN401  # click's own decorator, untyped
    """Make the option that names the file of a diagram."""
    return click.option("--plot", type=FILE, metavar="FILE", help=words.say("spread.help-plot"))


def describe_spreads(one: MeasuredClearance, spreads: Sequence[Spread]) -> dict[str, Any]:
    """Describe the spread of a clearance as JSON: lengths in mm (of a clearance that is a share, that), shares 0 to 1."""
    return {
        "clearance": one.name,
        "unit": one.kind.unit.value,
        "value_mm": round(one.in_service_mm, 6),
        "required_mm": list(one.required_mm),
        "methods": [
            {
                "method": spread.method.value,
                "mean_mm": round(spread.mean_mm, 6),
                "sigma_mm": None if spread.sigma_mm is None else round(spread.sigma_mm, 6),
                "limits_mm": [round(end, 6) for end in spread.limits_mm],
                "inside": spread.inside,
                "below_ppm": spread.outside_ppm[0],
                "above_ppm": spread.outside_ppm[1],
                "error": spread.error,
            }
            for spread in spreads
        ],
        "shares": [
            {"piece": link.piece, "dimension": link.dimension, "share": round(link.share, 6)}
            for link in one.service_chain
        ],
    }


def show_spreads(
    words: Words,
    bench: Bench,
    one: MeasuredClearance,
    spreads: Sequence[Spread],
    console: Console | None = None,
) -> None:
    """Show the four methods side by side, and who contributes most."""
    from models.spec.clearance import ClearanceKind
    from trainer.console.show import make_table, open_console
    from trainer.words.telling_spread import tell_inside, tell_ppm, tell_shares

    out = open_console(console)
    low, high = (words.number(end, PLACES_MM) for end in one.required_mm)
    title = words.say(
        "spread.title", clearance=begin(tell_clearance(words, one.name)), build=bench.build.name
    )
    columns = ("method", "least", "most", "inside", "below", "above")
    table = make_table(title, *(words.say(f"spread.column-{name}") for name in columns))
    for spread in spreads:
        table.add_row(
            words.say(f"spread.method-{spread.method.value}"),
            *(words.number(end, PLACES_MM) for end in spread.limits_mm),
            tell_inside(words, spread),
            tell_ppm(words, spread.below),
            tell_ppm(words, spread.above),
        )
    out.print(table)
    is_share = one.kind is ClearanceKind.SHARE
    out.print(
        words.say("spread.required-share", low=low, high=high)
        if is_share
        else words.say("spread.required", low=low, high=high)
    )
    out.print(words.say("spread.what-limits"))
    if one.bends:
        out.print(words.say("clearances.bent"))
    shares = tell_shares(words, bench.build, one.service_chain)
    out.print(words.say("spread.shares"), style="bold")
    for name, share in sorted(shares.items(), key=lambda item: -item[1]):
        percent = words.number(100.0 * share, 1)
        out.print("  " + words.say("spread.share", percent=f"{percent:>5}", name=name))
    out.print(words.say("spread.teaching"))


def write_spread(
    words: Words,
    file: Path,
    one: MeasuredClearance,
    spreads: Sequence[Spread],
    shares: Mapping[str, float],
) -> None:
    """Draw the methods over what is required into a file. Raises as `write_figure` does."""
    from models.spec.clearance import ClearanceKind
    from trainer.core.measure.spread import Method
    from trainer.stage.diagram import write_figure
    from trainer.stage.spread_diagram import SpreadTexts, paint_spread
    from trainer.words.telling_spread import tell_inside

    clearance = tell_clearance(words, one.name)
    is_share = one.kind is ClearanceKind.SHARE
    texts = SpreadTexts(
        {method: words.say(f"spread.method-{method.value}") for method in Method},
        words.say("spread.band"),
        clearance if is_share else words.say("spread.axis", clearance=clearance),
        words.say("spread.how-often"),
        words.say("spread.shares"),
        words.say("spread.others"),
    )
    told = [
        words.say(
            "spread.told",
            method=words.say(f"spread.method-{spread.method.value}"),
            inside=tell_inside(words, spread),
        )
        for spread in spreads
    ]
    write_figure(
        file,
        lambda figure: paint_spread(figure, spreads, one.required_mm, shares, texts),
        words.say("spread.diagram", clearance=begin(clearance)),
        words.say("spread.caption", told="; ".join(told)),
    )
