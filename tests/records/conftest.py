from __future__ import annotations

import itertools
import sqlite3
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

import pytest

from tests.records.server import Server, find_programs, lend_server
from trainer.records import Attempt, Json

KINDS = ("put-in-order", "point-out", "shim-thickness")
FIRST_MORNING = datetime(2024, 3, 4, 8, 30, tzinfo=UTC)


def make_attempt(number: int, person: str = "Ann", answer: Json = "casing-nut-1") -> Attempt:
    """Make the attempt with this number: the same each time, and unlike every other."""
    return Attempt(
        id=UUID(int=number),
        person=person,
        when=FIRST_MORNING + timedelta(minutes=number),
        kind=KINDS[number % len(KINDS)],
        build="end-suction/100-250",
        options={"bracket": "enclosed"},
        question=f"teardown-{number}",
        answer=[answer, number],
        result={"valid": number % 2 == 0, "steps": [{"piece": "casing-nut-1", "travel_mm": 12.5}]},
        score=None if number % 3 == 0 else 1 / number,
        lesson=f"first-strip-{number % 4}",
        subject=f"part-{number % 7}",
        seed=f"seed {number}",
        seconds=number / 7,
        marks={"what": 1.0, "why": number / 64},
    )


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
