"""Record attempts and bench sheets so that what is acknowledged stays, and read them back."""

from __future__ import annotations

import json
import os
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Self
from uuid import UUID

import platformdirs
import sqlalchemy as sa

from models.spec.errors import RefusalError
from trainer.records.attempt import (
    Attempt,
    check_person_name,
    find_differences,
)
from trainer.records.connection import (
    JOURNAL_MODE,
    make_damage,
    make_engine,
    make_failure,
    make_folder,
    name_failures,
    sync_folder,
)
from trainer.records.plain_json import make_json_text, make_time_text
from trainer.records.schema import ATTEMPTS, NEWEST_REVISION, PEOPLE
from trainer.records.sheet import FiledSheet, Sheet, SheetChain
from trainer.records.sheet_rows import (
    add_row,
    check_rows,
    find_row,
    find_sheet_differences,
    list_rows,
)

FILE_NAME = "records.sqlite3"
WAIT_S = 30.0


class Records:
    """The attempts and sheets in one file. May be used from several threads and processes at once."""

    def __init__(self, path: Path, engine: sa.Engine) -> None:
        self.path = path
        self._engine = engine

    def add_attempt(self, attempt: Attempt) -> None:
        """Record an attempt. When this returns, it is on the disk; when it raises, try again with the same attempt.

        Recording the same attempt again changes nothing.

        Raises:
            RefusalError: another attempt was recorded under this id; it is left as it is.
            SurroundingsError: the file can't be written: disk, rights, a lock that isn't released, damage.
        """
        with (
            name_failures(self.path),
            self._engine.execution_options(writes=True).begin() as connection,
        ):
            row = connection.execute(_SELECT.where(ATTEMPTS.c.id == str(attempt.id))).one_or_none()
            if row is None:
                person_number = _find_or_add_person(connection, attempt.person)
                connection.execute(ATTEMPTS.insert().values(_make_row(attempt, person_number)))
                return
            recorded = self._read_row(row)
            # Whoever recorded it may have been killed before the journal's removal was synced; see connection.py.
            sync_folder(self.path.parent)
        differing = find_differences(attempt, recorded)
        if differing:
            raise RefusalError(
                f"Attempt {attempt.id} is already recorded with another {', '.join(differing)}."
            )

    def list_attempts(
        self,
        person: str | None = None,
        limit: int | None = 100,
        *,
        kind: str | None = None,
        item: str | None = None,
        lesson: str | None = None,
        since: datetime | None = None,
    ) -> tuple[Attempt, ...]:
        """List attempts, the latest first; of equal times, the one recorded last comes first.

        Args:
            person: only this person's; the name as typed.
            limit: at most so many; nothing for all.
            kind: only of this kind of question.
            item: only of this item, KIND/SUBJECT.
            lesson: only of this lesson.
            since: only from this moment on.
        """
        wanted = _SELECT.order_by(ATTEMPTS.c.when_utc.desc(), ATTEMPTS.c.number.desc()).limit(limit)
        if person is not None:
            wanted = wanted.where(PEOPLE.c.name == check_person_name(person))
        if item is not None:
            kind, _, subject = item.partition("/")
            wanted = wanted.where(ATTEMPTS.c.subject == subject)
        if kind is not None:
            wanted = wanted.where(ATTEMPTS.c.kind == str(kind))
        if lesson is not None:
            wanted = wanted.where(ATTEMPTS.c.lesson == lesson)
        if since is not None:
            wanted = wanted.where(ATTEMPTS.c.when_utc >= make_time_text(since))
        with name_failures(self.path), self._engine.connect() as connection:
            return tuple(self._read_row(row) for row in connection.execute(wanted))

    def list_people(self) -> tuple[str, ...]:
        """List the names under which attempts are kept, in the order they were first typed."""
        with name_failures(self.path), self._engine.connect() as connection:
            return tuple(connection.scalars(sa.select(PEOPLE.c.name).order_by(PEOPLE.c.number)))

    def add_sheet(self, sheet: Sheet) -> FiledSheet:
        """File a sheet after the newest. When this returns, it is on the disk; when it raises, try again with the same.

        Filing the same sheet again changes nothing, and gives the place it has.

        Raises:
            RefusalError: another sheet is filed under this id, or the one to be corrected is not there or has
                been corrected already.
            SurroundingsError: the file can't be written: disk, rights, a lock that isn't released, damage.
        """
        with (
            name_failures(self.path),
            self._engine.execution_options(writes=True).begin() as connection,
        ):
            filed = self._read_sheet(connection, sheet.id)
            if filed is None:
                return add_row(connection, sheet)
            # Whoever filed it may have been killed before the journal's removal was synced; see connection.py.
            sync_folder(self.path.parent)
        differing = find_sheet_differences(sheet, filed.sheet)
        if differing:
            raise RefusalError(
                f"Sheet {sheet.id} is already filed with another {', '.join(differing)}."
            )
        return filed

    def find_sheet(self, sheet_id: UUID) -> FiledSheet:
        """Find a filed sheet. Raises RefusalError when none has this id."""
        with name_failures(self.path), self._engine.connect() as connection:
            filed = self._read_sheet(connection, sheet_id)
        if filed is None:
            raise RefusalError(f"No sheet {sheet_id} is filed; list the sheets to see their ids.")
        return filed

    def list_sheets(self, limit: int | None = 100) -> tuple[FiledSheet, ...]:
        """List filed sheets, the newest first; at most `limit`, nothing for all."""
        with name_failures(self.path), self._engine.connect() as connection:
            try:
                return list_rows(connection, limit)
            except (ValueError, TypeError, AttributeError, RefusalError) as error:
                raise make_damage(self.path, f"a sheet can't be read ({error})") from error

    def check_sheets(self) -> SheetChain:
        """Check that no filed sheet was changed, taken out or moved since; says which is the first that disagrees.

        A file whose every later hash was made anew, too, agrees with itself: then only a hash on paper tells.
        """
        with name_failures(self.path), self._engine.connect() as connection:
            return check_rows(connection)

    def _read_sheet(self, connection: sa.Connection, sheet_id: UUID) -> FiledSheet | None:
        try:
            return find_row(connection, sheet_id)
        except (ValueError, TypeError, AttributeError, RefusalError) as error:
            raise make_damage(self.path, f"sheet {sheet_id} can't be read ({error})") from error

    def check_whole(self) -> None:
        """Read every page and every row, and check the chain of the sheets.

        Raises:
            SurroundingsError: something is damaged; says what.
        """
        with name_failures(self.path), self._engine.connect() as connection:
            faults = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
            if faults != ["ok"]:
                raise make_damage(self.path, f"it is damaged: {'; '.join(map(str, faults[:5]))}")
            chain = check_rows(connection)
            if not chain.is_whole:
                raise make_damage(self.path, f"sheet {chain.first_wrong} is not as it was filed")
            orphans = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
            if orphans:
                raise make_damage(
                    self.path, f"it is damaged: {len(orphans)} attempts have no person"
                )
            for row in connection.execute(_SELECT):
                self._read_row(row)

    def close(self) -> None:
        """Let go of the file. Nothing is pending: each attempt was on the disk when it was acknowledged."""
        self._engine.dispose()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def _read_row(self, row: sa.Row[Any]) -> Attempt:
        try:
            return Attempt(
                id=UUID(row.id),
                person=row.name,
                when=datetime.fromisoformat(row.when_utc),
                kind=row.kind,
                build=row.build,
                options=json.loads(row.options_json),
                question=row.question,
                answer=json.loads(row.answer_json),
                result=json.loads(row.result_json),
                score=row.score,
                lesson=row.lesson,
                subject=row.subject,
                seed=row.seed,
                seconds=row.seconds,
                marks=json.loads(row.marks_json),
            )
        except (ValueError, TypeError, AttributeError, RefusalError) as error:
            raise make_damage(self.path, f"attempt {row.number} can't be read ({error})") from error


