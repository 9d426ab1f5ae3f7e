"""Records in a PostgreSQL database: the way there, what its settings must be, and what its failures mean.

A password never gets into a message: the place is told without it, parameters are hidden, and a URL that
cannot be read is not repeated.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa

from models.spec.errors import SurroundingsError

# One writer at a time, as with a file: numbers follow each other and chains cannot fork. Any number will do,
# as long as no other program in the database uses it; this one spells "pump".
WRITE_LOCK = 0x70756D70
REACH_S = 10

_LATER = "Try again; what was acknowledged is kept"
_ASK = "Ask whoever looks after the server"
# First signs of the SQLSTATE (PostgreSQL manual, appendix A) → what happened, and what to do.
_MEANINGS: dict[str, tuple[str, str]] = {
    "08": ("the server cannot be reached", "Check its name and the network, and try again"),
    "28": ("the server refuses this user or password", "Check both; a password may stand in ~/.pgpass"),
    "3D": ("there is no such database", f"Check its name; it is made by `createdb`. {_ASK}"),
    "3F": ("there is no such schema", f"Check the URL. {_ASK}"),
    "42501": ("this user may not do that", f"{_ASK}: it takes the right to read, insert and update"),
    "53": ("the server is short of room or connections", _LATER),
    "55P03": ("another program kept it locked", "Close the other program and try again"),
    "57": ("the server was stopped", _LATER),
    "58": ("the server's disk failed", f"{_ASK}; what was acknowledged is kept"),
    "25006": ("it may only be read", "Name the server that is written to, not its copy"),
    "40": ("two programs were in each other's way", _LATER),
    "XX001": ("it is damaged", f"{_ASK}: put back a backup"),
    "XX002": ("it is damaged", f"{_ASK}: put back a backup"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class PostgresDatabase:
    """A database on a server. wait_s: how long to wait for another program's lock, s."""

    url: sa.URL
    wait_s: float

    @property
    def name(self) -> str:
        """The address, without user's password and without parameters, which may hold another."""
        host = self.url.query.get("host", "")
        bare = self.url._replace(
            drivername="postgresql", password=None, query=sa.util.immutabledict({})
        )
        name = bare.render_as_string(hide_password=True)
        return f"{name} ({host if isinstance(host, str) else host[0]})" if host else name

    def make_ready(self) -> None:
        """Nothing has to be made: who owns the server makes the database."""

    def make_engine(self, *, opening: bool) -> sa.Engine:
        """Make the way there. Every transaction opens its own connection, as with a file: none is left behind."""
        del opening
        engine = sa.create_engine(
            self.url,
            poolclass=sa.NullPool,
            hide_parameters=True,
            connect_args={
                "connect_timeout": REACH_S,
                "application_name": "pumpwright",
                "client_encoding": "utf8",
            },
        )

        @sa.event.listens_for(engine, "connect")
        def connect(connection: sa.engine.interfaces.DBAPIConnection, _: object) -> None:
            cursor = connection.cursor()
            cursor.execute(f"SET lock_timeout = {round(self.wait_s * 1000)}")
            # Acknowledged means on the disk: a server set otherwise is set right for what we write.
            cursor.execute("SHOW synchronous_commit")
            if cursor.fetchall() == [("off",)]:
                cursor.execute("SET synchronous_commit = on")
            cursor.close()
            connection.commit()

        @sa.event.listens_for(engine, "begin")
        def begin(connection: sa.Connection) -> None:
            if connection.get_execution_options().get("writes", False):
                connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL READ COMMITTED")
                connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({WRITE_LOCK})")
            else:
                # All that one transaction reads is of one moment, as with a file.
                connection.exec_driver_sql(
                    "SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY"
                )

        return engine

    @contextmanager
    def name_failures(self) -> Iterator[None]:
        """Turn what fails outside the program into a SurroundingsError that names the server and the remedy."""
        try:
            yield
        except sa.exc.DBAPIError as error:
            meaning = _find_meaning(error)
            if meaning is None:
                raise
            # `from None`: the cause's own text may repeat what it was told to connect with.
            raise self.make_failure(*meaning) from None

    def make_failure(self, what: str, remedy: str) -> SurroundingsError:
        """Word a failure."""
        return SurroundingsError(f"The records {self.name} cannot be used: {what}. {remedy}.")

    def make_damage(self, what: str) -> SurroundingsError:
        """Word damage."""
        return self.make_failure(
            f"{what}. Nothing in it was changed", "Put back a copy that works, or name another"
        )

    def list_tables(self, connection: sa.Connection) -> set[str]:
        """List the tables in the schema that is used, or raise where there is none."""
        schema = connection.exec_driver_sql("SELECT current_schema()").scalar()
        if schema is None:
            raise self.make_failure(*_MEANINGS["3F"])
        found = connection.execute(
            sa.text("SELECT tablename FROM pg_tables WHERE schemaname = :schema"),
            {"schema": schema},
        )
        return set(found.scalars())

    def check_settings(self, engine: sa.Engine) -> None:
        """Check that the server keeps what it acknowledges, knows every letter, and may be written."""
        with engine.connect() as connection:

            def show(name: str) -> str:
                return str(connection.exec_driver_sql(f"SHOW {name}").scalar())

            for name in ("fsync", "full_page_writes"):
                if show(name) != "on":
                    raise self.make_failure(
                        f"its server runs with {name} off, so that a power cut could lose what was acknowledged",
                        f"{_ASK}: {name} must be on",
                    )
            if show("server_encoding") != "UTF8":
                raise self.make_failure(
                    f"it is kept in {show('server_encoding')}, which lacks letters that names need",
                    f"{_ASK}: the database must be made with UTF8",
                )
            if connection.exec_driver_sql("SELECT pg_is_in_recovery()").scalar():
                raise self.make_failure(*_MEANINGS["25006"])
            may = "SELECT has_table_privilege('attempts', 'INSERT')"
            if not connection.exec_driver_sql(may).scalar():
                raise self.make_failure(*_MEANINGS["42501"])

    def check_pages(self, connection: sa.Connection) -> None:
        """Nothing can be asked below the rows: the server says so itself when a page is bad."""

    def check_links(self, connection: sa.Connection) -> None:
        """Nothing need be asked: the server holds links together."""

    def settle(self) -> None:
        """Nothing is open: the server acknowledges only what is on its disk."""

    def scrub(self, engine: sa.Engine) -> None:
        """Have the tables written anew without what was freed in them."""
        raw = engine.raw_connection()
        driver: Any = raw.driver_connection
        try:
            driver.autocommit = True
            with driver.cursor() as cursor:
                for table in ("people", "attempts", "history_names", "sheets"):
                    [before] = cursor.execute(f"SELECT pg_relation_filenode('{table}')").fetchall()
                    cursor.execute(f"VACUUM (FULL) {table}")
                    [after] = cursor.execute(f"SELECT pg_relation_filenode('{table}')").fetchall()
                    # Who does not own a table is only warned, and the table is passed over.
                    if before == after:
                        raise self.make_failure(
                            f"this user may not have the table {table} written anew",
                            f"{_ASK}: its owner says VACUUM FULL",
                        )
        finally:
            raw.invalidate()
            raw.close()


def read_url(text: str, wait_s: float) -> PostgresDatabase:
    """Read the URL of a database.

    Raises:
        SurroundingsError: it cannot be read; it is not repeated, for it may hold a password.
    """
    try:
        url = sa.make_url(text).set(drivername="postgresql+psycopg")
    except (sa.exc.ArgumentError, ValueError):
        url = None
    if url is None or not url.database:
        raise SurroundingsError(
            "The address of the records cannot be read: write it as postgresql://user@host:port/database. "
            "What is not a letter or a digit in a password is written in percent signs."
        ) from None
    return PostgresDatabase(url, wait_s)


def _find_meaning(error: sa.exc.DBAPIError) -> tuple[str, str] | None:
    state = getattr(error.orig, "sqlstate", None)
    if state is None:
        # Without a state the server was not reached, or went away; anything else is a bug of ours.
        if not isinstance(error, sa.exc.OperationalError):
            return None
        text = str(error.orig)
        if "password" in text or "authentication" in text:
            return _MEANINGS["28"]
        return _MEANINGS["3D"] if "does not exist" in text else _MEANINGS["08"]
    return _MEANINGS.get(state) or _MEANINGS.get(state[:2])
