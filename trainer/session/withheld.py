"""What somebody does not want to see for now: pieces out of sight, pieces as glass, some left alone."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

NONE: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Withheld:
    """Say by name which pieces are withheld. What was withheld before some were left alone comes back after it.

    away: out of sight. glass: seen through. alone: the only ones to be seen, beside glass; none when all are.
    """

    away: frozenset[str] = NONE
    glass: frozenset[str] = NONE
    alone: frozenset[str] = NONE

    def put_away(self, pieces: Iterable[str]) -> Withheld:
        """Put pieces out of sight."""
        moved = frozenset(pieces)
        return Withheld(self.away | moved, self.glass - moved, self.alone - moved)

    def turn_to_glass(self, pieces: Iterable[str]) -> Withheld:
        """Let pieces be seen through."""
        moved = frozenset(pieces)
        return Withheld(self.away - moved, self.glass | moved, self.alone - moved)

    def leave_alone(self, pieces: Iterable[str]) -> Withheld:
        """Show these pieces and nothing else, however they were shown before."""
        kept = frozenset(pieces)
        return Withheld(self.away - kept, self.glass - kept, kept)

    def end_alone(self) -> Withheld:
        """Show again what was shown before some pieces were left alone."""
        return replace(self, alone=NONE)

    def bring_back(self, pieces: Iterable[str]) -> Withheld:
        """Show pieces as they are."""
        moved = frozenset(pieces)
        alone = self.alone | moved if self.alone else NONE
        return Withheld(self.away - moved, self.glass - moved, alone)

    def keep_known(self, known: Iterable[str]) -> Withheld:
        """Forget pieces that there are no more."""
        names = frozenset(known)
        return Withheld(self.away & names, self.glass & names, self.alone & names)

    def find_hidden(self, known: Iterable[str]) -> frozenset[str]:
        """Find which of all known pieces are not shown."""
        others = frozenset(known) - self.alone - self.glass if self.alone else NONE
        return self.away | others


ALL_SHOWN = Withheld()