def find_records_path() -> Path:
    """Find where this user's records lie, whether or not they exist yet."""
    return platformdirs.user_data_path("pumpwright", appauthor=False) / FILE_NAME


def open_records(path: Path | None = None, *, wait_s: float = WAIT_S) -> Records:
    """Open the records; begin them where there are none, bring an older file to the newest schema.

    Args:
        path: the file; by default the one in the user's data folder.
        wait_s: how long to wait for another program's lock, s.

    Raises:
        SurroundingsError: the file is newer than this program, damaged, another program's, or can't be written.
            It is left as it is.
    """
    path = (find_records_path() if path is None else path).absolute()
    with name_failures(path):
        make_folder(path.parent)
        engine = make_engine(path, opening=True, wait_s=wait_s)
        with engine.connect() as connection:
            revision = _find_revision(connection, path)
        if revision != NEWEST_REVISION:
            from trainer.records.upgrade import upgrade_records

            with engine.execution_options(writes=True).begin() as connection:
                # Read again: another process may have upgraded it while this one waited for the lock.
                revision = _find_revision(connection, path)
                upgrade_records(connection, path, revision)
        _check_settings(engine, path)
    return Records(path, make_engine(path, opening=False, wait_s=wait_s))


def _check_settings(engine: sa.Engine, path: Path) -> None:
    """Check that the file takes the journal that the promise rests on, and may be written at all."""
    raw = (
        engine.raw_connection()
    )  # The journal can't be changed inside a transaction, and SQLAlchemy begins one.
    try:
        cursor = raw.cursor()
        cursor.execute(f"PRAGMA journal_mode={JOURNAL_MODE}")
        [(mode,)] = cursor.fetchall()
        cursor.close()
    finally:
        raw.close()
    if mode.upper() != JOURNAL_MODE:
        raise make_failure(
            path, f"its journal stays in mode {mode}", "Close other programs that use the file"
        )
    # On a read-only file SQLite takes a read lock for a write lock in silence; only a writing statement fails, and
    # this one writes nothing.
    with engine.execution_options(writes=True).begin() as connection:
        connection.execute(PEOPLE.delete().where(sa.false()))
    # The journal is made beside the file at the first true write; better to learn that now than after the exercise.
    if not os.access(path.parent, os.W_OK, effective_ids=os.access in os.supports_effective_ids):
        raise make_failure(path, "its folder may not be written", "Allow writing to the folder")


