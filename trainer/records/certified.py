"""Sign off, certify, withdraw and verify, inside a transaction that `Records` has opened."""

from __future__ import annotations

from collections import Counter
from datetime import date, datetime
from uuid import UUID

import sqlalchemy as sa

from models.spec.errors import RefusalError
from trainer.records import certificate as certificates
from trainer.records import sign_off as sign_offs
from trainer.records.certificate import Certificate, FiledCertificate, Standing, Verified, read_code
from trainer.records.entry import Entry, EntryKind, FiledEntry, Named, Role
from trainer.records.history_rows import add_entry, find_entry, list_entries
from trainer.records.plain_json import read_mapping
from trainer.records.schema import HISTORY, NAMES
from trainer.records.sign_off import FiledSignOff


def add_certificate_row(connection: sa.Connection, certificate: Certificate) -> FiledCertificate:
    """Write a certificate, if what it rests on is there.

    Raises:
        RefusalError: a sign-off is not there, is somebody else's, or was not passed.
    """
    for id_ in certificate.sign_offs:
        found = find_entry(connection, id_)
        if found is None or found.entry.kind is not EntryKind.SIGNED_OFF:
            raise RefusalError(f"No practical is signed off under {id_}.")
        learner = found.now[Role.LEARNER]
        if learner != certificate.person:
            raise RefusalError(f"Sign-off {id_} is {learner}'s, not {certificate.person}'s.")
        if not sign_offs.read_sign_off(found).passed:
            raise RefusalError(f"The practical of sign-off {id_} was not passed.")
    filed = add_entry(connection, certificates.make_entry(certificate))
    return FiledCertificate(certificate, filed.number, filed.hash, certificate.person)


def withdraw_row(
    connection: sa.Connection, id_: UUID, when: datetime, certificate: UUID, person: str, why: str
) -> None:
    """Write that somebody withdraws a certificate; why is said of its holder, and erased along with the name.

    Raises:
        RefusalError: there is none, its holder was erased, or it was withdrawn before.
    """
    found = [one for one in list_certificate_rows(connection) if one.certificate.id == certificate]
    if not found:
        raise RefusalError(f"No certificate {certificate} was issued.")
    if found[0].is_erased:
        raise RefusalError(f"The holder of certificate {certificate} was erased: it proves nothing any more.")  # fmt: skip
    if found[0].withdrawn and find_entry(connection, id_) is None:
        raise RefusalError(f"Certificate {certificate} was withdrawn before.")
    names = {Role.WITHDRAWER: Named(person), Role.HOLDER: Named(found[0].holder, {"why": why})}
    content = {"certificate": str(certificate)}
    add_entry(connection, Entry(id_, when, EntryKind.WITHDRAWN, content, names))


def list_certificate_rows(connection: sa.Connection) -> tuple[FiledCertificate, ...]:
    """List all certificates, the oldest first."""
    withdrawn = {
        str(read_mapping(filed.entry.content)["certificate"]): (filed.entry.when, _read_why(filed))
        for filed in list_entries(connection, EntryKind.WITHDRAWN)
    }
    erased = set(
        connection.scalars(
            sa.select(HISTORY.c.id)
            .join_from(HISTORY, NAMES)
            .where(NAMES.c.role == Role.HOLDER.value, NAMES.c.said_json.is_(None))
        )
    )
    return tuple(
        FiledCertificate(
            certificates.read_certificate(filed),
            filed.number,
            filed.hash,
            filed.now[Role.HOLDER],
            withdrawn.get(str(filed.entry.id)),
            is_erased=str(filed.entry.id) in erased,
        )
        for filed in list_entries(connection, EntryKind.CERTIFIED)
    )


def list_sign_off_rows(
    connection: sa.Connection, person: str | None = None
) -> tuple[FiledSignOff, ...]:
    """List all sign-offs, or those of whoever is called so now, the oldest first."""
    return tuple(
        sign_offs.place_sign_off(filed)
        for filed in list_entries(connection, EntryKind.SIGNED_OFF)
        if person is None or filed.now[Role.LEARNER] == person
    )


def count_filed_rows(connection: sa.Connection) -> tuple[Counter[str], Counter[str]]:
    """Count the practicals passed and the certificates held, by what people are called now."""
    passed = Counter(
        filed.now[Role.LEARNER]
        for filed in list_entries(connection, EntryKind.SIGNED_OFF)
        if sign_offs.read_sign_off(filed).passed
    )
    return passed, Counter(one.holder for one in list_certificate_rows(connection))


def _read_why(filed: FiledEntry) -> str:
    """Read why a certificate was withdrawn; "" once its holder was erased. Early entries hold it in the content."""
    holder = filed.entry.names.get(Role.HOLDER)
    told = filed.entry.content if holder is None else holder.told
    return str(read_mapping(told).get("why", ""))


def verify_row(connection: sa.Connection, typed: str, today: date) -> Verified:
    """Find out what a code is worth today. Raises RefusalError for what is no code."""
    code = read_code(typed)
    found = [one for one in list_certificate_rows(connection) if one.code == code]
    if not found:
        return Verified(Standing.UNKNOWN)
    (filed,) = found
    expires = filed.certificate.expires
    if filed.withdrawn:
        return Verified(Standing.WITHDRAWN, filed)
    if filed.is_erased:
        return Verified(Standing.ERASED, filed)
    if expires is not None and expires < today:
        return Verified(Standing.EXPIRED, filed)
    return Verified(Standing.HOLDS, filed)
