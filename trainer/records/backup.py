"""Back records up into a file, and restore them from one: row by row, compared by what was read back.

A backup is a records file of SQLite's, whatever the records are kept in. So it can be opened as it is, and
records can be moved from a file to a server and back.
"""

from __future__ import annotations

import hashlib
import shutil
import tempfile
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa

from models.spec.errors import RefusalError, SurroundingsError
from trainer.records.connection import make_damage, name_failures, sync_file, sync_folder
from trainer.records.opening import open_records
from trainer.records.schema import ATTEMPTS, CHAINS, HISTORY, METADATA, NAMES, PEOPLE
from trainer.records.store import Records

PORTION = 500
"""Rows written at a time."""
_IS_ERASED = PEOPLE.c.erased_utc.is_not(None)
# Chains are counted by their triggers as rows come in.
COPIED = tuple(table for table in METADATA.sorted_tables if table is not CHAINS)


@dataclass(frozen=True, slots=True)
class Restored:
    """What was restored: the rows of each table.

    is_sealed: the backup was compared with its seal. returned: names of people who had been erased since it was made.
    """

    rows: dict[str, int]
    is_sealed: bool
    returned: tuple[str, ...] = ()


def back_up(records: Records, file: Path) -> dict[str, int]:
    """Copy all records into a new file while others go on using them, and compare it with what can be read back.

    Returns:
        The rows copied of each table.

    Raises:
        RefusalError: the file is there already.
        SurroundingsError: something is damaged, or the file can't be written; none is left then.
    """
    with records.reading() as connection:
        records.check_rows(connection)
        return _write_file(connection, file)


def restore(records: Records, file: Path, keep: Path | None = None) -> Restored:
    """Put a backup in the place of all that is kept, whole or not at all; others wait meanwhile.

    Args:
        records: where to.
        file: the backup; it is read in a copy, and stays as it is. A seal beside it is compared first: chains
            tell of a change, but only the seal of one in the hour or the seed of an attempt, or with hashes made anew.
        keep: a new file for what is there now, written before anything is changed. Needed unless nothing is.

    Raises:
        RefusalError: there are records already, and `keep` names no file; or that file is there already.
        SurroundingsError: the backup is damaged, or what was read back differs; nothing is changed then.
    """
    from trainer.records.upgrade import upgrade_records

    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="pumpwright-")))
        copied = folder / file.name
        with name_failures(file):
            shutil.copyfile(file, copied)
        is_sealed = _check_seal(file, copied)
        try:
            backup = stack.enter_context(open_records(copied))
            source = stack.enter_context(backup.reading())
            backup.check_rows(source)
        except SurroundingsError as error:
            raise SurroundingsError(str(error).replace(str(copied), str(file))) from error
        target = stack.enter_context(records.replacing())
        if any(count_rows(target).values()):
            if keep is None:
                raise RefusalError(
                    f"There are records in {records.name} already. Name a new file for them, and they are kept "
                    "there before the backup takes their place."
                )
            _write_file(target, keep)
        erased = _list_traces(target, sa.select(PEOPLE.c.number).where(_IS_ERASED))
        drop_all(target)
        upgrade_records(target, records.name, None)
        copy_rows(source, target)
        if hash_rows(target) != hash_rows(source):
            raise records.place.make_damage("what was restored reads back otherwise")
        records.check_rows(target)
        return Restored(count_rows(target), is_sealed, _list_returned(target, erased))


def _write_file(source: sa.Connection, file: Path) -> dict[str, int]:
    """Write all rows into a new records file; it has its name only once it was read back and is on the disk."""
    if file.exists():
        raise RefusalError(f"There is a file {file} already. It is left as it is; name another.")
    part = file.with_name(f"{file.name}.part")
    with name_failures(part):
        _take_away(part)
    try:
        with open_records(part) as copy:
            part.chmod(0o600)  # whose records these are is for nobody else to read
            with copy.writing() as target:
                copy_rows(source, target)
            with copy.reading() as target:
                copy.check_rows(target)
                if hash_rows(target) != hash_rows(source):
                    raise copy.place.make_damage("what was written reads back otherwise")
                counts = count_rows(target)
        with name_failures(file):
            file.touch(exist_ok=False)  # so that the place of a file made meanwhile is not taken
            # The line that `sha256sum --check` reads.
            seal = _find_seal(file)
            seal.write_text(f"{_hash_file(part)}  {file.name}\n", encoding="utf-8")
            sync_file(seal)  # half a seal would call a sound backup damaged
            part.replace(file)
            sync_folder(file.absolute().parent)
    finally:
        _take_away(part)
    return counts


