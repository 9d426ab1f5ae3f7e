from __future__ import annotations

import hashlib
import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from uuid import UUID

import psycopg
import pytest

from models.spec.errors import RefusalError, SurroundingsError
from tests.records.conftest import Ground
from tests.records.samples import make_sheet
from trainer.records import open_records
from trainer.records.chain import NO_HASH


@pytest.fixture
def filled(ground: Ground) -> Ground:
    with open_records(ground.where) as records:
        for number in (1, 2, 3):
            records.add_sheet(make_sheet(number, corrects=1 if number == 3 else None))
    return ground


@pytest.fixture
def unlocked(filled: Ground) -> Ground:
    """The records in the hands of somebody who has taken their triggers off."""
    filled.unlock()
    return filled


def test_sheet_comes_back_as_it_was_filed_the_newest_first(filled: Ground) -> None:
    with open_records(filled.where) as records:
        listed = records.list_sheets()
        assert [each.sheet for each in listed] == [
            make_sheet(3, corrects=1),
            make_sheet(2),
            make_sheet(1),
        ]
        assert [each.number for each in listed] == [3, 2, 1]
        assert records.list_sheets(limit=1) == listed[:1]
        assert records.find_sheet(UUID(int=2)) == listed[1]
        records.check_whole()


def test_each_sheet_carries_the_hash_of_the_one_before(filled: Ground) -> None:
    third, second, first = open_records(filled.where).list_sheets()
    assert (first.previous_hash, second.previous_hash) == (NO_HASH, first.hash)
    assert third.previous_hash == second.hash
    chain = open_records(filled.where).check_sheets()
    assert (chain.is_whole, chain.count, chain.last_hash) == (True, 3, third.hash)


def test_hash_can_be_made_anew_with_nothing_but_the_file(filled: Ground) -> None:
    rows = filled.sql(
        "SELECT number, id, when_utc, corrects, previous_hash, content_json, hash FROM sheets"
    )
    assert len(rows) == 3
    for *fields, kept in rows:
        text = json.dumps(fields, separators=(",", ":"))
        assert hashlib.sha256(text.encode()).hexdigest() == kept


def test_no_sheets_are_a_whole_chain(ground: Ground) -> None:
    chain = open_records(ground.where).check_sheets()
    assert (chain.is_whole, chain.count, chain.last_hash) == (True, 0, NO_HASH)


def test_filing_the_same_sheet_again_changes_nothing(ground: Ground) -> None:
    records = open_records(ground.where)
    filed = [records.add_sheet(make_sheet(1)) for _ in range(3)]
    later = replace(make_sheet(1), when=make_sheet(2).when)  # once the clock had gone on
    assert filed[0] == filed[1] == filed[2] == records.add_sheet(later)
    assert len(records.list_sheets()) == 1


def test_other_content_under_the_same_id_is_refused(filled: Ground) -> None:
    records = open_records(filled.where)
    with pytest.raises(RefusalError, match="already filed with another content"):
        records.add_sheet(make_sheet(2, {"gap_mm": [0.4]}))
    assert records.find_sheet(UUID(int=2)).sheet == make_sheet(2)


def test_correction_names_the_old_sheet_which_stays(filled: Ground) -> None:
    old = open_records(filled.where).find_sheet(UUID(int=1))
    assert old.sheet == make_sheet(1)
    assert old.corrected_by == UUID(int=3)


@pytest.mark.parametrize(
    ("corrects", "message"), [(9, "No sheet .*9 is filed"), (1, "corrected already: .*3 stands in")]
)
def test_correction_of_no_sheet_or_of_a_corrected_one_is_refused(
    filled: Ground, corrects: int, message: str
) -> None:
    records = open_records(filled.where)
    with pytest.raises(RefusalError, match=message):
        records.add_sheet(make_sheet(4, corrects=corrects))
    assert len(records.list_sheets()) == 3


def test_unknown_id_is_refused(filled: Ground) -> None:
    with pytest.raises(RefusalError, match="No sheet"):
        open_records(filled.where).find_sheet(UUID(int=77))


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE sheets SET content_json = '{}' WHERE number = 2",
        "UPDATE sheets SET when_utc = when_utc",
        "DELETE FROM sheets WHERE number = 3",
        "DELETE FROM sheets",
        "INSERT OR REPLACE INTO sheets SELECT * FROM sheets WHERE number = 2",
        "REPLACE INTO sheets VALUES (3, 'x', 'y', NULL, '{}', 'p', 'h')",
        "INSERT INTO sheets VALUES (5, 'x', 'y', NULL, '{}', 'p', 'h')",
        "INSERT INTO sheets SELECT 4, 'x', 'y', NULL, '{}', previous_hash, 'h' FROM sheets WHERE number = 3",
    ],
)
def test_file_itself_refuses_to_change_take_out_or_squeeze_in(
    filled: Ground, statement: str
) -> None:
    if "REPLACE" in statement and filled.server:
        statement = "TRUNCATE sheets CASCADE"  # what this database has that takes rows away unasked
    with pytest.raises((sqlite3.IntegrityError, psycopg.IntegrityError), match=r"sheet|history"):
        filled.sql(statement)
    assert open_records(filled.where).check_sheets().is_whole


