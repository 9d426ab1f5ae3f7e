"""Name parts and pieces plainly: lower case with dashes, every name once. No kernel."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Sequence

LONGEST_NAME = 80
MADE_UP = re.compile(
    r"^(=>\[.*|solid|compound|shell|body|part|component|assembly|none|)$", re.IGNORECASE
)
"""Names that a writer or the kernel makes up where there is none."""
NUMBERED = re.compile(r"[\s_.:-]*(body)?[\s_.:-]*\d*$")
"""What tells equal parts apart in their names."""


def make_piece_names(parts: Sequence[str], of: Sequence[int]) -> list[str]:
    """Name pieces, each of part number `of`, by their part, numbered where there are several."""
    counts = Counter(of)
    taken = {parts[n] for n in counts}
    numbered: dict[int, int] = {}
    names = []
    for n in of:
        if counts[n] == 1:
            names.append(parts[n])
            continue
        number = numbered.get(n, 0) + 1
        while f"{parts[n]}-{number}" in taken:
            number += 1
        numbered[n] = number
        names.append(f"{parts[n]}-{number}")
    return names


def make_part_names(shown: Sequence[str]) -> list[str]:
    """Name parts by what the file calls them; equal names are told apart by a letter."""
    taken: set[str] = set()
    names = []
    for text in shown:
        plain = make_slug(text) or "part"
        name, more = plain, 0
        while name in taken:
            name = f"{plain}-{chr(ord('b') + more)}" if more < 25 else f"{plain}-x{more}"
            more += 1
        taken.add(name)
        names.append(name)
    return names


def make_slug(text: str) -> str:
    """Make a lower-case name with dashes of what a file calls a thing; "" where nothing is left of it."""
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain)[:LONGEST_NAME].strip("-")
