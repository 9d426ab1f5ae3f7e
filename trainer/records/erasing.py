"""Erase a person: the name and what was said of the person go, anonymous figures and checkable chains stay."""

from __future__ import annotations

import json
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from trainer.records.entry import Entry, EntryKind
from trainer.records.history_rows import add_entry
from trainer.records.people_rows import STAND_IN, find_known, list_own_names
from trainer.records.plain_json import Json, make_json_text, make_time_text
from trainer.records.schema import ATTEMPTS, ERASED_SHEETS, NAMES, PEOPLE, SHEETS
from trainer.records.sheet import make_hash

ON_SHEETS = "erased"
"""What stands on a sheet in place of a name. Not the stand-in of the records: whoever knows who built the pump
would know whose attempts those are."""


@dataclass(frozen=True, slots=True)
class Erased:
    """What an erasure took the name out of: so many attempts, sign-offs and certificates, and sheets."""

    attempts: int
    entries: int
    sheets: int


def count_named(connection: sa.Connection, person: str) -> Erased:
    """Count what an erasure would touch. Raises RefusalError where nobody is kept by this name."""
    number = find_known(connection, person)
    attempts = sa.select(sa.func.count()).where(ATTEMPTS.c.person_number == number)
    names = sa.select(sa.func.count(NAMES.c.entry_number.distinct())).where(
        NAMES.c.person_number == number
    )
    sheets = find_sheets_naming(connection, list_own_names(connection, number))
    return Erased(connection.scalar(attempts) or 0, connection.scalar(names) or 0, len(sheets))


def erase_rows(
    connection: sa.Connection, person: str, id_: UUID, when: datetime, *, sheets: bool
) -> Erased:
    """Erase a person. The entry of the history says how much was touched, and holds the hash of each sheet as left.

    Args:
        connection: in a writing transaction.
        person: the name as typed.
        id_: of the entry in the history.
        when: from the caller's clock.
        sheets: take the name off bench sheets, too.

    Raises:
        RefusalError: nobody is kept by this name.
    """
    number = find_known(connection, person)
    erased = count_named(connection, person)
    names = list_own_names(connection, number)
    named = find_sheets_naming(connection, names) if sheets else {}
    content: Json = {
        "person": number,
        "attempts": erased.attempts,
        "entries": erased.entries,
        "sheets": [[at, _hash_left(row, text)] for at, (row, text) in sorted(named.items())],
    }
    filed = add_entry(connection, Entry(id_, when, EntryKind.ERASED, content))
    for row, text in named.values():
        _erase_on_sheet(connection, row.number, text, filed.number)
    connection.execute(
        PEOPLE.update()
        .where(PEOPLE.c.number == number)
        .values(name=STAND_IN + secrets.token_hex(8), erased_utc=make_time_text(when))
    )
    connection.execute(
        NAMES.update().where(NAMES.c.person_number == number).values(salt=None, said_json=None)
    )
    _erase_on_attempts(connection, number)
    return Erased(erased.attempts, erased.entries, len(named))


def _hash_left(row: sa.Row[Any], text: str) -> str:
    """Make the hash of what is left of a sheet."""
    fields = {**row._mapping, "content_json": text}  # noqa: SLF001 - SQLAlchemy's public name for it
    return make_hash(fields, is_left=True)


def _erase_on_sheet(connection: sa.Connection, number: int, left: str, entry_number: int) -> None:
    """Leave of a sheet what does not name the person; which entry says so has to stand there first."""
    connection.execute(
        ERASED_SHEETS.insert().values(sheet_number=number, entry_number=entry_number)
    )
    connection.execute(SHEETS.update().where(SHEETS.c.number == number).values(content_json=left))


def _erase_on_attempts(connection: sa.Connection, person_number: int) -> None:
    """Leave of each attempt's time the day, and of its seed nothing.

    With the hour a roster would tell whose it was. A seed may be whatever was typed, and questions were once drawn from
    the learner's name.
    """
    day = sa.func.substr(ATTEMPTS.c.when_utc, 1, 10)
    connection.execute(
        ATTEMPTS.update()
        .where(ATTEMPTS.c.person_number == person_number)
        .values(when_utc=day + "T00:00:00.000000+00:00", seed="")
    )


def find_sheets_naming(
    connection: sa.Connection, names: frozenset[str]
) -> dict[int, tuple[sa.Row[Any], str]]:
    """Find the sheets that name somebody, with the content that is left when the names are taken out.

    names: in small letters.
    """
    found = {}
    for row in connection.execute(sa.select(SHEETS).order_by(SHEETS.c.number)):
        left = make_json_text(_take_out(json.loads(row.content_json), names))
        if left != row.content_json:
            found[row.number] = (row, left)
    return found


def _take_out(value: Json, names: frozenset[str]) -> Json:
    """Replace every text that is a name and nothing else; a name inside a sentence is for the shop to see to."""
    if isinstance(value, str):
        return ON_SHEETS if " ".join(value.split()).casefold() in names else value
    if isinstance(value, Mapping):
        return {key: _take_out(each, names) for key, each in value.items()}
    if isinstance(value, list):
        return [_take_out(each, names) for each in value]
    return value