def list_changed(value: object) -> Iterator[object]:
    """Change one sign of a stored value after another."""
    if isinstance(value, int):
        yield value + 10
        return
    if value is None:
        yield "00000000-0000-0000-0000-000000000002"
        return
    text = str(value)
    for place, sign in enumerate(text):
        yield text[:place] + chr(ord(sign) ^ 4) + text[place + 1 :]
    yield text + " "
    yield text[:-1]


def quote(value: object) -> str:
    if value is None:
        return "NULL"
    return str(value) if isinstance(value, int) else "'" + str(value).replace("'", "''") + "'"


def test_any_changed_sign_of_any_field_of_any_sheet_is_found(unlocked: Ground) -> None:
    columns = ["number", "id", "when_utc", "corrects", "content_json", "previous_hash", "hash"]
    step = (
        1 if unlocked.server is None else 40
    )  # the same rule reads both, and a server takes longer
    tried = 0
    with open_records(unlocked.where) as records:
        for number in (1, 2, 3):
            for column in columns:
                [(kept,)] = unlocked.sql(f"SELECT {column} FROM sheets WHERE number = {number}")
                for changed in list(list_changed(kept))[::step]:
                    now = changed if column == "number" else number
                    change = "UPDATE sheets SET {} = {} WHERE number = {}"
                    unlocked.sql(change.format(column, quote(changed), number))
                    chain = records.check_sheets()
                    assert not chain.is_whole, (number, column, changed)
                    assert chain.first_wrong == number, (number, column, changed, chain)
                    unlocked.sql(change.format(column, quote(kept), now))
                    tried += 1
        assert tried > 700 / step
        assert records.check_sheets().is_whole


@pytest.mark.parametrize(
    ("statements", "first_wrong", "why"),
    [
        (["DELETE FROM sheets WHERE number = 1"], 1, "number"),
        (["DELETE FROM sheets WHERE number = 2"], 2, "number"),
        (["DELETE FROM sheets WHERE number = 3"], 3, "missing"),
        (["DELETE FROM sheets"], 1, "missing"),
        (
            [
                "DELETE FROM sheets WHERE number = 2",
                "UPDATE sheets SET number = 2 WHERE number = 3",
            ],
            2,
            "previous",
        ),
        (
            [
                "UPDATE sheets SET number = 9 WHERE number = 1",
                "UPDATE sheets SET number = 1 WHERE number = 2",
                "UPDATE sheets SET number = 2 WHERE number = 9",
            ],
            1,
            "previous",
        ),
    ],
)
def test_sheet_taken_out_or_moved_is_found(
    unlocked: Ground,
    statements: list[str],
    first_wrong: int,
    why: str,
) -> None:
    unlocked.sql(*statements)
    with open_records(unlocked.where) as records:
        chain = records.check_sheets()
        assert (chain.first_wrong, chain.why) == (first_wrong, why)
        with pytest.raises(SurroundingsError, match=f"sheet {first_wrong} is not as it was filed"):
            records.check_whole()


def test_sheet_that_cannot_be_read_is_named_never_left_out(
    unlocked: Ground,
) -> None:
    unlocked.sql("UPDATE sheets SET content_json = '[1,' WHERE number = 2")
    with open_records(unlocked.where) as records:
        with pytest.raises(SurroundingsError, match="a sheet can't be read"):
            records.list_sheets()
        with pytest.raises(SurroundingsError, match="can't be read"):
            records.find_sheet(UUID(int=2))


@pytest.mark.parametrize(
    ("change", "error", "message"),
    [
        ({"when": datetime(2024, 1, 1)}, ValueError, "time zone"),  # noqa: DTZ001 - the fault
        ({"content": {"gap": float("nan")}}, ValueError, "finite"),
        ({"content": "x" * 500_001}, RefusalError, "too long"),
    ],
)
def test_sheet_that_cannot_be_kept_is_never_made(
    change: dict[str, object], error: type[Exception], message: str
) -> None:
    with pytest.raises(error, match=message):
        replace(make_sheet(1), **change)  # type: ignore[arg-type] # wrong on purpose


def test_processes_that_file_at_once_never_fork_the_chain(ground: Ground) -> None:
    open_records(ground.where).close()
    script = Path(__file__).with_name("sheet_writer.py")
    count = 25
    writers = [
        subprocess.Popen(
            [sys.executable, str(script), str(ground.where), str(first), str(count)],
            env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for first in (1, 1001)
    ]
    for writer in writers:
        assert writer.stdout is not None
        assert writer.stdout.readline() == "ready\n"
    with ThreadPoolExecutor() as threads:
        said = list(threads.map(lambda writer: writer.communicate("go\n")[0].split(), writers))
    assert [writer.returncode for writer in writers] == [0, 0]
    numbers = sorted(int(number) for numbers in said for number in numbers)
    assert numbers == list(range(1, 2 * count + 1))
    with open_records(ground.where) as records:
        assert records.check_sheets().count == 2 * count
        assert records.check_sheets().is_whole
