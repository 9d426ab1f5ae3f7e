from __future__ import annotations

import itertools
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.records.samples import make_attempt
from tests.records.server import Server, find_programs, lend_server
from trainer.records import Attempt


@pytest.fixture(name="attempt")
def _attempt() -> Callable[..., Attempt]:
    return make_attempt


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "learner's own %20 folder" / "records.sqlite3"


class Ground:
    """A place where records are kept, and the way past the program for whoever owns it."""

    def __init__(self, where: Path | str, server: Server | None, schema: str) -> None:
        self.where = where
        self.server = server
        self.schema = schema
        self.is_unlocked = False

    def sql(self, *statements: str) -> list[tuple[object, ...]]:
        """Run statements past the program; gives what the last one found."""
        if self.server is not None:
            # As a replica the server asks no trigger and follows no link.
            role = "replica" if self.is_unlocked else "origin"
            settings = (
                f"SET search_path = {self.schema}",
                f"SET session_replication_role = {role}",
            )
            return self.server.sql(*settings, *statements)
        connection = sqlite3.connect(self.where, isolation_level=None)
        connection.execute("PRAGMA synchronous=OFF")
        try:
            for statement in statements:
                found = connection.execute(statement).fetchall()
            return found
        finally:
            connection.close()

    def unlock(self) -> None:
        """Take away what holds the rows as they were recorded."""
        self.is_unlocked = True
        if self.server is None:
            wanted = "SELECT name FROM sqlite_master WHERE type = 'trigger'"
            self.sql(*(f"DROP TRIGGER {name}" for (name,) in self.sql(wanted)))


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    programs = find_programs()
    if programs is None:
        pytest.skip("needs PostgreSQL: install postgresql")
    with lend_server(programs) as lent:
        yield lent


SCHEMAS = itertools.count(1)
# One worker has the server, so that there is one of it.
ON_SERVER = pytest.param("postgresql", marks=pytest.mark.xdist_group("postgresql"))


@pytest.fixture(params=["sqlite", ON_SERVER])
def ground(request: pytest.FixtureRequest, tmp_path: Path) -> Ground:
    """An empty place of either kind: what is asked of the one is asked of the other."""
    if request.param == "sqlite":
        return Ground(tmp_path / "learner's own %20 folder" / "records.sqlite3", None, "")
    server: Server = request.getfixturevalue("server")
    schema = f"depot_{next(SCHEMAS)}"
    server.sql(f"CREATE SCHEMA {schema}")
    return Ground(server.make_url(schema), server, schema)
