"""File a judged sheet, and find filed ones by the beginning of their ids."""

from __future__ import annotations

import re
from datetime import datetime
from typing import TYPE_CHECKING
from uuid import UUID

from models.spec.errors import RefusalError
from trainer.records import FiledSheet, Sheet
from trainer.session.sheet import BenchSheet, describe_sheet

if TYPE_CHECKING:
    from trainer.records import Records

LEAST_SIGNS = 4
_ID = re.compile(r"[0-9a-f-]{1,36}")


def find_missing_head(sheet: BenchSheet) -> tuple[str, ...]:
    """Find what of a sheet's head is missing: without who, which pump and when it cannot be filed."""
    return tuple(one.name for one in sheet.missing if one.kind == "head" and one.name != "shop")


def file_sheet(
    records: Records, sheet: BenchSheet, sheet_id: UUID, now: datetime, corrects: UUID | None
) -> FiledSheet:
    """File a sheet for good; try again with the same id when it raises SurroundingsError.

    Raises:
        RefusalError: its head is not filled in; or as `Records.add_sheet` does.
    """
    missing = find_missing_head(sheet)
    if missing:
        raise RefusalError(f"a sheet is filed with {', '.join(missing)}; write them first")
    return records.add_sheet(Sheet(sheet_id, now, describe_sheet(sheet), corrects))


def find_filed(records: Records, typed: str) -> FiledSheet:
    """Find a filed sheet by its id, its number, or the first signs of its id.

    Raises:
        RefusalError: none is, or several are meant.
    """
    text = typed.strip().lower()
    sheets = records.list_sheets(limit=None)
    found = [one for one in sheets if text == str(one.number)]
    if not found and len(text) >= LEAST_SIGNS and _ID.fullmatch(text):
        found = [one for one in sheets if str(one.sheet.id).startswith(text)]
    if len(found) != 1:
        count = len(found) or "no"
        raise RefusalError(
            f"{count} filed sheet goes by {typed!r}; give its number, or the first signs of its id"
        )
    return found[0]
