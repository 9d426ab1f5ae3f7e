"""The command `results`: the named numbers that follow from a build's dimensions, and the dimensions behind each."""

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

if TYPE_CHECKING:
    from models.spec.build import Build


def make_results(words: Words) -> click.Command:
    """Make the command."""

    @make_command(words, "results", *make_build_options(words), make_json_option(words))
    def results(as_json: bool, **chosen: Unpack[BuildChoice]) -> None:
        build = open_chosen(words, chosen).build
        if as_json:
            print_json(describe_results(build))
        else:
            click.echo(tell_with_dimensions(words, build))

    return results


def describe_results(build: Build) -> list[dict[str, Any]]:
    """Describe the named results of a build for scripts: value without a unit, and by dimension in mm its sensitivity."""
    return [
        {
            "name": name,
            "value": round(float(value), 6),
            "dimensions": [
                {
                    "piece": term[0],
                    "dimension": term[1],
                    "value_mm": round(float(build.pieces[term[0]].row[term[1]]), 6),
                    "per_mm": round(share, 9),
                    "source": str(build.dimension(term).source),
                }
                for term, share in value.terms.items()
            ],
        }
        for name, value in build.results.items()
    ]


def tell_with_dimensions(words: Words, build: Build) -> str:
    """Tell each result and, below it, the dimensions that it follows from."""
    from trainer.words.telling import tell_piece, tell_result

    lines = [] if build.results else [words.say("results.none", build=build.name)]
    for name, value in build.results.items():
        lines.append(tell_result(words, name, float(value)))
        for (piece, dimension), share in value.terms.items():
            lines.append(
                words.say(
                    "results.link",
                    piece=tell_piece(words, build, piece),
                    dimension=dimension,
                    value=words.millimetres(float(build.pieces[piece].row[dimension]), 3),
                    per_mm=f"{share:+.3g}",
                    source=str(build.dimension((piece, dimension)).source),
                )
            )
    return "\n".join(lines)
