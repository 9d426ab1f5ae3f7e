"""An entry of the history, and the hashes that tie it to the one before and to the names in it.

A name stands beside its entry, and the entry holds only a hash of it, made with a salt. So a name can be
erased for good, salt and all, and the chain of hashes can still be checked from the first entry to the last.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from enum import StrEnum
from uuid import UUID

from models.spec.errors import RefusalError
from trainer.records.attempt import check_person_name
from trainer.records.plain_json import Json, make_json_text, make_plain

MOST_ENTRY_CHARS = 100_000


class EntryKind(StrEnum):
    """What the history tells of."""

    SIGNED_OFF = "signed-off"
    CERTIFIED = "certified"
    WITHDRAWN = "withdrawn"
    ERASED = "erased"


class Role(StrEnum):
    """What somebody named in an entry has to do with it."""

    LEARNER = "learner"
    OBSERVER = "observer"
    HOLDER = "holder"
    ISSUER = "issuer"
    WITHDRAWER = "withdrawer"


@dataclass(frozen=True, slots=True)
class Named:
    """Somebody named in an entry. told: what else is said of this person, erased along with the name."""

    person: str
    told: Json = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "person", check_person_name(self.person))
        object.__setattr__(self, "told", make_plain(self.told, "told"))


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that happened. It is tidied when made, so that it equals what is read back later.

    id: made by the caller before the first try, so that a retry is never a second entry.
    when: from the caller's clock; any time zone, kept as UTC.
    content: what happened, plain JSON, with nobody's name in it. names: who had what to do with it.

    Raises:
        RefusalError: it is far too long. TypeError, ValueError: it can't be kept; the caller has a bug.
    """

    id: UUID
    when: datetime
    kind: EntryKind
    content: Json
    names: Mapping[Role, Named] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if self.when.tzinfo is None:
            raise ValueError("when must carry its time zone")
        object.__setattr__(self, "when", self.when.astimezone(UTC))
        object.__setattr__(self, "content", make_plain(self.content, "content"))
        object.__setattr__(self, "names", {role: self.names[role] for role in sorted(self.names)})
        told = [one.told for one in self.names.values()]
        # An erasure lists sheets, as many as there are: whoever built pumps for years must not be kept for that.
        is_typed = self.kind is not EntryKind.ERASED
        if is_typed and len(make_json_text([self.content, *told])) > MOST_ENTRY_CHARS:
            raise RefusalError(
                f"This is too long to keep: at most {MOST_ENTRY_CHARS} characters as JSON."
            )


@dataclass(frozen=True, slots=True)
class FiledEntry:
    """An entry in its place in the history: its number from 1, its hash, and the hash of the one before it.

    now: what those named in it are called now; the entry has the names under which they were written down.
    """

    entry: Entry
    number: int
    previous_hash: str
    hash: str
    now: Mapping[Role, str] = field(default_factory=dict)


def hash_name(salt: str, person_number: int, said: str) -> str:
    """Make the hash that stands in an entry for a name: SHA-256 over `[salt, person's number, what is said]`."""
    return _hash([salt, person_number, said])


def hash_entry(number: int, id_: str, when_utc: str, kind: str, content: str, previous: str) -> str:
    """Make the hash of an entry: SHA-256 over `[number, id, when, kind, content as stored, previous hash]`.

    As for sheets the fields are written as one JSON list, ASCII, without spaces; the content holds the
    hashes of the names under `names`.
    """
    return _hash([number, id_, when_utc, kind, content, previous])


def _hash(fields: Json) -> str:
    return hashlib.sha256(make_json_text(fields).encode("ascii")).hexdigest()
