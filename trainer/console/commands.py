"""Commands and their options. Each asks the session, then shows the answer to a person or as JSON."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, TypedDict, Unpack

import click

from trainer.console.asking import (
    FILE,
    FOLDER,
    BuildChoice,
    make_build_options,
    make_command,
    make_json_option,
    open_chosen,
    print_json,
)
from trainer.console.certificate import make_certificate
from trainer.console.charting import make_chart
from trainer.console.clearances import make_clearances
from trainer.console.export import make_export
from trainer.console.faults import make_faults
from trainer.console.fits import make_fits
from trainer.console.lessons import make_lessons
from trainer.console.mass import make_mass
from trainer.console.part import make_part
from trainer.console.people import make_people
from trainer.console.picture import PictureChoice, make_picture_options
from trainer.console.practical import make_practical
from trainer.console.practise import make_practise
from trainer.console.records import make_records, make_records_option
from trainer.console.results import make_results
from trainer.console.service import make_service
from trainer.console.sheet import make_sheet
from trainer.console.shims import make_shims
from trainer.console.spread import make_spread
from trainer.console.statistics import make_statistics
from trainer.console.step import make_step
from trainer.words import Words, load_words

if TYPE_CHECKING:
    from trainer.session.bench import Bench


class VerifyChoice(TypedDict):
    """What the options of `verify` say."""

    build: str | None
    options: tuple[str, ...]
    tables: Path | None
    all_builds: bool
    afresh: bool


def make_group() -> click.Group:
    """Make the group with all its commands, in the words of the chosen language."""
    words = load_words()
    group = click.Group(
        help=words.say("console.help"),
        epilog=words.say("console.help-window"),
        context_settings={"help_option_names": ["-h", "--help"]},
    )
    make_records_option(words)(group)
    for make in (
        _tour,
        _builds,
        _parts,
        _order,
        make_clearances,
        make_shims,
        make_spread,
        _picture,
        _verify,
        make_step,
        make_part,
        make_mass,
        make_results,
        make_fits,
        make_service,
        make_export,
        make_chart,
        make_faults,
        make_sheet,
        make_lessons,
        make_practise,
        make_statistics,
        make_people,
        make_certificate,
        make_practical,
        make_records,
    ):
        group.add_command(make(words))
    return group


def _tour(words: Words) -> click.Command:
    out = click.option(
        "--out",
        type=FOLDER,
        default=Path("tour"),
        show_default=True,
        help=words.say("console.help-tour-out"),
    )

    @make_command(words, "tour", out, make_json_option(words))
    def tour(out: Path, as_json: bool) -> None:
        from trainer.console.tour import make_tour

        made = make_tour(words, out)
        if as_json:
            print_json(
                {"folder": str(out.resolve()), "files": [str(path.resolve()) for path in made]}
            )

    return tour


def _builds(words: Words) -> click.Command:
    tables = click.option("--tables", type=FOLDER, help=words.say("console.help-tables"))

    options = click.option("--options", is_flag=True, help=words.say("console.help-builds-options"))

    @make_command(words, "builds", tables, options, make_json_option(words))
    def builds(tables: Path | None, options: bool, as_json: bool) -> None:
        from models.spec.build import TABLES
        from trainer.console import show, show_options
        from trainer.session.bench import list_benches

        if options:
            if as_json:
                print_json(show_options.describe_options())
            else:
                click.echo("\n".join(show_options.tell_options(words)))
            return
        found = list_benches(tables or TABLES)
        if as_json:
            print_json(
                [
                    {"build": name, "family": name.partition("/")[0], "options": values}
                    for name, values in found.items()
                ]
            )
        else:
            show.show_builds(words, found)

    return builds


def _parts(words: Words) -> click.Command:
    @make_command(words, "parts", *make_build_options(words), make_json_option(words))
    def parts(as_json: bool, **chosen: Unpack[BuildChoice]) -> None:
        from trainer.console import show

        build = open_chosen(words, chosen).build
        if as_json:
            print_json(show.describe_parts(words, build))
        else:
            show.show_parts(words, build)

    return parts


def _order(words: Words) -> click.Command:
    options = (
        click.option("--mark", type=FILE, metavar="FILE", help=words.say("console.help-mark")),
        click.option("--reach", metavar="PART", help=words.say("console.help-reach")),
        click.option("--fitters", type=int, metavar="N", help=words.say("console.help-fitters")),
        click.option("--count", is_flag=True, help=words.say("console.help-count")),
        click.option("--together", is_flag=True, help=words.say("console.help-together")),
    )

    @make_command(
        words,
        "order",
        *make_build_options(words, measured=False),
        *options,
        make_json_option(words),
    )
    def order(
        as_json: bool,
        mark: Path | None,
        reach: str | None,
        fitters: int | None,
        count: bool,
        together: bool,
        **chosen: Unpack[BuildChoice],
    ) -> int:
        asked = (mark is not None, reach is not None, fitters is not None, count, together)
        if sum(asked) > 1:
            raise click.UsageError(words.say("console.one-question"))
        bench = open_chosen(words, chosen)
        if mark is not None:
            return _answer_mark(words, bench, mark, as_json=as_json)
        if reach is not None:
            return _answer_reach(words, bench, reach, as_json=as_json)
        _answer_order(words, bench, fitters, count=count, together=together, as_json=as_json)
        return 0

    return order


def _answer_mark(words: Words, bench: Bench, file: Path, *, as_json: bool) -> int:
    from trainer.console import orders
    from trainer.session.ordering import mark_whole_order
    from trainer.session.typed import read_order_lines

    whole = mark_whole_order(bench, read_order_lines(file, bench.build))
    if as_json:
        print_json(orders.describe_marked(words, bench.build, whole))
    else:
        orders.show_marked(words, bench.build, whole)
    return 0 if whole.marked.is_valid else 1


def _answer_reach(words: Words, bench: Bench, part: str, *, as_json: bool) -> int:
    from trainer.console import orders
    from trainer.session.ordering import find_bench_routes

    routes = find_bench_routes(bench, part)
    if as_json:
        print_json(orders.describe_routes(routes))
    else:
        orders.show_routes(words, bench, part, routes)
    return 0 if any(routes.values()) else 1


def _answer_order(
    words: Words,
    bench: Bench,
    fitters: int | None,
    *,
    count: bool,
    together: bool,
    as_json: bool,
) -> None:
    from trainer.console import orders
    from trainer.session.ordering import count_bench, share_bench

    if count:
        found, parts = count_bench(bench), len(bench.assembly.sets)
        if as_json:
            print_json(orders.describe_count(found, parts))
        else:
            orders.show_count(words, found, parts)
    elif fitters is not None:
        shared = share_bench(bench, fitters)
        if as_json:
            print_json(orders.describe_shared(shared))
        else:
            orders.show_shared(words, bench.build, shared, fitters)
    elif as_json:
        describe = orders.describe_together if together else partial(orders.describe_order, words)
        print_json(describe(bench))
    else:
        (orders.show_together if together else orders.show_order)(words, bench)


def _picture(words: Words) -> click.Command:
    options = make_picture_options(words)

    @make_command(words, "picture", *make_build_options(words), *options, make_json_option(words))
    def picture(as_json: bool, **chosen: Unpack[PictureChoice]) -> None:
        from trainer.console.picture import answer_picture, make_wish

        told = answer_picture(words, lambda: open_chosen(words, chosen), make_wish(chosen))
        if as_json:
            print_json(told)
        else:
            click.echo(told.get("why", words.say("console.written", file=str(chosen["out"]))))

    return picture


def _verify(words: Words) -> click.Command:
    options = (
        click.argument("build", required=False),
        click.option(
            "--with",
            "options",
            multiple=True,
            metavar="NAME=VALUE",
            help=words.say("console.help-with"),
        ),
        click.option("--tables", type=FOLDER, help=words.say("console.help-tables")),
        click.option("--afresh", is_flag=True, help=words.say("console.help-afresh")),
        click.option("--all", "all_builds", is_flag=True, help=words.say("console.help-all")),
    )

    @make_command(words, "verify", *options, make_json_option(words))
    def verify(as_json: bool, **asked: Unpack[VerifyChoice]) -> int:
        from trainer.console.verifying import Asked, answer_verify

        if asked["build"] and asked["all_builds"]:
            raise click.UsageError(words.say("console.one-question"))
        told, text, status = answer_verify(words, Asked(**asked))
        if as_json:
            print_json(told)
        else:
            click.echo(text)
        return status

    return verify
