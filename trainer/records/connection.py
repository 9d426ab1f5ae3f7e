"""Connections to a records file: how they are set, and what their failures mean to a person."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import sqlalchemy as sa

from models.spec.errors import SurroundingsError

# EXTRA and not FULL: with a rollback journal the commit is the journal's removal. FULL leaves that removal unsynced,
# so a power cut can bring the journal back, which undoes a commit already acknowledged.
# fullfsync matters on macOS alone, where a plain sync stops at the drive's cache.
SETTINGS: tuple[str, ...] = ("PRAGMA synchronous=EXTRA", "PRAGMA fullfsync=ON")

_KEPT = "Nothing in it was changed"
_PUT_BACK = "Put back a copy that works, or move the file away and a new one is begun"

# First part of SQLite's own error name → what happened, and what to do.
MEANINGS: dict[str, tuple[str, str]] = {
    "BUSY": ("another program kept it locked", "Close the other program and try again"),
    "LOCKED": ("another program kept it locked", "Close the other program and try again"),
    "CANTOPEN": (
        "it cannot be opened",
        "Check that its folder exists and that you may read and write there",
    ),
    "READONLY": ("it may not be written", "Allow writing to the file and to its folder"),
    "PERM": ("it may not be opened", "Allow reading and writing of the file and of its folder"),
    "FULL": ("the disk is full", "Make room and try again; what was acknowledged is kept"),
    "IOERR": (
        "the disk failed while it was read or written",
        "Check the disk; what was acknowledged is kept",
    ),
    "NOLFS": ("it is too large for this disk", "Move it to another disk"),
    "NOTADB": (f"it is damaged, or no records file. {_KEPT}", _PUT_BACK),
    "CORRUPT": (f"it is damaged. {_KEPT}", _PUT_BACK),
}


def make_engine(path: Path, *, opening: bool, wait_s: float) -> sa.Engine:
    """Make the way to a records file.

    Every transaction opens its own connection: nothing is shared by threads, nothing stays open when a caller
    forgets to close. A transaction of `engine.execution_options(writes=True)` takes the write lock at its start, so
    that two writers wait for each other instead of failing half-way.

    Args:
        path: the file.
        opening: may create the file, and leaves foreign keys off, as upgrading needs. Otherwise the file must exist.
        wait_s: how long to wait for another program's lock, s.
    """
    uri = f"{path.absolute().as_uri()}?mode={'rwc' if opening else 'rw'}"

    def connect() -> sqlite3.Connection:
        # isolation_level=None: sqlite3 then begins nothing by itself; `begin` below does, before any statement.
        connection = sqlite3.connect(
            uri, uri=True, timeout=wait_s, isolation_level=None, check_same_thread=False
        )
        for setting in (*SETTINGS, f"PRAGMA foreign_keys={'OFF' if opening else 'ON'}"):
            connection.execute(setting)
        return connection

    engine = sa.create_engine("sqlite://", creator=connect, poolclass=sa.NullPool)

    @sa.event.listens_for(engine, "begin")
    def begin(connection: sa.Connection) -> None:
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


@contextmanager
def name_failures(path: Path) -> Iterator[None]:
    """Turn what fails outside the program into a SurroundingsError that names the file and the remedy."""
    try:
        yield
    except (sqlite3.Error, sa.exc.DBAPIError) as error:
        cause = error.orig if isinstance(error, sa.exc.DBAPIError) else error
        meaning = _find_meaning(cause)
        if meaning is None:
            raise
        raise make_failure(path, *meaning) from error
    except UnicodeDecodeError as error:  # a name in the schema that SQLite's own message repeats
        raise make_damage(path, "it is damaged") from error
    except OSError as error:
        remedy = "Check that the folder exists and that you may read and write there"
        raise make_failure(path, error.strerror or str(error), remedy) from error


def make_failure(path: Path, what: str, remedy: str) -> SurroundingsError:
    """Word a failure with the file's path, what happened and the remedy."""
    return SurroundingsError(f"The records file {path} cannot be used: {what}. {remedy}.")


def make_damage(path: Path, what: str) -> SurroundingsError:
    """Word damage found in a file that SQLite itself can read."""
    return make_failure(path, f"{what}. {_KEPT}", _PUT_BACK)


def make_folder(folder: Path) -> None:
    """Make a folder that outlasts a power cut; a new one can be read by its owner alone."""
    if folder.is_dir():
        return
    make_folder(folder.parent)
    folder.mkdir(mode=0o700, exist_ok=True)
    sync_folder(folder.parent)


def sync_folder(folder: Path) -> None:
    """Wait until the names in a folder are on the disk."""
    if os.name == "nt":  # Windows opens no folders and keeps their names in its own journal.
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_file(path: Path) -> None:
    """Wait until what was written to a file is on the disk."""
    with path.open("rb+") as stream:
        os.fsync(stream.fileno())


def _find_meaning(cause: BaseException | None) -> tuple[str, str] | None:
    name = getattr(cause, "sqlite_errorname", None)
    if name is None:
        # The sqlite3 module itself, not SQLite: text that is no UTF-8 is damage, anything else a bug of ours.
        return MEANINGS["CORRUPT"] if "UTF-8" in str(cause) else None
    return MEANINGS.get(name.removeprefix("SQLITE_").split("_")[0])
