"""The command `people`: who is kept in the records, and with what."""

from __future__ import annotations

import click

from trainer.console.asking import make_command, make_json_option, print_json
from trainer.console.records import make_records_option
from trainer.words import Words


def make_people(words: Words) -> click.Command:
    """Make the command."""
    rename = click.option(
        "--rename", nargs=2, metavar="OLD NEW", help=words.say("records.help-rename")
    )

    @make_command(words, "people", rename, make_records_option(words), make_json_option(words))
    def people(rename: tuple[str, str] | None, as_json: bool) -> None:
        from trainer.records import open_records

        with open_records() as records:
            if rename:
                records.rename_person(*rename)
            attempts = records.count_attempts()
            signed, certified = records.count_filed()
        if as_json:
            print_json(
                [
                    {
                        "name": name,
                        "attempts": attempts[name],
                        "passed": signed[name],
                        "certificates": certified[name],
                    }
                    for name in attempts
                ]
            )
            return
        _show(words, [(name, attempts[name], signed[name], certified[name]) for name in attempts])

    return people


def _show(words: Words, rows: list[tuple[str, int, int, int]]) -> None:
    from trainer.console.show import make_table, open_console

    if not rows:
        click.echo(words.say("records.nobody"))
        return
    columns = ("name", "attempts", "passed", "certificates")
    table = make_table(
        words.say("records.people-title"),
        *(words.say(f"records.column-{column}") for column in columns),
    )
    for name, *counts in rows:
        table.add_row(name, *(str(count) for count in counts))
    open_console(None).print(table)
