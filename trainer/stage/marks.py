"""What a picture points at: frozen sets of piece names."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Marks:
    """Say how pieces are shown.

    lit: the pieces we speak of. in_the_way: the pieces that block. ghosted: pieces shown as glass.
    hidden: pieces not shown. missing: pieces that ought to be there: only where they would stand is shown.
    """

    lit: frozenset[str] = frozenset()
    in_the_way: frozenset[str] = frozenset()
    ghosted: frozenset[str] = frozenset()
    hidden: frozenset[str] = frozenset()
    missing: frozenset[str] = frozenset()


NO_MARKS = Marks()
