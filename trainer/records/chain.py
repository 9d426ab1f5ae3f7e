"""What checking a chain of hashes found."""

from __future__ import annotations

from dataclasses import dataclass

NO_HASH = "0" * 64
"""What stands for the one before the first."""

WHYS = ("number", "previous", "hash", "missing", "corrects", "name")
"""A number out of its row; another hash before it than that one has; fields that do not give its hash; some
taken away at the end; a correction that names no earlier sheet; a name that does not give its hash."""


@dataclass(frozen=True, slots=True)
class Chain:
    """What checking all attempts, all sheets, or the whole history, found.

    count: how many there are. last_hash: of the newest; 64 zeros where there is none.
    first_wrong: number of the first that does not agree; 0 when all do. why: what does not agree,
    one of WHYS; "" when all do.
    """

    count: int
    last_hash: str
    first_wrong: int = 0
    why: str = ""

    @property
    def is_whole(self) -> bool:
        """Do all agree?"""
        return not self.first_wrong
