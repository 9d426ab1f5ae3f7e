"""The command `service`: what a clearance does once the pump runs, as set, at the least, the aim and the most allowed."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, NotRequired, Unpack

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
from trainer.words.telling import find_clearance

if TYPE_CHECKING:
    from trainer.session.service import ServiceBench, Setting


class ServiceChoice(BuildChoice):
    """What the options of `service` say."""

    duty: NotRequired[tuple[str, ...]]
    values: NotRequired[tuple[str, ...]]
    torques: NotRequired[tuple[str, ...]]
    clearance: NotRequired[str | None]
    plot: NotRequired[Path | None]


def make_service(words: Words) -> click.Command:
    """Make the command."""
    options = (
        click.option(
            "--duty",
            multiple=True,
            metavar="NAME=VALUE",
            help=words.say("service.help-duty"),
        ),
        click.option(
            "--set",
            "values",
            multiple=True,
            metavar="CLEARANCE=VALUE",
            help=words.say("service.help-set"),
        ),
        click.option(
            "--torque",
            "torques",
            multiple=True,
            metavar="FASTENER=VALUE",
            help=words.say("service.help-torque"),
        ),
        click.option("--clearance", metavar="NAME", help=words.say("service.help-clearance")),
        click.option("--plot", type=FILE, metavar="FILE", help=words.say("service.help-plot")),
    )

    @make_command(words, "service", *make_build_options(words), *options, make_json_option(words))
    def service(as_json: bool, **chosen: Unpack[ServiceChoice]) -> None:
        from models.spec.build import TABLES
        from models.spec.duty import read_duty_source
        from trainer.console import service_show as show

        bench, setting = open_service(words, chosen)
        named = chosen.get("clearance")
        asked = None if named is None else find_clearance(words, bench.build, named)
        wanted = show.list_wanted(bench, asked)
        torques = read_torques(chosen.get("torques", ()))
        bench.list_preloads(torques)  # what cannot be is refused before anything is shown
        plot = chosen.get("plot")
        if plot is not None:
            show.draw_plot(words, bench, setting, wanted, plot)
        if as_json:
            print_json(show.describe_service(bench, setting, wanted, torques))
            return
        source = read_duty_source(chosen["tables"] or TABLES, bench.build.family.name)
        show.show_service(words, bench, setting, wanted, torques, source)
        if plot is not None:
            click.echo(words.say("console.written", file=str(plot)))

    return service


def open_service(words: Words, chosen: ServiceChoice) -> tuple[ServiceBench, Setting]:
    """Open the bench in service that the options describe, and what is set otherwise than built.

    Raises:
        RefusalError: an option that cannot be read, an unknown duty value or clearance, or a value out of bounds.
    """
    from models.spec.build import TABLES
    from models.spec.duty import change_duty, read_duty
    from trainer.session.service import ServiceBench, Setting
    from trainer.session.typed import read_length_mm, read_pair, read_plain_number

    build = open_chosen(words, chosen).build
    duty = read_duty(chosen["tables"] or TABLES, build.family.name, build.size.size)
    changes = dict(read_pair(text, "NAME=VALUE, like speed_rpm=1475") for text in chosen.get("duty", ()))  # fmt: skip
    numbers = {name: read_plain_number(name, text) for name, text in changes.items()}
    shape = "CLEARANCE=VALUE, like wear-ring=0.9"
    values = dict(read_pair(text, shape) for text in chosen.get("values", ()))
    set_mm: dict[str, Any] = {
        find_clearance(words, build, name): read_length_mm(text) for name, text in values.items()
    }
    bench, setting = ServiceBench(build, change_duty(duty, numbers)), Setting(values_mm=set_mm)
    bench.look(setting)  # what cannot be is refused before anything is shown
    return bench, setting


def read_torques(texts: tuple[str, ...]) -> dict[str, float]:
    """Read torques in N m by the fastener they are put on. Raises RefusalError for what cannot be read."""
    from trainer.session.typed import read_pair, read_plain_number

    pairs = dict(read_pair(text, "FASTENER=VALUE, like cover-nut=60") for text in texts)
    return {name: read_plain_number(name, text) for name, text in pairs.items()}
