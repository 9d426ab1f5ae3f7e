"""Issue a certificate for practicals that were signed off and passed."""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING
from uuid import UUID

from models.spec.errors import RefusalError
from trainer.records.certificate import Certificate, FiledCertificate
from trainer.records.sign_off import SignOff

if TYPE_CHECKING:
    from trainer.records import Records

MONTHS_A_YEAR = 12


def issue_certificate(
    records: Records,
    person: str,
    practicals: Sequence[str],
    *,
    issuer: str,
    title: str,
    months: int | None,
    id_: UUID,
    now: datetime,
) -> FiledCertificate:
    """Issue a certificate on the latest passed sign-off of each practical.

    Args:
        records: where it is kept.
        person: whose it is.
        practicals: ids of what was done.
        issuer: who issues it.
        title: what it is for, as it stands on paper.
        months: how long it holds; nothing for good.
        id_: a new id; a retry with the same is never a second certificate.
        now: when it is issued.

    Raises:
        RefusalError: a practical is not passed, or the certificate cannot be as it is.
        SurroundingsError: it cannot be written; try again with the same.
    """
    passed = [one for one in records.list_sign_offs(person) if one.passed]
    chosen = [_find_latest(passed, person, practical) for practical in practicals]
    expires = find_end(now.date(), months) if months else None
    ids = tuple(one.id for one in chosen)
    return records.add_certificate(Certificate(id_, now, person, issuer, title, ids, expires))


def find_end(begins: date, months: int) -> date:
    """Find the last day of so many months: the same day of the month, or the last that month has."""
    year, month = divmod(begins.month - 1 + months, MONTHS_A_YEAR)
    year, month = begins.year + year, month + 1
    return date(year, month, min(begins.day, monthrange(year, month)[1]))


def _find_latest(passed: Sequence[SignOff], person: str, practical: str) -> SignOff:
    for one in passed:
        if one.practical == practical:
            return one
    known = ", ".join(sorted({one.practical for one in passed})) or "nothing"
    raise RefusalError(
        f"{person} has no passed practical called {practical}; signed off and passed: {known}."
    )
