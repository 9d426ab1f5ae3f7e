"""Open the records, begin them where there are none, bring older ones to the newest schema."""

from __future__ import annotations

from pathlib import Path

import sqlalchemy as sa

from trainer.records.place import WAIT_S, Place, find_place
from trainer.records.schema import NEWEST_REVISION
from trainer.records.store import Records


def open_records(where: Path | str | None = None, *, wait_s: float = WAIT_S) -> Records:
    """Open the records; begin them where there are none, bring older ones to the newest schema.

    Args:
        where: a file, or the URL of a PostgreSQL database; by default what PUMPWRIGHT_RECORDS says, else the
            file in the user's data folder.
        wait_s: how long to wait for another program's lock, s.

    Raises:
        SurroundingsError: they are newer than this program, damaged, another program's, or can't be reached or
            written. They are left as they are.
    """
    place = find_place(where, wait_s=wait_s)
    with place.name_failures():
        place.make_ready()
        engine = place.make_engine(opening=True)
        try:
            with engine.connect() as connection:
                revision = find_revision(connection, place)
            if revision != NEWEST_REVISION:
                from trainer.records.upgrade import upgrade_records

                with engine.execution_options(writes=True).begin() as connection:
                    # Read again: another process may have upgraded it while this one waited for the lock.
                    revision = find_revision(connection, place)
                    upgrade_records(connection, place.name, revision)
            place.check_settings(engine)
        finally:
            engine.dispose()
    return Records(place, place.make_engine(opening=False))


def find_revision(connection: sa.Connection, place: Place) -> str | None:
    """Find the schema's revision; nothing where there is no table yet. Another program's tables are refused."""
    tables = place.list_tables(connection)
    if not tables:
        return None
    if not {"alembic_version", "people", "attempts"} <= tables:
        raise place.make_damage("it is another program's database")
    found = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalars().all()
    if len(found) != 1:
        raise place.make_damage(f"its schema has {len(found)} revisions instead of one")
    return str(found[0])
