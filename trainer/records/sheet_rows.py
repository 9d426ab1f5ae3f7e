"""File bench sheets and read them back, inside a transaction that `Records` has opened."""

from __future__ import annotations

import json
from contextlib import suppress
from datetime import datetime
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from models.spec.errors import RefusalError
from trainer.records.chain import NO_HASH, Chain
from trainer.records.history_rows import list_erasures
from trainer.records.plain_json import make_json_text, make_time_text
from trainer.records.schema import CHAINS, SHEETS
from trainer.records.sheet import FiledSheet, Sheet, make_hash

_LATER = SHEETS.alias("later")
_SELECT = sa.select(SHEETS, _LATER.c.id.label("corrected_by")).join_from(
    SHEETS, _LATER, _LATER.c.corrects == SHEETS.c.id, isouter=True
)


def find_row(connection: sa.Connection, sheet_id: UUID) -> FiledSheet | None:
    """Find a filed sheet by its id."""
    row = connection.execute(_SELECT.where(SHEETS.c.id == str(sheet_id))).one_or_none()
    return None if row is None else read_row(row)


def list_rows(connection: sa.Connection, limit: int | None) -> tuple[FiledSheet, ...]:
    """List filed sheets, the newest first."""
    wanted = _SELECT.order_by(SHEETS.c.number.desc()).limit(limit)
    return tuple(read_row(row) for row in connection.execute(wanted))


def add_row(connection: sa.Connection, sheet: Sheet) -> FiledSheet:
    """File a sheet after the newest one. The transaction holds the write lock, so nobody files between.

    Raises:
        RefusalError: the sheet to be corrected is not there, or another stands in for it already.
    """
    if sheet.corrects is not None:
        _check_corrected(connection, sheet.corrects)
    newest = connection.execute(
        sa.select(SHEETS.c.number, SHEETS.c.hash).order_by(SHEETS.c.number.desc()).limit(1)
    ).one_or_none()
    number, previous = (1, NO_HASH) if newest is None else (newest.number + 1, newest.hash)
    row = {
        "number": number,
        "id": str(sheet.id),
        "when_utc": make_time_text(sheet.when),
        "corrects": None if sheet.corrects is None else str(sheet.corrects),
        "previous_hash": previous,
        "content_json": make_json_text(sheet.content),
    }
    row["hash"] = make_hash(row)
    connection.execute(SHEETS.insert().values(row))
    return FiledSheet(sheet, number, previous, str(row["hash"]))


def find_sheet_differences(one: Sheet, other: Sheet) -> tuple[str, ...]:
    """Find the names of the fields in which two sheets differ; when is the clock's, which goes on between two tries."""
    same = {
        "content": make_json_text(one.content) == make_json_text(other.content),
        "corrects": one.corrects == other.corrects,
    }
    return tuple(name for name, is_same in same.items() if not is_same)


def check_rows(connection: sa.Connection) -> Chain:
    """Check that every sheet gives its own hash and follows the one before, from the first to the last.

    A sheet that a name was taken out of gives the hash that the history holds of what was left.
    """
    count, previous = 0, NO_HASH
    left = _list_left(connection)
    seen: set[str] = set()
    rows = connection.execute(sa.select(SHEETS).order_by(SHEETS.c.number))
    for count, row in enumerate(rows, start=1):
        why = _find_fault(row, count, previous, seen, left.get(count))
        if why:
            return Chain(count, previous, count, why)
        previous = row.hash
        seen.add(row.id)
    # The highest number ever given outlasts the rows: it tells of some taken off the end.
    highest = connection.scalar(sa.select(CHAINS.c.highest).where(CHAINS.c.name == "sheets"))
    if highest != count:
        return Chain(count, previous, count + 1, "missing")
    return Chain(count, previous)


def read_row(row: sa.Row[Any]) -> FiledSheet:
    """Make a filed sheet of its row. Raises ValueError, TypeError or RefusalError for one that can't be read."""
    sheet = Sheet(
        UUID(row.id),
        datetime.fromisoformat(row.when_utc),
        json.loads(row.content_json),
        UUID(row.corrects) if row.corrects is not None else None,
    )
    later = UUID(row.corrected_by) if row.corrected_by is not None else None
    return FiledSheet(sheet, row.number, row.previous_hash, row.hash, later)


def _check_corrected(connection: sa.Connection, corrected: UUID) -> None:
    old = find_row(connection, corrected)
    if old is None:
        raise RefusalError(
            f"No sheet {corrected} is filed, so none can stand in for it; list the sheets to see their ids."
        )
    if old.corrected_by is not None:
        raise RefusalError(
            f"Sheet {corrected} has been corrected already: {old.corrected_by} stands in for it. Correct that one."
        )


def _list_left(connection: sa.Connection) -> dict[int, str]:
    """List the hashes that erasures left sheets with, by the sheets' numbers; of several the newest."""
    left: dict[int, str] = {}
    for erasure in list_erasures(connection):
        with suppress(TypeError, ValueError):  # the check of the history says which entry it is
            left |= dict(erasure.get("sheets", ()))
    return left


def _find_fault(
    row: sa.Row[Any], number: int, previous: str, seen: set[str], left: str | None
) -> str:
    if row.number != number:
        return "number"
    if row.previous_hash != previous:
        return "previous"
    try:
        fields = dict(row._mapping)  # noqa: SLF001 - SQLAlchemy's public name for it
        agrees = make_hash(fields, is_left=bool(left)) == (left or row.hash)
    except (TypeError, ValueError):  # a value of a kind that was never written
        agrees = False
    if not agrees:
        return "hash"
    return "corrects" if row.corrects is not None and row.corrects not in seen else ""
