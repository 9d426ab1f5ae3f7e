"""The command `sheet`: the bench sheet's form, its judgement, its PDF and its place in the records."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypedDict, Unpack
from uuid import uuid4

import click

from models.spec.errors import SurroundingsError
from trainer.console.asking import FILE, make_command, make_json_option, print_json
from trainer.words import Words

if TYPE_CHECKING:
    from models.spec.dimension import Dimension
    from trainer.records import Chain, FiledSheet
    from trainer.session.sheet import BenchSheet


class SheetChoice(TypedDict):
    """What the options of `sheet` say."""

    build: str | None
    options: tuple[str, ...]
    write_form: Path | None
    form: Path | None
    example: bool
    stock: Path | None
    limits: Path | None
    out: Path | None
    drawing: bool
    file: bool
    corrects: str | None
    list: bool
    show: str | None
    check: bool


def make_sheet(words: Words) -> click.Command:
    """Make the command."""
    say = words.say
    options = (
        click.argument("build", required=False),
        click.option(
            "--with", "options", multiple=True, metavar="NAME=VALUE", help=say("console.help-with")
        ),
        click.option("--write-form", type=FILE, metavar="FORM", help=say("sheet.help-write-form")),
        click.option("--form", type=FILE, metavar="FORM", help=say("sheet.help-form")),
        click.option("--example", is_flag=True, help=say("sheet.help-example")),
        click.option("--stock", type=FILE, metavar="FILE", help=say("sheet.help-stock")),
        click.option("--limits", type=FILE, metavar="FILE", help=say("sheet.help-limits")),
        click.option("--out", type=FILE, metavar="PDF", help=say("sheet.help-out")),
        click.option("--drawing/--no-drawing", default=True, help=say("sheet.help-drawing")),
        click.option("--file", is_flag=True, help=say("sheet.help-file")),
        click.option("--corrects", metavar="ID", help=say("sheet.help-corrects")),
        click.option("--list", is_flag=True, help=say("sheet.help-list")),
        click.option("--show", metavar="ID", help=say("sheet.help-show")),
        click.option("--check", is_flag=True, help=say("sheet.help-check")),
        make_json_option(words),
    )

    @make_command(words, "sheet", *options)
    def sheet(as_json: bool, **asked: Unpack[SheetChoice]) -> int:
        _check_question(words, asked)
        if asked["write_form"] is not None:
            return _write_form(words, asked, asked["write_form"], as_json=as_json)
        if asked["check"]:
            return _check(words, as_json=as_json)
        if asked["list"]:
            return _list(words, as_json=as_json)
        if asked["show"] is not None:
            return _show(words, asked, asked["show"], as_json=as_json)
        return _judge(words, asked, as_json=as_json)

    return sheet


def _check_question(words: Words, asked: SheetChoice) -> None:
    """Raise UsageError unless exactly one thing is asked, with the options that go with it."""
    reads = asked["form"] is not None or asked["example"]
    questions = (
        asked["write_form"] is not None,
        asked["form"] is not None,
        asked["example"],
        asked["list"],
        asked["show"] is not None,
        asked["check"],
    )
    if sum(questions) != 1:
        raise click.UsageError(words.say("sheet.one-question"))
    if asked["write_form"] is not None and asked["build"] is None:
        raise click.UsageError(words.say("sheet.needs-build"))
    if reads and asked["build"] is not None:
        raise click.UsageError(words.say("sheet.build-in-form"))
    if (asked["file"] or asked["corrects"]) and asked["form"] is None:
        raise click.UsageError(words.say("sheet.file-needs-form"))
    if asked["out"] is not None and asked["out"].suffix.lower() != ".pdf":
        raise click.UsageError(words.say("sheet.out-format", file=str(asked["out"])))


def _write_form(words: Words, asked: SheetChoice, path: Path, *, as_json: bool) -> int:
    from models.builds import make_named_build
    from trainer.console.sheet_form_text import make_form_text
    from trainer.console.writing import write_text
    from trainer.session.sheet_plan import plan_sheet
    from trainer.session.typed import read_pair

    if path.exists():
        raise click.UsageError(words.say("sheet.form-exists", file=str(path)))
    options = dict(read_pair(text, "NAME=VALUE, like bracket=open") for text in asked["options"])
    build = make_named_build(str(asked["build"]), options, limits=_read_limits(asked))
    plan = plan_sheet(build)
    write_text(words, make_form_text(words, plan, path.name), path)
    if as_json:
        print_json({"file": str(path.resolve())})
    else:
        click.echo(words.say("sheet.written", file=str(path)))
    return 0


def _read_limits(asked: SheetChoice) -> Mapping[str, Dimension] | None:
    from trainer.session.shop import read_shop_limits

    return read_shop_limits(asked["limits"]) if asked["limits"] else None


def _judge(words: Words, asked: SheetChoice, *, as_json: bool) -> int:
    from trainer.session.sheet import Verdict
    from trainer.session.sheet_judging import EXAMPLE, judge_form
    from trainer.session.toml_form import read_toml
    from trainer.session.typed import DEPOT_DRAWER

    form = read_toml(asked["form"] or EXAMPLE)
    judged = judge_form(form, asked["stock"] or DEPOT_DRAWER, _read_limits(asked))
    filed = _file(judged, asked["corrects"]) if asked["file"] else None
    _answer(words, asked, judged, filed, as_json=as_json)
    return 0 if judged.verdict is Verdict.PASS else 1


def _file(judged: BenchSheet, corrects: str | None) -> FiledSheet:
    from trainer.records import open_records
    from trainer.session.sheet_filing import file_sheet, find_filed

    with open_records() as records:
        old = find_filed(records, corrects).sheet.id if corrects else None
        return file_sheet(records, judged, uuid4(), datetime.now(UTC), old)


def _show(words: Words, asked: SheetChoice, typed: str, *, as_json: bool) -> int:
    from trainer.records import open_records
    from trainer.session.sheet import read_sheet
    from trainer.session.sheet_filing import find_filed

    with open_records() as records:
        filed = find_filed(records, typed)
        chain = records.check_sheets()
    if not chain.is_whole and chain.first_wrong <= filed.number:
        raise SurroundingsError(
            _tell_chain(words, chain)
        )  # what may have been changed is not shown
    _answer(words, asked, read_sheet(filed.sheet.content), filed, as_json=as_json)
    return 0


def _answer(
    words: Words,
    asked: SheetChoice,
    judged: BenchSheet,
    filed: FiledSheet | None,
    *,
    as_json: bool,
) -> None:
    """Show a sheet, and print it where that is asked."""
    from trainer.console.sheet_show import show_sheet
    from trainer.handout.sheet_texts import tell_sheet
    from trainer.session.sheet import describe_sheet

    out = asked["out"]
    told = tell_sheet(words, judged, filed)
    if out is not None:
        from trainer.console.progress import make_progress
        from trainer.console.writing import write_whole
        from trainer.handout.sheet_page import draw_sheet_chain, make_sheet_pdf

        picture = (
            draw_sheet_chain(words, judged, make_progress(words)) if asked["drawing"] else None
        )
        write_whole(words, make_sheet_pdf(told, words, picture), out)
    if as_json:
        place = _describe_place(filed) if filed else None
        file = str(out.resolve()) if out else None
        print_json({"sheet": describe_sheet(judged), "filed": place, "file": file})
        return
    show_sheet(told)
    if out is not None:
        click.echo(words.say("sheet.written", file=str(out)))


def _describe_place(filed: FiledSheet) -> dict[str, Any]:
    return {
        "number": filed.number,
        "id": str(filed.sheet.id),
        "when_utc": filed.sheet.when.isoformat(),
        "corrects": str(filed.sheet.corrects) if filed.sheet.corrects else None,
        "corrected_by": str(filed.corrected_by) if filed.corrected_by else None,
        "hash": filed.hash,
        "previous_hash": filed.previous_hash,
    }


def _list(words: Words, *, as_json: bool) -> int:
    from trainer.console.sheet_show import show_list
    from trainer.records import open_records
    from trainer.session.sheet import read_sheet

    with open_records() as records:
        sheets, chain = records.list_sheets(limit=None), records.check_sheets()
    if not chain.is_whole:
        click.echo(_tell_chain(words, chain), err=True)
    if not as_json:
        show_list(words, sheets)
        return 0 if chain.is_whole else 1
    told = []
    for filed in sheets:
        sheet = read_sheet(filed.sheet.content)
        head = {
            "build": sheet.build,
            "serial": sheet.serial,
            "assembler": sheet.assembler,
            "date": sheet.date,
            "verdict": sheet.verdict.value,
        }
        told.append(_describe_place(filed) | head)
    print_json(told)
    return 0 if chain.is_whole else 1


def _check(words: Words, *, as_json: bool) -> int:
    from trainer.records import open_records

    with open_records() as records:
        chain = records.check_sheets()
    if as_json:
        print_json(
            {
                "whole": chain.is_whole,
                "count": chain.count,
                "last_hash": chain.last_hash,
                "first_wrong": chain.first_wrong or None,
                "why": chain.why or None,
            }
        )
    else:
        click.echo(_tell_chain(words, chain))
    return 0 if chain.is_whole else 1


def _tell_chain(words: Words, chain: Chain) -> str:
    from trainer.handout.sheet_foot import split_hash

    if chain.is_whole and not chain.count:
        return words.say("sheet.none-filed")
    if chain.is_whole:
        last = split_hash(chain.last_hash)
        return words.say("sheet.chain-whole", count=chain.count, hash=last)
    why = words.say(f"sheet.chain-{chain.why}")
    return words.say("sheet.chain-broken", number=chain.first_wrong, why=why)
