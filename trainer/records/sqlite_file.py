"""Records in one SQLite file: which journal it takes, what it is checked for, and how it is scrubbed."""

from __future__ import annotations

import ctypes
import os
import sqlite3
import sys
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa

from models.spec.errors import SurroundingsError
from trainer.records.connection import (
    MEANINGS,
    make_damage,
    make_engine,
    make_failure,
    make_folder,
    name_failures,
    sync_file,
    sync_folder,
)

# A write-ahead log lets a class be read while it is written, but needs two things. The folder must be on this
# machine, for the log's index is shared memory. And SQLite must be without "The WAL-Reset Bug" (sqlite.org/wal.html),
# by which two processes that write and reset the log at once can damage the file: mended in 3.51.3; Debian 12 has
# 3.40.1, and the window and a class do write at once. Where either is missing the file keeps a rollback journal:
# one file, sound on a network drive with sound locks, readers waiting for a writer.
MENDED_SQLITE = (3, 51, 3)
LOCAL_FILE_SYSTEMS = frozenset(
    {"apfs", "bcachefs", "btrfs", "ext2", "ext3", "ext4", "f2fs", "jfs", "overlay", "tmpfs", "xfs", "zfs"}
)  # fmt: skip
_FIXED_DRIVE = 3  # what GetDriveTypeW of Windows calls a disk of this machine


@dataclass(frozen=True, slots=True)
class SqliteFile:
    """A file of records. wait_s: how long to wait for another program's lock, s."""

    path: Path
    wait_s: float

    @property
    def name(self) -> str:
        """The file's path."""
        return str(self.path)

    def make_ready(self) -> None:
        """Make its folder."""
        make_folder(self.path.parent)

    def make_engine(self, *, opening: bool) -> sa.Engine:
        """Make the way to it."""
        return make_engine(self.path, opening=opening, wait_s=self.wait_s)

    def name_failures(self) -> AbstractContextManager[None]:
        """Turn what fails outside the program into a SurroundingsError."""
        return name_failures(self.path)

    def make_failure(self, what: str, remedy: str) -> SurroundingsError:
        """Word a failure."""
        return make_failure(self.path, what, remedy)

    def make_damage(self, what: str) -> SurroundingsError:
        """Word damage."""
        return make_damage(self.path, what)

    def list_tables(self, connection: sa.Connection) -> set[str]:
        """List the tables in it, or raise for a file that is no database."""
        tables = set(connection.exec_driver_sql("SELECT name FROM sqlite_master").scalars())
        # SQLite takes a file shorter than its header for an empty one and would write over it.
        if not tables and self.path.stat().st_size > 0:
            raise self.make_damage("it is damaged, or no records file")
        return tables

    def check_settings(self, engine: sa.Engine) -> None:
        """Check that the file takes the journal that the promise rests on, and may be written at all."""
        wanted = find_journal(self.path.parent)
        # The journal can't be changed inside a transaction, and SQLAlchemy begins one.
        raw = engine.raw_connection()
        try:
            cursor = raw.cursor()
            cursor.execute(f"PRAGMA journal_mode={wanted}")
            [(mode,)] = cursor.fetchall()
            cursor.close()
        finally:
            raw.close()
        if mode.upper() != wanted:
            raise self.make_failure(
                f"its journal stays in mode {mode}", "Close other programs that use the file"
            )
        # On a read-only file SQLite takes a read lock for a write lock in silence; only a writing statement fails,
        # and this one writes nothing.
        with engine.execution_options(writes=True).begin() as connection:
            connection.exec_driver_sql("DELETE FROM alembic_version WHERE version_num = ''")
        # The journal is made beside the file at the first true write; better to learn that now than after the exercise.
        may_write = os.access(
            self.path.parent, os.W_OK, effective_ids=os.access in os.supports_effective_ids
        )
        if not may_write:
            raise self.make_failure("its folder may not be written", "Allow writing to the folder")

    def check_pages(self, connection: sa.Connection) -> None:
        """Check every page."""
        faults = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
        if faults != ["ok"]:
            raise self.make_damage(f"it is damaged: {'; '.join(map(str, faults[:5]))}")

    def check_links(self, connection: sa.Connection) -> None:
        """Check every link from row to row: another program may have written without holding them."""
        orphans = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
        if not orphans:
            return
        attempts = sum(row[0] == "attempts" for row in orphans)
        if attempts:
            raise self.make_damage(f"it is damaged: {attempts} attempts have no person")
        raise self.make_damage(f"it is damaged: {len(orphans)} rows name rows that are not there")

    def settle(self) -> None:
        """Wait until the journal's removal, or the log, is on the disk: whoever wrote may have been killed before it was."""
        log = self.path.with_name(f"{self.path.name}-wal")
        # Of the file itself no second handle may be opened: closing it lets go of all locks that this process holds on it.
        if log.exists():
            sync_file(log)
        sync_folder(self.path.parent)

    def scrub(self, engine: sa.Engine) -> None:
        """Write the file anew without what was freed in it."""
        raw = engine.raw_connection()
        try:
            raw.cursor().execute("VACUUM")
            [(is_busy, *_)] = raw.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
            if is_busy:  # told as an answer and not as a failure: the old pages still lie in the file, or in its log
                raise self.make_failure(*MEANINGS["BUSY"])
        finally:
            raw.close()
        self.settle()


def find_journal(folder: Path, version: tuple[int, int, int] = sqlite3.sqlite_version_info) -> str:
    """Find the journal that suits: WAL or DELETE, as SQLite calls them."""
    return "WAL" if version >= MENDED_SQLITE and is_local(folder) else "DELETE"


def is_local(folder: Path) -> bool:
    """Is the folder on a disk of this machine? What cannot be told is taken to be elsewhere."""
    if sys.platform == "win32":
        return bool(ctypes.windll.kernel32.GetDriveTypeW(folder.absolute().anchor) == _FIXED_DRIVE)
    mounts = Path("/proc/self/mountinfo")
    if not mounts.exists():
        return False
    return find_file_system(folder.resolve(), mounts.read_text("utf-8")) in LOCAL_FILE_SYSTEMS


def find_file_system(folder: Path, mounts: str) -> str:
    """Find what kind of file system a folder lies on, by Linux's list of mounts (proc(5), mountinfo); "" if none.

    Of two mounted at one place the later one counts, for it hides the other.
    """
    found, depth = "", -1
    for line in mounts.splitlines():
        before, _, after = line.partition(" - ")
        point = Path(before.split(" ")[4].encode().decode("unicode_escape"))
        if folder.is_relative_to(point) and len(point.parts) >= depth:
            found, depth = after.split(" ")[0], len(point.parts)
    return found
