"""The commands of `records`: where they are kept, whether they are whole; backup, restore, export, erase, verify."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import uuid4

import click

from trainer.console.asking import FILE, Decorator, make_command, make_json_option, print_json
from trainer.words import Words

if TYPE_CHECKING:
    from trainer.records import Verified


def make_records_option(words: Words) -> Decorator:
    """Make the option that says where the records are kept, for this program and what it starts."""

    def choose(_: click.Context, __: click.Parameter, where: str | None) -> None:
        if where:
            from trainer.records import choose_place

            choose_place(where)

    return click.option(
        "--records",
        metavar="PLACE",
        expose_value=False,
        callback=choose,
        help=words.say("records.help-place"),
    )


def make_records(words: Words) -> click.Command:
    """Make the group of commands."""
    group = click.Group("records", help=words.say("console.help-records"))
    for name, make in _COMMANDS.items():
        group.add_command(make(words), name)
    return group


def _make(
    words: Words, name: str, *options: Decorator
) -> Callable[[Callable[..., int | None]], click.Command]:
    shared = (make_records_option(words), make_json_option(words))
    return make_command(words, f"records-{name}", *options, *shared)


def _check(words: Words) -> click.Command:
    @_make(words, "check")
    def check(as_json: bool) -> int:
        from trainer.records import open_records

        with open_records() as records:
            sheets, history = records.check_sheets(), records.check_history()
            is_whole = sheets.is_whole and history.is_whole
            if is_whole:
                records.check_whole()
            name = records.name
        if as_json:
            told = {
                what: {"whole": chain.is_whole, "count": chain.count, "last_hash": chain.last_hash,
                       "first_wrong": chain.first_wrong or None, "why": chain.why or None}
                for what, chain in (("sheets", sheets), ("history", history))
            }  # fmt: skip
            print_json({"place": name, "whole": is_whole, **told})
            return 0 if is_whole else 1
        click.echo(words.say("records.place", place=name))
        for what, chain in (("sheets", sheets), ("history", history)):
            if chain.is_whole:
                text = words.say(
                    f"records.whole-{what}", count=chain.count, hash=chain.last_hash[:16]
                )
            else:
                text = words.say(
                    f"records.broken-{what}",
                    number=chain.first_wrong,
                    why=words.say(f"records.why-{chain.why}"),
                )
            click.echo(text)
        return 0 if is_whole else 1

    return check


def _backup(words: Words) -> click.Command:
    @_make(words, "backup", click.argument("file", type=FILE))
    def backup(file: Path, as_json: bool) -> None:
        from trainer.records import back_up, open_records

        with open_records() as records:
            counts = back_up(records, file)
        if as_json:
            print_json({"file": str(file.resolve()), "rows": counts})
        else:
            click.echo(words.say("records.backed-up", file=str(file), **_name_counts(counts)))

    return backup


def _restore(words: Words) -> click.Command:
    keep_option = click.option(
        "--keep", type=FILE, metavar="FILE", help=words.say("records.help-keep")
    )

    @_make(words, "restore", click.argument("file", type=FILE), keep_option)
    def give_back(file: Path, keep: Path | None, as_json: bool) -> None:
        from trainer.records import open_records, restore

        with open_records() as records:
            done = restore(records, file, keep)
            name = records.name
        if as_json:
            kept = str(keep) if keep is not None and keep.exists() else None
            told = {"rows": done.rows, "sealed": done.is_sealed, "returned": list(done.returned)}
            print_json({"place": name, **told, "kept": kept})
            return
        click.echo(words.say("records.restored", place=name, **_name_counts(done.rows)))
        if not done.is_sealed:
            click.echo(words.say("records.no-seal", file=f"{file.name}.sha256"))
        if keep is not None and keep.exists():
            click.echo(words.say("records.kept", file=str(keep)))
        if done.returned:
            click.echo(words.say("records.returned", names=words.join(list(done.returned))))

    return give_back


def _export(words: Words) -> click.Command:
    @_make(
        words,
        "export",
        click.argument("name"),
        click.option("--out", type=FILE, metavar="FILE", help=words.say("records.help-export-out")),
        click.option("--csv", type=FILE, metavar="FILE", help=words.say("records.help-export-csv")),
    )
    def export(name: str, out: Path | None, csv: Path | None, as_json: bool) -> None:
        import json

        from trainer.console.writing import FOR_ONE, write_text
        from trainer.records import open_records, write_attempts_csv

        with open_records() as records:
            exported = records.export_person(name)
        if out is not None:
            text = json.dumps(exported, ensure_ascii=False, indent=2) + "\n"
            write_text(words, text, out, FOR_ONE)
        if csv is not None:
            write_text(words, write_attempts_csv(exported), csv, FOR_ONE)
        if as_json or (out is None and csv is None):
            print_json(exported)
            return
        for file in (out, csv):
            if file is not None:
                click.echo(words.say("records.exported", name=name, file=str(file)))

    return export


def _erase(words: Words) -> click.Command:
    @_make(
        words,
        "erase",
        click.argument("name"),
        click.option("--keep-sheets", is_flag=True, help=words.say("records.help-keep-sheets")),
        click.option("--yes", is_flag=True, help=words.say("records.help-yes")),
    )
    def erase(name: str, keep_sheets: bool, yes: bool, as_json: bool) -> int:
        from trainer.records import open_records
        from trainer.session.as_left import AsLeftFile
        from trainer.session.unsigned import UnsignedPracticals

        with open_records() as records:
            if yes:
                found = records.erase_person(
                    name, uuid4(), datetime.now(UTC), sheets=not keep_sheets
                )
            else:
                found = records.count_named(name)
        told = {"attempts": found.attempts, "entries": found.entries, "sheets": found.sheets}
        if yes:
            told["left"] = AsLeftFile().drop_naming(name) + UnsignedPracticals().drop_naming(name)
        if as_json:
            print_json({"erased": yes, **told})
        else:
            key = "records.erased" if yes else "records.would-erase"
            click.echo(words.say(key, name=name, **told))
        return 0 if yes else 1

    return erase


def _scrub(words: Words) -> click.Command:
    @_make(words, "scrub")
    def scrub(as_json: bool) -> None:
        from trainer.records import open_records

        with open_records() as records:
            records.scrub()
            name = records.name
        if as_json:
            print_json({"place": name, "scrubbed": True})
        else:
            click.echo(words.say("records.scrubbed", place=name))

    return scrub


def _verify(words: Words) -> click.Command:
    @_make(words, "verify", click.argument("code"))
    def verify(code: str, as_json: bool) -> int:
        from trainer.records import Standing, open_records

        with open_records() as records:
            history = records.check_history()
            found = records.verify_code(code, datetime.now(UTC).astimezone().date())
        holds = found.standing is Standing.HOLDS and history.is_whole
        if as_json:
            print_json(describe_verified(found) | {"history_whole": history.is_whole})
        else:
            click.echo(tell_verified(words, found))
            if not history.is_whole:
                why = words.say(f"records.why-{history.why}")
                click.echo(words.say("records.broken-history", number=history.first_wrong, why=why))
        return 0 if holds else 1

    return verify


_COMMANDS: Mapping[str, Callable[[Words], click.Command]] = {
    "check": _check,
    "backup": _backup,
    "restore": _restore,
    "export": _export,
    "erase": _erase,
    "scrub": _scrub,
    "verify": _verify,
}


def describe_verified(found: Verified) -> dict[str, object]:
    """Describe what a code is worth, for scripts."""
    described: dict[str, object] = {"standing": found.standing.value}
    if found.filed is None:
        return described
    filed, certificate = found.filed, found.filed.certificate
    return described | {
        "code": filed.code,
        "person": None if filed.is_erased else certificate.person,
        "title": certificate.title,
        "issuer": certificate.issuer,
        "when_utc": certificate.when.isoformat(),
        "expires": certificate.expires.isoformat() if certificate.expires else None,
        "withdrawn": filed.withdrawn[1] if filed.withdrawn else None,
    }


def tell_verified(words: Words, found: Verified) -> str:
    """Tell a person what a code is worth, and whose certificate it is, to be compared with the paper."""
    if found.filed is None:
        return words.say("records.verify-unknown")
    filed, certificate = found.filed, found.filed.certificate
    expires = certificate.expires
    fields = {
        "name": words.say("records.name-erased") if filed.is_erased else certificate.person,
        "title": certificate.title,
        "issuer": certificate.issuer,
        "when": f"{certificate.when:%Y-%m-%d}",
        "until": expires.isoformat() if expires else words.say("records.for-good"),
        "why": filed.withdrawn[1] if filed.withdrawn else "",
    }
    said = words.say("records.verify-what", **fields)
    return said + "\n" + words.say(f"records.verify-{found.standing.value}", **fields)


def _name_counts(counts: dict[str, int]) -> dict[str, int]:
    return {
        "people": counts["people"],
        "attempts": counts["attempts"],
        "sheets": counts["sheets"],
        "entries": counts["history"],
    }
