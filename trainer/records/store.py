"""Record attempts, bench sheets and the history so that what is acknowledged stays, and read them back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime
from types import TracebackType
from typing import Any, Self
from uuid import UUID

import sqlalchemy as sa

from models.spec.errors import RefusalError, SurroundingsError
from trainer.records import sign_off as sign_offs
from trainer.records.attempt import Attempt, check_person_name, find_differences
from trainer.records.attempt_rows import (
    SELECT,
    check_attempts,
    count_recorded,
    make_row,
    read_row,
    select_attempts,
)
from trainer.records.certificate import Certificate, FiledCertificate, Verified, read_code
from trainer.records.certified import (
    add_certificate_row,
    count_filed_rows,
    list_certificate_rows,
    list_sign_off_rows,
    verify_row,
    withdraw_row,
)
from trainer.records.chain import Chain
from trainer.records.entry import EntryKind, Role
from trainer.records.erasing import Erased, count_named, erase_rows
from trainer.records.exporting import export_rows
from trainer.records.history_rows import add_entry, check_entries, find_entry
from trainer.records.people_rows import (
    count_attempts,
    find_or_add_person,
    list_names,
    rename_person,
)
from trainer.records.place import Place
from trainer.records.plain_json import Json
from trainer.records.schema import ATTEMPTS
from trainer.records.sheet import FiledSheet, Sheet
from trainer.records.sheet_rows import (
    add_row,
    check_rows,
    find_row,
    find_sheet_differences,
    list_rows,
)
from trainer.records.sign_off import FiledSignOff, SignOff

_UNREADABLE = (ValueError, TypeError, AttributeError, KeyError, RefusalError, AssertionError)
"""What reading a row raises that no program of ours wrote."""


TIMES = ("when", "seconds")
"""What of an attempt is read off a clock."""


class Records:
    """All that is kept in one place. May be used from several threads and processes at once."""

    def __init__(self, place: Place, engine: sa.Engine) -> None:
        self.place = place
        self._engine = engine

    @property
    def name(self) -> str:
        """Where the records are kept, as told to a person: never with a password."""
        return self.place.name

    # ------------------------------------------------------------------ attempts and people
    def add_attempt(self, attempt: Attempt) -> None:
        """Record an attempt. When this returns, it is on the disk; when it raises, try again with the same attempt.

        Recording the same attempt again changes nothing, even when the clock has gone on since the first try.

        Raises:
            RefusalError: another attempt was recorded under this id; it is left as it is.
            SurroundingsError: it can't be written: disk, server, rights, a lock that isn't released, damage.
        """
        with self.writing() as connection:
            row = connection.execute(SELECT.where(ATTEMPTS.c.id == str(attempt.id))).one_or_none()
            if row is None:
                person = find_or_add_person(connection, attempt.person)
                connection.execute(ATTEMPTS.insert().values(make_row(connection, attempt, person)))
                return
            recorded = self._read_row(row)
            self.place.settle()
        # The clock went on between two tries; the first one stays.
        differing = [name for name in find_differences(attempt, recorded) if name not in TIMES]
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
        wanted = select_attempts(person, limit, kind=kind, item=item, lesson=lesson, since=since)
        with self.reading() as connection:
            return tuple(self._read_row(row) for row in connection.execute(wanted))

    def list_people(self) -> tuple[str, ...]:
        """List the names of people, in the order they were first typed; nobody who was erased."""
        with self.reading() as connection:
            return list_names(connection)

    def count_attempts(self) -> dict[str, int]:
        """Count the attempts of each person, by name, in the order the names were first typed."""
        with self.reading() as connection:
            return count_attempts(connection)

    def rename_person(self, old: str, new: str) -> None:
        """Give a person another name; what was signed under the old one keeps it.

        Raises:
            RefusalError: there is no such person, or somebody else has the new name.
        """
        with self.writing() as connection:
            rename_person(connection, old, new)

    def export_person(self, person: str) -> dict[str, Json]:
        """Give all that is kept of a person, as plain values. Raises RefusalError where nobody is kept by this name."""
        with self.reading() as connection:
            return export_rows(connection, person)

    def count_named(self, person: str) -> Erased:
        """Count what an erasure would touch. Raises RefusalError where nobody is kept by this name."""
        with self.reading() as connection:
            return count_named(connection, person)

    def erase_person(
        self, person: str, id_: UUID, when: datetime, *, sheets: bool = True
    ) -> Erased:
        """Erase a person's name and what was said of the person; attempts stay as nobody's, and all chains whole.

        Args:
            person: the name as typed.
            id_: of the history's entry of it, made by the caller.
            when: from the caller's clock.
            sheets: take the name off bench sheets, too, where it stands alone as a field.

        Raises:
            RefusalError: nobody is kept by this name.
            SurroundingsError: it could not be written; or it is erased, but what it left on the disk could not be
                overwritten: then `scrub` can be tried again.
        """
        with self.writing() as connection:
            erased = erase_rows(connection, person, id_, when, sheets=sheets)
        try:
            self.scrub()
        except SurroundingsError as error:
            raise SurroundingsError(
                f"The name is erased, but what it left on the disk is not overwritten yet: {error} "
                "Then do it by `pumpwright records scrub`."
            ) from error
        return erased

    def scrub(self) -> None:
        """Overwrite what erased names leave behind below the rows. It may be done as often as one likes."""
        with self.place.name_failures():
            self.place.scrub(self._engine)

    # ------------------------------------------------------------------ sign-offs and certificates
    def add_sign_off(self, sign_off: SignOff) -> FiledSignOff:
        """Keep a practical that was signed off; doing so again changes nothing. Raises as `add_attempt` does."""
        with self.writing() as connection:
            filed = add_entry(connection, sign_offs.make_entry(sign_off))
            self.place.settle()  # it may have been there
        return FiledSignOff(sign_off, filed.number, filed.hash, filed.now[Role.LEARNER])

    def find_sign_off(self, id_: UUID) -> FiledSignOff | None:
        """Find a sign-off by its id, with its place in the history; nothing where there is none."""
        with self.reading() as connection, self._naming("a sign-off"):
            filed = find_entry(connection, id_)
            if filed is None or filed.entry.kind is not EntryKind.SIGNED_OFF:
                return None
            return sign_offs.place_sign_off(filed)

    def list_sign_offs(self, person: str | None = None) -> tuple[SignOff, ...]:
        """List sign-offs, the newest first; only those of whoever is called so now, where one is named."""
        return tuple(filed.sign_off for filed in self.list_filed_sign_offs(person))

    def list_filed_sign_offs(self, person: str | None = None) -> tuple[FiledSignOff, ...]:
        """List sign-offs as `list_sign_offs` does, each with its place in the history."""
        name = None if person is None else check_person_name(person)
        with self.reading() as connection, self._naming("a sign-off"):
            return list_sign_off_rows(connection, name)[::-1]

    def add_certificate(self, certificate: Certificate) -> FiledCertificate:
        """Issue a certificate; doing so again changes nothing.

        Raises:
            RefusalError: what it rests on is not there, is another person's, or was not passed.
        """
        with self.writing() as connection:
            filed = add_certificate_row(connection, certificate)
            self.place.settle()
        return filed

    def list_certificates(self, person: str | None = None) -> tuple[FiledCertificate, ...]:
        """List certificates, the newest first; only those of whoever is called so now, where one is named."""
        name = None if person is None else check_person_name(person)
        with self.reading() as connection, self._naming("a certificate"):
            found = list_certificate_rows(connection)
        return tuple(one for one in reversed(found) if name is None or one.holder == name)

    def count_filed(self) -> tuple[Counter[str], Counter[str]]:
        """Count the practicals passed and the certificates held, by what people are called now."""
        with self.reading() as connection, self._naming("the history"):
            return count_filed_rows(connection)

    def withdraw_certificate(
        self, certificate: UUID, id_: UUID, when: datetime, person: str, why: str
    ) -> None:
        """Withdraw a certificate; its code then says so. person: who does. why: said of its holder.

        Raises:
            RefusalError: there is no such certificate, its holder was erased, or it was withdrawn before.
        """
        with self.writing() as connection:
            withdraw_row(connection, id_, when, certificate, person, why)
            self.place.settle()

    def verify_code(self, code: str, today: date) -> Verified:
        """Find out what the code on a certificate is worth today. Raises RefusalError for what is no code.

        The code follows from the certificate's hash, so one that was changed has another code. Whether the
        records themselves were changed is for `check_history`.
        """
        read_code(code)
        with self.reading() as connection, self._naming("a certificate"):
            return verify_row(connection, code, today)

    def check_history(self) -> Chain:
        """Check that no entry of the history and no name in it was changed, taken out or moved since."""
        with self.reading() as connection:
            return check_entries(connection)

    # ------------------------------------------------------------------ bench sheets
    def add_sheet(self, sheet: Sheet) -> FiledSheet:
        """File a sheet after the newest. When this returns, it is on the disk; when it raises, try again with the same.

        Filing the same sheet again changes nothing, and gives the place it has.

        Raises:
            RefusalError: another sheet is filed under this id, or the one to be corrected is not there or has
                been corrected already.
            SurroundingsError: the file can't be written: disk, rights, a lock that isn't released, damage.
        """
        with self.writing() as connection:
            with self._naming(f"sheet {sheet.id}"):
                filed = find_row(connection, sheet.id)
            if filed is None:
                return add_row(connection, sheet)
            self.place.settle()
        differing = find_sheet_differences(sheet, filed.sheet)
        if differing:
            raise RefusalError(
                f"Sheet {sheet.id} is already filed with another {', '.join(differing)}."
            )
        return filed

    def find_sheet(self, sheet_id: UUID) -> FiledSheet:
        """Find a filed sheet. Raises RefusalError when none has this id."""
        with self.reading() as connection, self._naming(f"sheet {sheet_id}"):
            filed = find_row(connection, sheet_id)
        if filed is None:
            raise RefusalError(f"No sheet {sheet_id} is filed; list the sheets to see their ids.")
        return filed

    def list_sheets(self, limit: int | None = 100) -> tuple[FiledSheet, ...]:
        """List filed sheets, the newest first; at most `limit`, nothing for all."""
        with self.reading() as connection, self._naming("a sheet"):
            return list_rows(connection, limit)

    def check_sheets(self) -> Chain:
        """Check that no filed sheet was changed, taken out or moved since; says which is the first that disagrees.

        A file whose every later hash was made anew, too, agrees with itself: then only a hash on paper tells.
        """
        with self.reading() as connection:
            return check_rows(connection)

    # ------------------------------------------------------------------ all of it
    def check_whole(self) -> None:
        """Read every page and every row, and check the chains of attempts, sheets and history.

        Raises:
            SurroundingsError: something is damaged; says what.
        """
        with self.reading() as connection:
            self.check_rows(connection)

    def close(self) -> None:
        """Let go. Nothing is pending: each attempt was on the disk when it was acknowledged."""
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

    # ------------------------------------------------------------------ transactions
    @contextmanager
    def reading(self) -> Iterator[sa.Connection]:
        """Read, all of one moment, and let go at the end."""
        with self.place.name_failures(), self._engine.connect() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[sa.Connection]:
        """Write, alone, and acknowledge at the end; whatever is raised inside leaves all as it was."""
        with (
            self.place.name_failures(),
            self._engine.execution_options(writes=True).begin() as connection,
        ):
            yield connection

    @contextmanager
    def replacing(self) -> Iterator[sa.Connection]:
        """Write, alone, with the right to take tables away and lay them anew."""
        with self.place.name_failures():
            engine = self.place.make_engine(opening=True)
            try:
                with engine.execution_options(writes=True).begin() as connection:
                    yield connection
            finally:
                engine.dispose()

    def check_rows(self, connection: sa.Connection) -> None:
        """Check all as `check_whole` does, inside a transaction."""
        self.place.check_pages(connection)
        recorded, there_are = count_recorded(connection)
        if recorded != there_are:
            raise self.place.make_damage(f"{recorded} attempts were recorded, and {there_are} are there")  # fmt: skip
        for what, chain in (
            ("sheet", check_rows(connection)),
            ("entry", check_entries(connection)),
            ("attempt", check_attempts(connection)),
        ):
            if not chain.is_whole:
                raise self.place.make_damage(f"{what} {chain.first_wrong} is not as it was filed")
        self.place.check_links(connection)
        for row in connection.execute(SELECT):
            self._read_row(row)
        with self._naming("the history"):
            list_sign_off_rows(connection)
            list_certificate_rows(connection)

    @contextmanager
    def _naming(self, what: str) -> Iterator[None]:
        """Name a row that cannot be read as damage; what a person is refused for passes."""
        try:
            yield
        except _UNREADABLE as error:
            raise self.place.make_damage(f"{what} can't be read ({error})") from error

    def _read_row(self, row: sa.Row[Any]) -> Attempt:
        with self._naming(f"attempt {row.number}"):
            return read_row(row)
