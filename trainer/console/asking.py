"""What commands share: how one is made, the options that choose a build, and the answer as JSON."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, NotRequired, TypedDict

import click

from trainer.words import Words

if TYPE_CHECKING:
    from trainer.session.bench import Bench


class BuildChoice(TypedDict):
    """What the options of every command that takes a build say."""

    build: str
    options: tuple[str, ...]
    pack: str | None
    tables: Path | None
    limits: Path | None
    temperatures: tuple[str, ...]
    measured: NotRequired[tuple[str, ...]]


Decorator = Callable[[Callable[..., Any]], Callable[..., Any]]
FOLDER = click.Path(file_okay=False, path_type=Path)
FILE = click.Path(dir_okay=False, path_type=Path)


def make_command(
    words: Words, name: str, *options: Decorator
) -> Callable[[Callable[..., int | None]], click.Command]:
    """Make a command of a function; its result is the exit status."""

    def make(function: Callable[..., int | None]) -> click.Command:
        def run(**chosen: object) -> None:
            status = function(**chosen)
            if status:
                click.get_current_context().exit(status)

        decorated: Callable[..., Any] = run
        for option in reversed(options):
            decorated = option(decorated)
        return click.command(name, help=words.say(f"console.help-{name}"))(decorated)

    return make


def make_json_option(words: Words) -> Decorator:
    """Make the option that asks for plain values."""
    return click.option("--json", "as_json", is_flag=True, help=words.say("console.help-json"))


def make_build_options(words: Words, *, measured: bool = True) -> tuple[Decorator, ...]:
    """Make the options of every command that takes a build."""
    options: tuple[Decorator, ...] = (
        click.argument("build"),
        click.option(
            "--with",
            "options",
            multiple=True,
            metavar="NAME=VALUE",
            help=words.say("console.help-with"),
        ),
        click.option("--pack", metavar="VALUES", help=words.say("console.help-pack")),
        click.option("--tables", type=FOLDER, help=words.say("console.help-tables")),
        click.option("--limits", type=FILE, metavar="FILE", help=words.say("console.help-limits")),
        click.option(
            "--temperature", "temperatures", multiple=True, metavar="PART=DEGREES",
            help=words.say("console.help-temperature"),
        ),
    )  # fmt: skip
    if measured:
        shape = "PIECE.DIMENSION=VALUE"
        options += (
            click.option(
                "--measured", multiple=True, metavar=shape, help=words.say("console.help-measured")
            ),
        )
    return options


def open_chosen(words: Words, chosen: BuildChoice) -> Bench:
    """Open the bench that the build options describe, telling progress on the error stream."""
    from models.spec.build import TABLES
    from trainer.console.progress import make_progress
    from trainer.session.bench import open_bench
    from trainer.session.shop import read_shop_limits, read_temperatures_c
    from trainer.session.typed import make_pack, read_lengths_mm, read_measured, read_pair

    options = dict(read_pair(text, "NAME=VALUE, like bracket=open") for text in chosen["options"])
    pack = chosen["pack"]
    measured, gauges = read_measured(chosen.get("measured", ()))
    return open_bench(
        chosen["build"],
        options,
        measured=measured,
        gauges=gauges,
        pack=make_pack(read_lengths_mm(pack)) if pack else None,
        limits=read_shop_limits(chosen["limits"]) if chosen["limits"] else None,
        temperatures_c=read_temperatures_c(chosen["temperatures"]),
        tables=chosen["tables"] or TABLES,
        progress=make_progress(words),
    )


def print_json(value: object) -> None:
    """Print an answer for scripts."""
    click.echo(json.dumps(value, ensure_ascii=False, indent=2))
