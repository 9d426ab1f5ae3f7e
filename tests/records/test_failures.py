from __future__ import annotations

import os
import resource
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from models.spec.errors import SurroundingsError
from trainer.records import Attempt, open_records

MakeAttempt = Callable[..., Attempt]
NOBODY = 65534


@pytest.fixture
def filled(path: Path, attempt: MakeAttempt) -> Path:
    with open_records(path) as records:
        for number in range(40):
            records.add_attempt(attempt(number))
    return path


def run_sql(path: Path, *statements: str) -> None:
    """Run statements past the program and past the triggers that would refuse them."""
    connection = sqlite3.connect(path, isolation_level=None)
    for (name,) in connection.execute(
        "SELECT name FROM sqlite_master WHERE type = 'trigger'"
    ).fetchall():
        connection.execute(f"DROP TRIGGER {name}")
    for statement in statements:
        connection.execute(statement)
    connection.close()


def check_refused_and_untouched(path: Path, message: str) -> None:
    before = path.read_bytes()
    with pytest.raises(SurroundingsError, match=message) as caught:
        open_records(path)
    assert str(path) in str(caught.value)
    assert path.read_bytes() == before
    assert [each.name for each in path.parent.iterdir()] == [path.name]


def test_file_of_a_newer_program_is_refused_and_left_alone(filled: Path) -> None:
    run_sql(filled, "UPDATE alembic_version SET version_num = '9999'")
    check_refused_and_untouched(filled, "newer version of this program: its schema is 9999")


@pytest.mark.parametrize("size_bytes", [1, 99, 100, 5000, 100_000])
def test_file_of_noise_is_refused_and_left_alone(tmp_path: Path, size_bytes: int) -> None:
    path = tmp_path / "records.sqlite3"
    path.write_bytes(bytes((7 * place + 13) % 251 for place in range(size_bytes)))
    check_refused_and_untouched(path, "damaged, or no records file.*Put back a copy")


def test_another_programs_database_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "records.sqlite3"
    run_sql(path, "PRAGMA journal_mode=WAL", "CREATE TABLE songs (title)")
    check_refused_and_untouched(path, "another program's database")


@pytest.mark.parametrize("kept", [0.2, 0.5, 0.9])
def test_file_cut_short_is_named_and_left_alone(filled: Path, kept: float) -> None:
    whole = filled.read_bytes()
    filled.write_bytes(whole[: int(len(whole) * kept)])
    before = filled.read_bytes()
    with (
        pytest.raises(SurroundingsError, match="damaged") as caught,
        open_records(filled) as records,
    ):
        records.check_whole()
    assert str(filled) in str(caught.value)
    assert filled.read_bytes() == before


@pytest.mark.parametrize(
    "damage",
    [
        "UPDATE attempts SET answer_json = '[1,' WHERE number = 3",
        "UPDATE attempts SET kind = 'Dance!' WHERE number = 3",
        "UPDATE attempts SET when_utc = 'noon' WHERE number = 3",
        "UPDATE attempts SET id = 'three' WHERE number = 3",
        "UPDATE attempts SET build = CAST(x'ff' AS TEXT) WHERE number = 3",
    ],
)
def test_row_that_cannot_be_read_is_named_never_left_out(filled: Path, damage: str) -> None:
    run_sql(filled, damage)
    records = open_records(filled)
    with pytest.raises(SurroundingsError, match=r"records\.sqlite3.* Put back a copy"):
        records.list_attempts(limit=None)
    with pytest.raises(SurroundingsError, match=r"records\.sqlite3.* Put back a copy"):
        records.check_whole()


def test_attempt_without_its_person_is_found(filled: Path) -> None:
    run_sql(filled, "PRAGMA foreign_keys=OFF", "DELETE FROM people")
    with pytest.raises(SurroundingsError, match="40 attempts have no person"):
        open_records(filled).check_whole()


@pytest.mark.parametrize("rows", [[], ["0001", "0002"]])
def test_schema_of_no_or_two_revisions_is_refused(filled: Path, rows: list[str]) -> None:
    run_sql(filled, "DELETE FROM alembic_version")
    run_sql(filled, *(f"INSERT INTO alembic_version VALUES ('{row}')" for row in rows))
    check_refused_and_untouched(filled, f"{len(rows)} revisions instead of one")


