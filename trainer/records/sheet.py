"""A bench sheet as it is filed, and the hash that ties it to the sheet before."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

from models.spec.errors import RefusalError
from trainer.records.plain_json import Json, make_json_text, make_plain

MOST_SHEET_CHARS = 500_000


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet to be filed. It is tidied when made, so that it equals what is read back later.

    id: made by the caller before the first try at filing, so that a retry is never a second sheet.
    when: from the caller's clock; any time zone, kept as UTC.
    content: all that stands on the sheet, plain JSON values.
    corrects: id of the filed sheet that this one stands in for, if any.

    Raises:
        RefusalError: the content is far too long.
        TypeError, ValueError: a field holds what can't be kept; the caller has a bug.
    """

    id: UUID
    when: datetime
    content: Json
    corrects: UUID | None = None

    def __post_init__(self) -> None:
        if self.when.tzinfo is None:
            raise ValueError("when must carry its time zone")
        object.__setattr__(self, "when", self.when.astimezone(UTC))
        object.__setattr__(self, "content", make_plain(self.content, "content"))
        if len(make_json_text(self.content)) > MOST_SHEET_CHARS:
            raise RefusalError(
                f"The sheet is too long to keep: at most {MOST_SHEET_CHARS} characters as JSON."
            )


@dataclass(frozen=True, slots=True)
class FiledSheet:
    """A sheet in its place in the file: its number from 1, its hash, and the hash of the one before it."""

    sheet: Sheet
    number: int
    previous_hash: str
    hash: str
    corrected_by: UUID | None = None


def make_hash(row: Mapping[str, Any], *, is_left: bool = False) -> str:
    """Make the hash of a sheet: SHA-256 over all its fields as stored and the hash of the one before.

    The fields are written as one JSON list, ASCII, without spaces, so that anybody can make it anew:
    [number, id, when_utc, corrects, previous hash, content as stored].

    Args:
        row: the fields by the names of their columns.
        is_left: of a sheet as an erasure left it, which the history holds: the hash that it keeps comes last, too.
    """
    names = ("number", "id", "when_utc", "corrects", "previous_hash", "content_json")
    fields: Json = [row[name] for name in (*names, *(("hash",) if is_left else ()))]
    return hashlib.sha256(make_json_text(fields).encode("ascii")).hexdigest()
