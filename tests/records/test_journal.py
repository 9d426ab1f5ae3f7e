"""Which journal a file gets, and that both keep what is acknowledged."""

from __future__ import annotations

import sqlite3
import subprocess
from collections.abc import Callable
from pathlib import Path
from uuid import UUID

import pytest

from tests.records.samples import NOON, make_certificate, make_sheet, make_sign_off
from trainer.records import Attempt, open_records
from trainer.records.sqlite_file import find_file_system, find_journal

MakeAttempt = Callable[..., Attempt]
MOUNTS = """\
22 1 8:1 / / rw,relatime shared:1 - ext4 /dev/sda1 rw
31 22 0:27 / /depot/shop rw shared:2 - nfs4 depot:/shop rw
32 31 8:2 / /depot/shop/own\\040disk rw - xfs /dev/sdb1 rw
40 22 0:30 / /mnt rw - cifs //depot/all rw
41 22 8:3 / /mnt rw - btrfs /dev/sdc1 rw
"""


@pytest.mark.parametrize(
    ("folder", "kind"),
    [
        ("/depot/ann", "ext4"),
        ("/depot/shop", "nfs4"),
        ("/depot/shop/data", "nfs4"),
        ("/depot/shopping", "ext4"),
        ("/depot/shop/own disk/data", "xfs"),
        ("/mnt/data", "btrfs"),
    ],
)
def test_file_system_of_a_folder_is_that_of_the_nearest_mount(folder: str, kind: str) -> None:
    assert find_file_system(Path(folder), MOUNTS) == kind


def test_file_system_found_is_the_one_that_the_machine_tells(tmp_path: Path) -> None:
    """Held against df of coreutils."""
    told = subprocess.run(
        ["df", "--output=fstype", str(tmp_path)], capture_output=True, text=True, check=True
    ).stdout.split()[-1]
    assert find_file_system(tmp_path.resolve(), Path("/proc/self/mountinfo").read_text()) == told


@pytest.mark.parametrize(
    ("version", "is_here", "journal"),
    [
        ((3, 40, 1), True, "DELETE"),
        ((3, 51, 2), True, "DELETE"),
        ((3, 51, 3), True, "WAL"),
        ((3, 53, 0), True, "WAL"),
        ((3, 53, 0), False, "DELETE"),
    ],
)
def test_log_is_written_ahead_only_here_and_only_by_a_mended_sqlite(
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    version: tuple[int, int, int],
    is_here: bool,
    journal: str,
) -> None:
    monkeypatch.setattr("trainer.records.sqlite_file.is_local", lambda _: is_here)
    assert find_journal(tmp_path, version) == journal


def read_journal(path: Path) -> str:
    connection = sqlite3.connect(path)
    [(mode,)] = connection.execute("PRAGMA journal_mode").fetchall()
    connection.close()
    return str(mode)


def test_file_goes_from_one_journal_to_the_other_and_keeps_all(
    path: Path, attempt: MakeAttempt, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A newer SQLite and an older one, or a file carried to a network drive and back."""
    for number, journal in enumerate(("DELETE", "WAL", "DELETE", "WAL"), start=1):
        monkeypatch.setattr("trainer.records.sqlite_file.find_journal", lambda _, it=journal: it)
        with open_records(path) as records:
            assert read_journal(path) == journal.lower()
            records.add_attempt(attempt(number))
            records.check_whole()
            assert len(records.list_attempts()) == number
        assert [each.name for each in path.parent.iterdir()] == [path.name]


def test_log_lets_others_read_while_one_writes(
    path: Path, attempt: MakeAttempt, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("trainer.records.sqlite_file.find_journal", lambda _: "WAL")
    with open_records(path) as records, open_records(path, wait_s=0.01) as other:
        records.add_attempt(attempt(1))
        with records.writing() as connection:
            connection.exec_driver_sql("INSERT INTO people VALUES (9, 'Eve', NULL)")
            assert other.list_people() == ("Ann",)
        assert other.list_people() == ("Ann", "Eve")


@pytest.mark.skipif(not Path("/proc/self/fd").exists(), reason="needs Linux's list of open files")
@pytest.mark.parametrize("journal", ["DELETE", "WAL"])
def test_what_another_wrote_is_on_the_disk_before_it_is_acknowledged_again(
    path: Path, attempt: MakeAttempt, monkeypatch: pytest.MonkeyPatch, journal: str
) -> None:
    """Whoever wrote it may have been killed before its last sync: found there, it is synced, and only then acknowledged.

    SQLite syncs by itself, unseen from here: what is seen is what the program adds for a row that was there.
    """
    monkeypatch.setattr("trainer.records.sqlite_file.find_journal", lambda _: journal)
    synced: list[str] = []

    def watch(handle: int) -> None:
        synced.append(Path(f"/proc/self/fd/{handle}").readlink().name)

    with open_records(path) as records, records.reading() as connection:
        # Somebody reads meanwhile, so that a log is not put away.
        connection.exec_driver_sql("SELECT 1 FROM people")
        if journal == "DELETE":
            connection.rollback()
        acts = (
            lambda: records.add_attempt(attempt(1)),
            lambda: records.add_sheet(make_sheet(1)),
            lambda: records.add_sign_off(make_sign_off(2)),
            lambda: records.add_certificate(make_certificate(3, 2)),
            lambda: records.withdraw_certificate(UUID(int=3), UUID(int=4), NOON, "Dora Fenn", "?"),
        )
        for act in acts:
            act()
            synced.clear()
            with monkeypatch.context() as watching:
                watching.setattr("os.fsync", watch)
                act()
            log = [f"{path.name}-wal"] if journal == "WAL" else []
            assert synced == [*log, path.parent.name]
