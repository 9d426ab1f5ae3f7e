"""Write attempts and read them back, inside a transaction that `Records` has opened."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

import sqlalchemy as sa

from trainer.records.attempt import Attempt, check_person_name
from trainer.records.chain import NO_HASH, Chain
from trainer.records.plain_json import Json, make_json_text, make_time_text
from trainer.records.schema import ATTEMPTS, CHAINS, PEOPLE

DAY = len("2026-03-02")
HASHED = (
    "number", "id", "person_number", "when_utc", "kind", "build", "options_json", "question", "answer_json",
    "result_json", "score", "lesson", "subject", "seconds", "marks_json", "previous_hash",
)  # fmt: skip
"""What the hash of an attempt is made of, in this order."""
SELECT = sa.select(ATTEMPTS, PEOPLE.c.name).join_from(ATTEMPTS, PEOPLE)


def select_attempts(
    person: str | None,
    limit: int | None,
    *,
    kind: str | None,
    item: str | None,
    lesson: str | None,
    since: datetime | None,
) -> sa.Select[Any]:
    """Make the question for attempts, the latest first, as `Records.list_attempts` tells."""
    wanted = SELECT.order_by(ATTEMPTS.c.when_utc.desc(), ATTEMPTS.c.number.desc()).limit(limit)
    if person is not None:
        wanted = wanted.where(PEOPLE.c.name == check_person_name(person))
    if item is not None:
        kind, _, subject = item.partition("/")
        wanted = wanted.where(ATTEMPTS.c.subject == subject)
    if kind is not None:
        wanted = wanted.where(ATTEMPTS.c.kind == str(kind))
    if lesson is not None:
        wanted = wanted.where(ATTEMPTS.c.lesson == lesson)
    if since is not None:
        wanted = wanted.where(ATTEMPTS.c.when_utc >= make_time_text(since))
    return wanted


def read_row(row: sa.Row[Any]) -> Attempt:
    """Make an attempt of its row. Raises ValueError, TypeError or RefusalError for one that can't be read."""
    return Attempt(
        id=UUID(row.id),
        person=row.name,
        when=datetime.fromisoformat(row.when_utc),
        kind=row.kind,
        build=row.build,
        options=json.loads(row.options_json),
        question=row.question,
        answer=json.loads(row.answer_json),
        result=json.loads(row.result_json),
        score=row.score,
        lesson=row.lesson,
        subject=row.subject,
        seed=row.seed,
        seconds=row.seconds,
        marks=json.loads(row.marks_json),
    )


def check_attempts(connection: sa.Connection) -> Chain:
    """Check that every attempt gives its own hash and follows the one before, from the first to the last.

    Numbers may leave some out: early records let attempts be taken away. Whether any was since, `count_recorded` tells.
    """
    count, previous = 0, NO_HASH
    for row in connection.execute(sa.select(ATTEMPTS).order_by(ATTEMPTS.c.number)):
        fields = dict(row._mapping)  # noqa: SLF001 - SQLAlchemy's public name for it
        if row.previous_hash != previous:
            return Chain(count, previous, row.number, "previous")
        if _hash_row(fields) != row.hash:
            return Chain(count, previous, row.number, "hash")
        count, previous = count + 1, row.hash
    return Chain(count, previous)


def _hash_row(row: Mapping[str, Any]) -> str:
    """Make the hash of an attempt: SHA-256 over its fields as stored and the hash of the one before; "" where it has none.

    As for sheets the fields are written as one JSON list, ASCII, without spaces, in the order of HASHED. Of the time the
    day is hashed, and the seed is not: an erasure takes hour and seed, and the chain has to hold all the same.
    """
    fields: Json = [row["when_utc"][:DAY] if name == "when_utc" else row[name] for name in HASHED]
    try:
        return hashlib.sha256(make_json_text(fields).encode("ascii")).hexdigest()
    except (TypeError, ValueError):  # a value of a kind that was never written
        return ""


def count_recorded(connection: sa.Connection) -> tuple[int, int]:
    """Count the attempts that were ever recorded, as triggers did, and those that are there."""
    recorded = connection.scalar(sa.select(CHAINS.c.highest).where(CHAINS.c.name == "attempts"))
    there_are = connection.scalar(sa.select(sa.func.count()).select_from(ATTEMPTS))
    return recorded or 0, there_are or 0


def make_row(connection: sa.Connection, attempt: Attempt, person_number: int) -> dict[str, object]:
    """Make the row of an attempt, numbered after the newest and tied to it."""
    newest = connection.execute(
        sa.select(ATTEMPTS.c.number, ATTEMPTS.c.hash).order_by(ATTEMPTS.c.number.desc()).limit(1)
    ).one_or_none()
    number, previous = (0, NO_HASH) if newest is None else (newest.number, newest.hash)
    row = {
        "number": number + 1,
        "id": str(attempt.id),
        "person_number": person_number,
        "when_utc": make_time_text(attempt.when),
        "kind": attempt.kind,
        "build": attempt.build,
        "options_json": make_json_text(attempt.options),
        "question": attempt.question,
        "answer_json": make_json_text(attempt.answer),
        "result_json": make_json_text(attempt.result),
        "score": attempt.score,
        "lesson": attempt.lesson,
        "subject": attempt.subject,
        "seed": attempt.seed,
        "seconds": attempt.seconds,
        "marks_json": make_json_text(attempt.marks),
        "previous_hash": previous,
    }
    return {**row, "hash": _hash_row(row)}
