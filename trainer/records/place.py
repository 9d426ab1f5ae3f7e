"""Where records are kept: what a file and a database on a server have in common, and which of them is meant."""

from __future__ import annotations

import os
from contextlib import AbstractContextManager
from pathlib import Path
from typing import Protocol

import platformdirs
import sqlalchemy as sa

from models.spec.errors import SurroundingsError
from trainer.records.chosen import VARIABLE

FILE_NAME = "records.sqlite3"
WAIT_S = 30.0
_SCHEMES = ("postgresql", "postgres", "postgresql+psycopg")


class Place(Protocol):
    """Where records are kept. Every transaction of its engine with `writes=True` waits for the one before it."""

    @property
    def name(self) -> str:
        """Where it is, as told to a person: never with a password."""

    def make_ready(self) -> None:
        """Make what must be there before anything can be opened."""

    def make_engine(self, *, opening: bool) -> sa.Engine:
        """Make the way there. opening: may begin anew, and change the schema."""

    def name_failures(self) -> AbstractContextManager[None]:
        """Turn what fails outside the program into a SurroundingsError that names the place and the remedy."""

    def make_failure(self, what: str, remedy: str) -> SurroundingsError:
        """Word a failure: what happened, and the remedy."""

    def make_damage(self, what: str) -> SurroundingsError:
        """Word damage that was found."""

    def list_tables(self, connection: sa.Connection) -> set[str]:
        """List the tables that are there."""

    def check_settings(self, engine: sa.Engine) -> None:
        """Check that it may be written, and keeps what it acknowledges."""

    def check_pages(self, connection: sa.Connection) -> None:
        """Check what lies below the rows, as far as that can be asked."""

    def check_links(self, connection: sa.Connection) -> None:
        """Check that every row finds the rows it names, where nothing else holds that."""

    def settle(self) -> None:
        """Make sure that what another program wrote here outlasts a power cut."""

    def scrub(self, engine: sa.Engine) -> None:
        """Overwrite what erased rows leave behind."""


def find_records_path() -> Path:
    """Find where this user's own records lie, whether or not they exist yet."""
    return platformdirs.user_data_path("pumpwright", appauthor=False) / FILE_NAME


def find_place(where: Path | str | None = None, *, wait_s: float = WAIT_S) -> Place:
    """Find the place that is meant.

    Args:
        where: a file, or the URL of a PostgreSQL database; by default what PUMPWRIGHT_RECORDS says, else the
            file in the user's data folder.
        wait_s: how long to wait for another program's lock, s.

    Raises:
        SurroundingsError: the URL cannot be read.
    """
    if where is None:
        where = os.environ.get(VARIABLE) or find_records_path()
    if isinstance(where, str) and where.split("://")[0] in _SCHEMES:
        from trainer.records.postgresql import read_url

        return read_url(where, wait_s)
    if isinstance(where, str) and "://" in where:
        # Only the scheme is told: the rest may hold a password.
        msg = (
            f"Records cannot be kept at a {where.split('://')[0]} address: name a file, or a database as "
            "postgresql://user@host/database."
        )
        raise SurroundingsError(msg)
    from trainer.records.sqlite_file import SqliteFile

    return SqliteFile(Path(where).absolute(), wait_s)
