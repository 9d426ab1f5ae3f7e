"""Export all that is kept of one person, inside a transaction that `Records` has opened."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Mapping

import sqlalchemy as sa

from trainer.records.attempt import check_person_name
from trainer.records.erasing import find_sheets_naming
from trainer.records.people_rows import find_known, list_own_names
from trainer.records.plain_json import Json, make_plain
from trainer.records.schema import ATTEMPTS, HISTORY, NAMES, SHEETS

JSON_ENDING = "_json"
ATTEMPT_COLUMNS = (
    "when_utc", "lesson", "question", "kind", "subject", "build", "score", "seconds", "seed",
    "options", "marks", "answer", "result", "id",
)  # fmt: skip
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def export_rows(connection: sa.Connection, person: str) -> dict[str, Json]:
    """Export a person: name, attempts, entries of the history that name the person, and bench sheets that do.

    Raises:
        RefusalError: nobody is kept by this name.
    """
    number, name = find_known(connection, person), check_person_name(person)
    names = list_own_names(connection, number)
    attempts = sa.select(ATTEMPTS).where(ATTEMPTS.c.person_number == number)
    entries = (
        sa.select(HISTORY, NAMES.c.role, NAMES.c.said_json)
        .join_from(HISTORY, NAMES)
        .where(NAMES.c.person_number == number)
    )
    sheets = find_sheets_naming(connection, names)
    return {
        "person": {"name": name, "number": number},
        "attempts": _list_rows(connection, attempts.order_by(ATTEMPTS.c.number), "person_number"),
        "history": _list_rows(connection, entries.order_by(HISTORY.c.number)),
        "sheets": _list_rows(
            connection,
            sa.select(SHEETS).where(SHEETS.c.number.in_(list(sheets))).order_by(SHEETS.c.number),
        ),
    }


def write_attempts_csv(exported: Mapping[str, Json]) -> str:
    """Write the attempts of an export as CSV, one a line; what is nested stands as JSON in its cell.

    A text that a spreadsheet would take for a formula gets an apostrophe in front.
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(ATTEMPT_COLUMNS)
    attempts = exported["attempts"]
    assert isinstance(attempts, list)
    for row in attempts:
        assert isinstance(row, Mapping)
        writer.writerow([_make_cell(row[name]) for name in ATTEMPT_COLUMNS])
    return out.getvalue()


def _make_cell(value: Json) -> object:
    if value is None or isinstance(value, (bool, int, float)):
        return value
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    return f"'{text}" if text.startswith(_FORMULA) else text


def _list_rows(
    connection: sa.Connection, wanted: sa.Select[tuple[object, ...]], *without: str
) -> list[Json]:
    return [
        {
            name.removesuffix(JSON_ENDING): _read_value(name, value)
            for name, value in row.items()
            if name not in without
        }
        for row in connection.execute(wanted).mappings()
    ]


def _read_value(name: str, value: Json) -> Json:
    if isinstance(value, str) and name.endswith(JSON_ENDING):
        return make_plain(json.loads(value), name)
    return value