def _find_revision(connection: sa.Connection, path: Path) -> str | None:
    """Find the schema's revision; nothing for an empty file. Another program's tables are refused."""
    tables = set(connection.exec_driver_sql("SELECT name FROM sqlite_master").scalars())
    if not tables:
        # SQLite takes a file shorter than its header for an empty one and would write over it.
        if path.stat().st_size > 0:
            raise make_damage(path, "it is damaged, or no records file")
        return None
    if "alembic_version" not in tables:
        raise make_damage(path, "it is another program's database")
    revisions = (
        connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalars().all()
    )
    if len(revisions) != 1:
        raise make_damage(path, f"its schema has {len(revisions)} revisions instead of one")
    return str(revisions[0])


def _find_or_add_person(connection: sa.Connection, name: str) -> int:
    number = connection.scalar(sa.select(PEOPLE.c.number).where(PEOPLE.c.name == name))
    if number is None:
        number = connection.scalar(PEOPLE.insert().values(name=name).returning(PEOPLE.c.number))
    return int(number)


def _make_row(attempt: Attempt, person_number: int) -> dict[str, object]:
    return {
        "id": str(attempt.id),
        "person_number": person_number,
        "when_utc": make_time_text(attempt.when),
        "kind": attempt.kind,
        "build": attempt.build,
        "options_json": make_json_text(attempt.options),
        "question": attempt.question,
        "answer_json": make_json_text(attempt.answer),
        "result_json": make_json_text(attempt.result),
        "score": attempt.score,
        "lesson": attempt.lesson,
        "subject": attempt.subject,
        "seed": attempt.seed,
        "seconds": attempt.seconds,
        "marks_json": make_json_text(attempt.marks),
    }


_SELECT = sa.select(ATTEMPTS, PEOPLE.c.name).join_from(ATTEMPTS, PEOPLE)
