"""Write the history and read it back, inside a transaction that `Records` has opened."""

from __future__ import annotations

import json
import secrets
from collections.abc import Collection, Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from models.spec.errors import RefusalError
from trainer.records.chain import NO_HASH, Chain
from trainer.records.entry import (
    Entry,
    EntryKind,
    FiledEntry,
    Named,
    Role,
    hash_entry,
    hash_name,
)
from trainer.records.people_rows import find_or_add_person
from trainer.records.plain_json import make_json_text, make_time_text
from trainer.records.schema import CHAINS, HISTORY, NAMES, PEOPLE

SALT_BYTES = 32


def add_entry(connection: sa.Connection, entry: Entry) -> FiledEntry:
    """Write an entry after the newest. The transaction holds the write lock, so nobody writes between.

    An entry that is there already changes nothing. Raises RefusalError for another one under its id.
    """
    filed = find_entry(connection, entry.id)
    if filed is not None:
        if filed.entry != entry:
            raise RefusalError(f"Something else is kept in the history under {entry.id}.")
        return filed
    newest = connection.execute(
        sa.select(HISTORY.c.number, HISTORY.c.hash).order_by(HISTORY.c.number.desc()).limit(1)
    ).one_or_none()
    number, previous = (1, NO_HASH) if newest is None else (newest.number + 1, newest.hash)
    names = [_make_name(connection, number, role, named) for role, named in entry.names.items()]
    hashes = {str(row["role"]): _hash_name_row(row) for row in names}
    content = make_json_text({"content": entry.content, "names": hashes})
    row = {
        "number": number,
        "id": str(entry.id),
        "when_utc": make_time_text(entry.when),
        "kind": entry.kind.value,
        "content_json": content,
        "previous_hash": previous,
    }
    row["hash"] = _hash_row(row)
    connection.execute(HISTORY.insert().values(row))
    if names:
        connection.execute(NAMES.insert(), names)
    now = {role: named.person for role, named in entry.names.items()}
    return FiledEntry(entry, number, previous, str(row["hash"]), now)


def find_entry(connection: sa.Connection, id_: UUID) -> FiledEntry | None:
    """Find an entry by its id."""
    found = _read_rows(connection, HISTORY.c.id == str(id_))
    return found[0] if found else None


def list_entries(connection: sa.Connection, *kinds: EntryKind) -> tuple[FiledEntry, ...]:
    """List the entries of these kinds, or of all, the oldest first."""
    return _read_rows(
        connection, HISTORY.c.kind.in_([kind.value for kind in kinds]) if kinds else sa.true()
    )


def check_entries(connection: sa.Connection) -> Chain:
    """Check that every entry and every name in it gives its hash, from the first entry to the last."""
    names: dict[int, list[sa.Row[Any]]] = {}
    erased = [content.get("person") for content in list_erasures(connection)]
    for row in connection.execute(_SELECT_NAMES):
        names.setdefault(row.entry_number, []).append(row)
    count, previous = 0, NO_HASH
    rows = connection.execute(sa.select(HISTORY).order_by(HISTORY.c.number))
    for count, row in enumerate(rows, start=1):
        why = _find_fault(row, count, previous, names.pop(count, []), erased)
        if why:
            return Chain(count, previous, count, why)
        previous = row.hash
    highest = connection.scalar(sa.select(CHAINS.c.highest).where(CHAINS.c.name == "history"))
    if highest != count or names:
        return Chain(count, previous, count + 1, "missing")
    return Chain(count, previous)


def list_erasures(connection: sa.Connection) -> list[dict[str, Any]]:
    """List what the entries of erasures hold, the oldest first; one that cannot be read is for `check_entries` to find."""
    wanted = sa.select(HISTORY.c.content_json).where(HISTORY.c.kind == EntryKind.ERASED.value)
    found = []
    for text in connection.scalars(wanted.order_by(HISTORY.c.number)):
        try:
            found.append(dict(json.loads(text)["content"]))
        except (TypeError, ValueError, KeyError):
            continue
    return found


def _make_name(
    connection: sa.Connection, number: int, role: Role, named: Named
) -> dict[str, object]:
    return {
        "entry_number": number,
        "role": role.value,
        "person_number": find_or_add_person(connection, named.person),
        "salt": secrets.token_hex(SALT_BYTES),
        "said_json": make_json_text({"name": named.person, "told": named.told}),
    }


def _read_rows(
    connection: sa.Connection, condition: sa.ColumnElement[bool]
) -> tuple[FiledEntry, ...]:
    rows = connection.execute(sa.select(HISTORY).where(condition).order_by(HISTORY.c.number)).all()
    names: dict[int, list[sa.Row[Any]]] = {}
    wanted = sa.select(HISTORY.c.number).where(condition)
    for name in connection.execute(_SELECT_NAMES.where(NAMES.c.entry_number.in_(wanted))):
        names.setdefault(name.entry_number, []).append(name)
    return tuple(_read_row(row, names.get(row.number, [])) for row in rows)


def _read_row(row: sa.Row[Any], names: Iterable[sa.Row[Any]]) -> FiledEntry:
    content = json.loads(row.content_json)["content"]
    when = datetime.fromisoformat(row.when_utc)
    named = {Role(name.role): _read_name(name) for name in names}
    entry = Entry(UUID(row.id), when, EntryKind(row.kind), content, named)
    now = {Role(name.role): str(name.now) for name in names}
    return FiledEntry(entry, row.number, row.previous_hash, row.hash, now)


def _read_name(row: sa.Row[Any]) -> Named:
    if row.said_json is None:
        return Named(row.now)
    said = json.loads(row.said_json)
    return Named(said["name"], said["told"])


def _find_fault(
    row: sa.Row[Any],
    number: int,
    previous: str,
    names: Iterable[sa.Row[Any]],
    erased: Collection[object],
) -> str:
    if row.number != number:
        return "number"
    if row.previous_hash != previous:
        return "previous"
    try:
        if _hash_row(dict(row._mapping)) != row.hash:  # noqa: SLF001 - SQLAlchemy's public name for it
            return "hash"
        hashes = dict(json.loads(row.content_json)["names"])
    except (TypeError, ValueError, KeyError):  # a value of a kind that was never written
        return "hash"
    agree = all(_agrees(name, hashes.pop(name.role, None), erased) for name in names)
    return "" if agree and not hashes else "name"


def _agrees(name: sa.Row[Any], wanted: object, erased: Collection[object]) -> bool:
    """Does a name give the hash that its entry holds? An erased one gives none; then the history tells of an erasure."""
    if name.said_json is None and name.salt is None:
        return wanted is not None and name.person_number in erased
    try:
        return _hash_name_row(dict(name._mapping)) == wanted  # noqa: SLF001 - as above
    except (TypeError, ValueError):
        return False


def _hash_name_row(row: dict[str, Any]) -> str:
    return hash_name(row["salt"], row["person_number"], row["said_json"])


def _hash_row(row: dict[str, Any]) -> str:
    return hash_entry(
        row["number"],
        row["id"],
        row["when_utc"],
        row["kind"],
        row["content_json"],
        row["previous_hash"],
    )


_SELECT_NAMES = sa.select(NAMES, PEOPLE.c.name.label("now")).join_from(NAMES, PEOPLE)