@contextmanager
def ordinary_user() -> Iterator[None]:
    """Give up root's right to write anywhere, for as long as this lasts."""
    was = os.geteuid()
    if was == 0:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(was)


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that any user can reach; pytest's own are closed to others."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


def test_file_that_may_not_be_written_is_named(open_folder: Path, filled: Path) -> None:
    path = open_folder / "records.sqlite3"
    shutil.copy(filled, path)
    path.chmod(0o444)
    with ordinary_user():
        check_refused_and_untouched(path, "may not be written. Allow writing")


def test_folder_that_may_not_be_written_is_named(open_folder: Path) -> None:
    path = open_folder / "new" / "records.sqlite3"
    open_folder.chmod(0o555)
    with (
        ordinary_user(),
        pytest.raises(SurroundingsError, match=r"Permission denied.*folder") as it,
    ):
        open_records(path)
    assert str(path) in str(it.value)


def test_writable_file_in_a_folder_that_is_not_is_named(open_folder: Path, filled: Path) -> None:
    path = open_folder / "records.sqlite3"
    shutil.copy(filled, path)
    path.chmod(0o666)
    open_folder.chmod(0o555)
    with ordinary_user():
        check_refused_and_untouched(path, r"may not be written\. Allow writing")


def test_folder_in_the_files_place_is_named(tmp_path: Path) -> None:
    with pytest.raises(SurroundingsError, match="cannot be opened"):
        open_records(tmp_path)


def test_file_in_the_folders_place_is_named(tmp_path: Path) -> None:
    (tmp_path / "data").write_text("a note")
    with pytest.raises(SurroundingsError, match="cannot be used"):
        open_records(tmp_path / "data" / "records.sqlite3")
    assert (tmp_path / "data").read_text() == "a note"


def test_file_taken_away_is_not_begun_again_in_silence(filled: Path, attempt: MakeAttempt) -> None:
    records = open_records(filled)
    filled.unlink()
    with pytest.raises(SurroundingsError, match="cannot be opened"):
        records.add_attempt(attempt(99))
    assert not filled.exists()


def test_lock_that_is_not_released_is_named_and_nothing_is_half_written(
    filled: Path, attempt: MakeAttempt
) -> None:
    records = open_records(filled, wait_s=0.05)
    other = sqlite3.connect(filled, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(SurroundingsError, match=r"locked\. Close the other program"):
        records.add_attempt(attempt(99, "Bert"))
    with pytest.raises(SurroundingsError, match=r"locked\. Close the other program"):
        open_records(filled, wait_s=0.05)
    other.execute("ROLLBACK")
    other.close()
    assert records.list_people() == ("Ann",)
    records.add_attempt(attempt(99, "Bert"))
    assert len(records.list_attempts()) == 41


def test_full_disk_is_named_and_what_was_acknowledged_is_kept(filled: Path) -> None:
    """A limit on file size stands in for the full disk: writes beyond it fail the same way to SQLite.

    It does not show a disk that fills while a folder's entry is written.
    """
    program = """
import sys
from pathlib import Path
from tests.records.samples import make_attempt
from models.spec.errors import SurroundingsError
from trainer.records import open_records
records = open_records(Path(sys.argv[1]))
for number in range(100, 2000):
    try:
        records.add_attempt(make_attempt(number))
    except SurroundingsError as error:
        print(error)
        break
    print(number, flush=True)
"""
    limit_bytes = filled.stat().st_size + 40_000
    done = subprocess.run(
        [sys.executable, "-c", program, str(filled)],
        cwd=Path(__file__).parents[2],
        env={**os.environ, "PYTHONPATH": "."},
        preexec_fn=lambda: resource.setrlimit(
            resource.RLIMIT_FSIZE, (limit_bytes, resource.RLIM_INFINITY)
        ),
        check=True,
        capture_output=True,
        text=True,
    )
    *acknowledged, message = done.stdout.splitlines()
    assert "what was acknowledged is kept" in message
    assert len(acknowledged) > 20
    records = open_records(filled)
    records.check_whole()
    kept = [each.id.int for each in records.list_attempts(limit=None)]
    assert sorted(kept) == [*range(40), *map(int, acknowledged)]
