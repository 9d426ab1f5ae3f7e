"""Attempts are chained by their hashes: a changed mark is found, and an erasure breaks nothing."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from uuid import UUID

import psycopg
import pytest

from models.spec.errors import SurroundingsError
from tests.records.conftest import Ground
from tests.records.samples import NOON, hash_list
from tests.records.test_sheets import quote
from trainer.records import Attempt, open_records

MakeAttempt = Callable[..., Attempt]


@pytest.fixture
def filled(ground: Ground, attempt: MakeAttempt) -> Ground:
    with open_records(ground.where) as records:
        for number in range(1, 7):
            records.add_attempt(attempt(number, "Ann Marsh" if number % 2 else "Ben"))
    return ground


ATTEMPT = {
    "id": "'z'", "person_number": "1 + person_number % 2", "when_utc": "'1999' || substr(when_utc, 5)",
    "kind": "'name-it'", "build": "build || 'x'", "options_json": "'{}'", "question": "question || 'x'",
    "answer_json": "'null'", "result_json": "'null'", "score": "0.125", "lesson": "lesson || 'x'",
    "subject": "subject || 'x'", "seconds": "seconds + 0.001", "marks_json": """'{"what":0.5}'""",
    "previous_hash": "hash", "hash": "previous_hash",
}  # fmt: skip
"""By column of an attempt, what somebody may make of it."""


@pytest.mark.parametrize("number", [1, 4, 6])
def test_any_changed_field_of_an_attempt_is_found(filled: Ground, number: int) -> None:
    filled.unlock()
    kept = filled.sql("SELECT * FROM attempts ORDER BY number")
    with open_records(filled.where) as records:
        for column, changed in ATTEMPT.items():
            [(before,)] = filled.sql(f"SELECT {column} FROM attempts WHERE number = {number}")
            filled.sql(f"UPDATE attempts SET {column} = {changed} WHERE number = {number}")
            with pytest.raises(SurroundingsError, match=f"attempt {number} is not as it was filed"):
                records.check_whole()
            back = repr(before) if isinstance(before, float) else quote(before)
            filled.sql(f"UPDATE attempts SET {column} = {back} WHERE number = {number}")
        assert filled.sql("SELECT * FROM attempts ORDER BY number") == kept
        records.check_whole()
    columns = filled.sql("SELECT * FROM attempts WHERE number = 0 UNION ALL SELECT * FROM attempts")
    assert len(columns[0]) == len(ATTEMPT) + len({"number", "seed"})


def test_hashes_of_attempts_can_be_made_anew_from_their_rows_alone(filled: Ground) -> None:
    rows = filled.sql(
        "SELECT number, id, person_number, substr(when_utc, 1, 10), kind, build, options_json, question, answer_json,"
        " result_json, score, lesson, subject, seconds, marks_json, previous_hash, hash FROM attempts ORDER BY number"
    )
    assert len(rows) == 6
    for *fields, kept in rows:
        assert hash_list(fields) == kept
    assert [row[-2] for row in rows] == ["0" * 64, *(row[-1] for row in rows[:-1])]


def test_an_attempt_that_follows_none_or_has_no_hash_is_refused(filled: Ground) -> None:
    columns = (
        "person_number, when_utc, kind, build, options_json, question, answer_json, result_json"
    )
    for tie in ("'', ''", "previous_hash, hash", "hash, ''"):
        with pytest.raises((sqlite3.IntegrityError, psycopg.IntegrityError)):
            filled.sql(
                f"INSERT INTO attempts (number, id, {columns}, previous_hash, hash)"
                f" SELECT 9, 'x', {columns}, {tie} FROM attempts WHERE number = 6"
            )
    with open_records(filled.where) as records:
        records.check_whole()


def test_an_erasure_takes_hour_and_seed_and_the_chain_holds(filled: Ground) -> None:
    hashes = filled.sql("SELECT hash FROM attempts ORDER BY number")
    with open_records(filled.where) as records:
        records.erase_person("Ann Marsh", UUID(int=77), NOON)
        records.check_whole()
    assert filled.sql("SELECT hash FROM attempts ORDER BY number") == hashes
    erased = filled.sql("SELECT substr(when_utc, 12, 8), seed FROM attempts WHERE number = 1")
    assert [tuple(row) for row in erased] == [("00:00:00", "")]
    filled.unlock()
    filled.sql("UPDATE attempts SET score = 0.99 WHERE number = 1")
    with open_records(filled.where) as records, pytest.raises(SurroundingsError, match="attempt 1"):
        records.check_whole()