def _find_seal(file: Path) -> Path:
    return file.with_name(f"{file.name}.sha256")


def _hash_file(file: Path) -> str:
    with file.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _check_seal(file: Path, copied: Path) -> bool:
    """Compare a copy of a backup with the seal beside the backup; false where there is none."""
    seal = _find_seal(file)
    with name_failures(file):
        if not seal.exists():
            return False
        text = seal.read_text(encoding="utf-8", errors="replace")
    if text.split()[:1] != [_hash_file(copied)]:
        raise make_damage(file, f"it is not as it was backed up: {seal.name} says otherwise")
    return True


def _take_away(part: Path) -> None:
    """Take away a file that was not finished, with its journal: a later one must not be mended by it."""
    for ending in ("", "-journal", "-wal", "-shm"):
        part.with_name(part.name + ending).unlink(missing_ok=True)


def copy_rows(source: sa.Connection, target: sa.Connection) -> None:
    """Copy all rows into tables that are empty. Sources are read in order, so that chains come as they grew."""
    for table in COPIED:
        for rows in _list_rows(source, table).partitions(PORTION):
            target.execute(table.insert(), [dict(row) for row in rows])


def hash_rows(connection: sa.Connection) -> str:
    """Make one hash of all rows of all tables: equal only when nothing differs."""
    whole = hashlib.sha256()
    for table in METADATA.sorted_tables:
        whole.update(table.name.encode())
        for row in _list_rows(connection, table):
            # repr tells 1 from 1.0; floats are written so that they read back the same.
            whole.update(repr(sorted(row.items())).encode("utf-8", "surrogatepass"))
    return whole.hexdigest()


def count_rows(connection: sa.Connection) -> dict[str, int]:
    """Count the rows of each table, but for what triggers keep by themselves."""
    return {
        table.name: connection.scalar(sa.select(sa.func.count()).select_from(table)) or 0
        for table in COPIED
    }


def drop_all(connection: sa.Connection) -> None:
    """Take away all tables with their triggers, inside the transaction that lays them anew."""
    METADATA.drop_all(connection)
    connection.exec_driver_sql("DROP TABLE alembic_version")
    if connection.dialect.name == "postgresql":
        for name in _list_functions(connection):
            connection.exec_driver_sql(f'DROP FUNCTION "{name}"()')


def _list_traces(
    connection: sa.Connection, people: sa.Select[tuple[int]]
) -> set[tuple[int, str, str]]:
    """List by what else than a name people can be told: number, what of theirs is there, and the id or hash of it."""
    attempts = sa.select(ATTEMPTS.c.person_number, sa.literal("attempt"), ATTEMPTS.c.id)
    entries = sa.select(NAMES.c.person_number, NAMES.c.role, HISTORY.c.hash).join_from(
        NAMES, HISTORY
    )
    mine = attempts.where(ATTEMPTS.c.person_number.in_(people))
    named = entries.where(NAMES.c.person_number.in_(people))
    return {
        (number, what, str(id_))
        for number, what, id_ in (*connection.execute(mine), *connection.execute(named))
    }


def _list_returned(connection: sa.Connection, erased: set[tuple[int, str, str]]) -> tuple[str, ...]:
    """List who was erased elsewhere by these traces, and is not erased here."""
    kept = sa.select(PEOPLE.c.number, PEOPLE.c.name).where(sa.not_(_IS_ERASED))
    back = {
        number
        for number, *_ in erased & _list_traces(connection, sa.select(kept.subquery().c.number))
    }
    return tuple(
        name
        for number, name in connection.execute(kept.order_by(PEOPLE.c.number))
        if number in back
    )


def _list_rows(connection: sa.Connection, table: sa.Table) -> sa.MappingResult:
    wanted = sa.select(table).order_by(*table.primary_key.columns)
    return connection.execute(wanted.execution_options(yield_per=PORTION)).mappings()


def _list_functions(connection: sa.Connection) -> list[str]:
    """List the functions of our triggers in the schema that is used: each is named by the table it looks after."""
    found = connection.exec_driver_sql(
        "SELECT proname FROM pg_proc WHERE pronamespace = current_schema()::regnamespace"
        " AND prorettype = 'trigger'::regtype"
    ).scalars()
    ours = tuple(f"check_{table}_" for table in METADATA.tables)
    own = {"refuse_change", "check_next_sheet", *(f"count_{table}" for table in METADATA.tables)}
    return [name for name in found if name in own or name.startswith(ours)]
