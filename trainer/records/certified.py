"""Sign off, certify, withdraw and verify, inside a transaction that `Records` has opened."""

from __future__ import annotations

from datetime import date, datetime
from uuid import UUID

import sqlalchemy as sa

from models.spec.errors import RefusalError
from trainer.records import certificate as certificates
from trainer.records import sign_off as sign_offs
from trainer.records.certificate import Certificate, FiledCertificate, Standing, Verified, read_code
from trainer.records.entry import Entry, EntryKind, Named, Role
from trainer.records.history_rows import add_entry, find_entry, list_entries
from trainer.records.schema import HISTORY, NAMES
from trainer.records.sign_off import SignOff


def add_certificate_row(connection: sa.Connection, certificate: Certificate) -> FiledCertificate:
    """Write a certificate, if what it rests on is there.

    Raises:
        RefusalError: a sign-off is not there, is somebody else's, or was not passed.
    """
    for id_ in certificate.sign_offs:
        found = find_entry(connection, id_)
        if found is None or found.entry.kind is not EntryKind.SIGNED_OFF:
            raise RefusalError(f"No practical is signed off under {id_}.")
        sign_off = sign_offs.read_sign_off(found)
        if sign_off.person != certificate.person:
            raise RefusalError(
                f"Sign-off {id_} is {sign_off.person}'s, not {certificate.person}'s."
            )
        if not sign_off.passed:
            raise RefusalError(f"The practical of sign-off {id_} was not passed.")
    filed = add_entry(connection, certificates.make_entry(certificate))
    return FiledCertificate(certificate, filed.number, filed.hash)


def withdraw_row(connection: sa.Connection, entry: Entry) -> None:
    """Write that a certificate is withdrawn. Raises RefusalError when there is none, or it was withdrawn before."""
    if find_entry(connection, entry.id) is None:
        assert isinstance(entry.content, dict)
        id_ = str(entry.content["certificate"])
        found = [one for one in list_certificate_rows(connection) if str(one.certificate.id) == id_]
        if not found:
            raise RefusalError(f"No certificate {id_} was issued.")
        if found[0].withdrawn:
            raise RefusalError(f"Certificate {id_} was withdrawn before.")
    add_entry(connection, entry)


def make_withdrawal(id_: UUID, when: datetime, certificate: UUID, person: str, why: str) -> Entry:
    """Make the entry by which somebody withdraws a certificate. why: said of the work, with nobody's name in it."""
    return Entry(
        id_,
        when,
        EntryKind.WITHDRAWN,
        {"certificate": str(certificate), "why": why},
        {Role.WITHDRAWER: Named(person)},
    )


def list_certificate_rows(connection: sa.Connection) -> tuple[FiledCertificate, ...]:
    """List all certificates, the oldest first."""
    withdrawn: dict[str, tuple[datetime, str]] = {}
    for filed in list_entries(connection, EntryKind.WITHDRAWN):
        content = filed.entry.content
        assert isinstance(content, dict)
        withdrawn[str(content["certificate"])] = (filed.entry.when, str(content["why"]))
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
            withdrawn.get(str(filed.entry.id)),
            is_erased=str(filed.entry.id) in erased,
        )
        for filed in list_entries(connection, EntryKind.CERTIFIED)
    )


def list_sign_off_rows(connection: sa.Connection) -> tuple[SignOff, ...]:
    """List all sign-offs, the oldest first."""
    found = list_entries(connection, EntryKind.SIGNED_OFF)
    return tuple(sign_offs.read_sign_off(filed) for filed in found)


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
