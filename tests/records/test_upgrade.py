from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from models.spec.errors import SurroundingsError
from tests.records.conftest import Ground
from tests.records.samples import hash_list
from trainer.records import Attempt, open_records
from trainer.records.connection import make_engine
from trainer.records.schema import METADATA, NEWEST_REVISION
from trainer.records.upgrade import list_revisions, upgrade_records

MakeAttempt = Callable[..., Attempt]
REVISIONS = list_revisions()


def lay_schema(path: Path, revision: str) -> None:
    """Make an empty file as the program of that revision made it."""
    path.parent.mkdir(parents=True)
    engine = make_engine(path, opening=True, wait_s=1.0)
    with engine.execution_options(writes=True).begin() as connection:
        upgrade_records(connection, str(path), None, target=revision)


def read_schema(path: Path) -> list[tuple[str, str]]:
    connection = sqlite3.connect(path)
    rows = connection.execute(
        "SELECT name, sql FROM sqlite_master WHERE name NOT LIKE 'alembic%' AND sql IS NOT NULL"
    ).fetchall()
    connection.close()
    return sorted((name, " ".join(sql.replace("\n", " ").split())) for name, sql in rows)


def find_schema_differences(path: Path) -> list[object]:
    with make_engine(path, opening=False, wait_s=1.0).connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        return list(compare_metadata(context, METADATA))


def test_newest_revision_is_the_one_the_program_names() -> None:
    assert REVISIONS[-1] == NEWEST_REVISION
    assert len(set(REVISIONS)) == len(REVISIONS)


def test_empty_file_gets_the_schema_of_the_tables(path: Path) -> None:
    path.parent.mkdir()
    path.touch()
    open_records(path).close()
    assert find_schema_differences(path) == []


@pytest.mark.parametrize("revision", REVISIONS)
def test_file_of_every_revision_is_brought_to_the_schema_of_the_tables(
    path: Path, tmp_path: Path, revision: str, attempt: MakeAttempt
) -> None:
    lay_schema(path, revision)
    with open_records(path) as records:
        records.add_attempt(attempt(1))
        assert records.list_attempts() == (attempt(1),)
        records.check_whole()
    assert find_schema_differences(path) == []
    fresh = tmp_path / "fresh.sqlite3"
    open_records(fresh).close()
    assert read_schema(path) == read_schema(fresh)


@pytest.mark.parametrize("revision", REVISIONS)
def test_rows_of_every_revision_are_kept(path: Path, revision: str) -> None:
    """Each revision's rows are written as text here, for the tables of that time exist nowhere else."""
    rows = {
        "0001": (
            "INSERT INTO people VALUES (4, 'Ann')",
            (
                "INSERT INTO attempts VALUES (7, '00000000-0000-0000-0000-000000000001', 4,"
                " '2024-03-04T08:31:00.000000+00:00', 'gap', 'end-suction/100-250', '{}', 'q',"
                " '0.4', 'null', 0.5)"
            ),
        ),
    }
    rows["0002"] = rows["0001"]  # the table of sheets came with it, and has tests of its own
    rows["0003"] = (
        rows["0001"][0],
        (
            "INSERT INTO attempts VALUES (7, '00000000-0000-0000-0000-000000000001', 4,"
            " '2024-03-04T08:31:00.000000+00:00', 'shim-thickness', 'end-suction/100-250', '{}', 'q',"
            " '0.4', 'null', 0.5, '', '', '', '{}', NULL)"
        ),
    )
    rows["0004"] = (
        "INSERT INTO people VALUES (4, 'Ann', NULL)",
        rows["0003"][1],
    )
    rows["0005"] = rows["0004"]
    fields = [
        7, "00000000-0000-0000-0000-000000000001", 4, "2024-03-04", "shim-thickness", "end-suction/100-250", "{}",
        "q", "0.4", "null", 0.5, "", "", None, "{}", "0" * 64,
    ]  # fmt: skip
    own = hash_list(fields)
    rows["0006"] = (
        rows["0004"][0],
        rows["0004"][1].replace(", '{}', NULL)", f", '{{}}', NULL, '{'0' * 64}', '{own}')"),
    )
    assert revision in rows, "a new revision needs its sample rows here"
    lay_schema(path, revision)
    connection = sqlite3.connect(path, isolation_level=None)
    for statement in rows[revision]:
        connection.execute(statement)
    connection.close()
    with open_records(path) as records:
        (kept,) = records.list_attempts("Ann")
        records.check_whole()
    assert (kept.id.int, kept.when.minute, kept.answer, kept.score) == (1, 31, 0.4, 0.5)
    assert (kept.kind, kept.item, kept.seconds, kept.marks) == ("shim-thickness", "", None, {})


def test_comparison_sees_a_column_and_an_index_that_are_missing(path: Path) -> None:
    """Hold the comparison itself to account: it must be able to fail."""
    open_records(path).close()
    Ground(path, None, "").unlock()  # a trigger names the column
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("ALTER TABLE attempts DROP COLUMN score")
    connection.execute("DROP INDEX ix_attempts_person_number_when_utc")
    connection.close()
    assert len(find_schema_differences(path)) == 2


def test_upgrade_that_fails_leaves_the_file_as_it_was(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The last statement of the newest revision fails: the tables made before it are undone too."""
    path.parent.mkdir()

    def fail(*_: object, **__: object) -> None:
        raise InterruptedError("the last statement fails")

    monkeypatch.setattr("alembic.op.execute", fail)
    with pytest.raises(SurroundingsError, match="the last statement fails"):
        open_records(path)
    monkeypatch.undo()
    assert path.read_bytes() == b""
    open_records(path).close()
    assert find_schema_differences(path) == []
