"""Certificates: what they say, and the code on paper by which anybody with the records can verify one.

The code is the beginning of the entry's hash in Crockford's Base 32 (no I, L, O, U, so that it can be read
aloud and typed), with a check sign by Luhn's rule for 32 signs, which finds every single mistyped sign.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from enum import StrEnum
from uuid import UUID

from models.spec.errors import RefusalError
from trainer.records.attempt import check_person_name
from trainer.records.entry import Entry, EntryKind, FiledEntry, Named, Role

SIGNS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
HASH_SIGNS = 19
"""5 bits each: two certificates of one code are not to be found by trying."""
GROUP = 5
_READ_AS = {"O": "0", "I": "1", "L": "1"}


@dataclass(frozen=True, slots=True)
class Certificate:
    """That somebody has passed observed practicals.

    title: what for, as it stands on paper. sign_offs: ids of the passed sign-offs it rests on, at least one.
    expires: the last day on which it holds; nothing where it holds for good.

    Raises:
        RefusalError: it rests on nothing, ends before it begins, or somebody certifies himself.
    """

    id: UUID
    when: datetime
    person: str
    issuer: str
    title: str
    sign_offs: tuple[UUID, ...]
    expires: date | None = None

    def __post_init__(self) -> None:
        for name in ("person", "issuer"):
            object.__setattr__(self, name, check_person_name(getattr(self, name)))
        # In UTC, as it is read back: else one of its last evening could be issued, and never read again.
        object.__setattr__(self, "when", self.when.astimezone(UTC))
        if self.person.casefold() == self.issuer.casefold():
            raise RefusalError("Nobody issues a certificate to themselves; somebody else does.")
        if not self.title.strip() or not self.title.isprintable():
            raise RefusalError("A certificate says what it is for, in words that can be printed.")
        if not self.sign_offs:
            raise RefusalError("A certificate rests on at least one practical signed off.")
        if self.expires is not None and self.expires < self.when.date():
            raise RefusalError(f"The certificate would end on {self.expires}, before it begins.")


@dataclass(frozen=True, slots=True)
class FiledCertificate:
    """A certificate in its place in the history.

    holder: what its holder is called now. withdrawn: when and why, if it was.
    """

    certificate: Certificate
    number: int
    hash: str
    holder: str
    withdrawn: tuple[datetime, str] | None = None
    is_erased: bool = False

    @property
    def code(self) -> str:
        """The code on paper."""
        return make_code(self.hash)


class Standing(StrEnum):
    """What became of a code."""

    HOLDS = "holds"
    EXPIRED = "expired"
    WITHDRAWN = "withdrawn"
    ERASED = "erased"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Verified:
    """What a code is worth: the certificate it belongs to, if any, and how that stands."""

    standing: Standing
    filed: FiledCertificate | None = None


def make_entry(certificate: Certificate) -> Entry:
    """Make the history's entry of a certificate."""
    return Entry(
        certificate.id,
        certificate.when,
        EntryKind.CERTIFIED,
        {
            "title": certificate.title,
            "sign_offs": [str(one) for one in certificate.sign_offs],
            "expires": certificate.expires.isoformat() if certificate.expires else None,
        },
        {Role.HOLDER: Named(certificate.person), Role.ISSUER: Named(certificate.issuer)},
    )


def read_certificate(filed: FiledEntry) -> Certificate:
    """Read a certificate back."""
    entry = filed.entry
    content = entry.content
    assert isinstance(content, Mapping)
    ids, expires = content["sign_offs"], content["expires"]
    assert isinstance(ids, list)
    return Certificate(
        id=entry.id,
        when=entry.when,
        person=entry.names[Role.HOLDER].person,
        issuer=entry.names[Role.ISSUER].person,
        title=str(content["title"]),
        sign_offs=tuple(UUID(str(one)) for one in ids),
        expires=date.fromisoformat(str(expires)) if expires is not None else None,
    )


def make_code(hash_: str) -> str:
    """Make the code of an entry's hash (64 hexadecimal digits): four groups of five signs."""
    bits = int(hash_, 16) >> (256 - 5 * HASH_SIGNS)
    signs = [SIGNS[bits >> (5 * place) & 31] for place in reversed(range(HASH_SIGNS))]
    code = "".join(signs) + SIGNS[_find_check(signs)]
    return "-".join(code[at : at + GROUP] for at in range(0, len(code), GROUP))


def read_code(typed: str) -> str:
    """Read a code as typed: in any case, with or without dashes, O for 0, I and L for 1.

    Raises:
        RefusalError: it is no code, or a sign of it is mistyped.
    """
    plain = "".join(
        _READ_AS.get(sign, sign) for sign in typed.upper() if sign not in "- \N{EN DASH}"
    )
    if len(plain) != HASH_SIGNS + 1 or set(plain) - set(SIGNS):
        raise RefusalError(
            f"{typed!r} is no code of a certificate: it has {HASH_SIGNS + 1} signs in groups of {GROUP}."
        )
    if SIGNS[_find_check(list(plain[:-1]))] != plain[-1]:
        raise RefusalError(f"A sign of {typed!r} is mistyped; compare it with the paper.")
    return "-".join(plain[at : at + GROUP] for at in range(0, len(plain), GROUP))


def _find_check(signs: list[str]) -> int:
    """Find the check sign: from the right every second value doubled, the two digits of each summed, in base 32."""
    total = 0
    for place, sign in enumerate(reversed(signs)):
        value = SIGNS.index(sign) * (2 if place % 2 == 0 else 1)
        total += value // 32 + value % 32
    return -total % 32
