"""Read what is taught and no build can compute: tables of the workshop's practice, each row with who says so."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from models.spec.cells import Cell, Faults, read_rows, read_table
from models.spec.errors import ContentError, say_near

TAUGHT = Path(__file__).parent / "tables"
PUBLISHED = (
    "MIL-HDBK-1164 par. 6.4.2",
    "US Army TM 5-4320-200-13&P table 4-2",
    "ISO 15243:2017 (from memory)",
)
"""Published sources: of a symptom they name the cause, of a damage how it looks. The two handbooks were read in excerpts."""
SOURCES = ("common practice", "from memory", *PUBLISHED)
SOURCE = "source"


def read_taught(
    name: str, columns: Sequence[str], levels: Mapping[str, Sequence[str]] | None = None, folder: Path = TAUGHT
) -> tuple[Mapping[str, Mapping[str, Cell]], Faults]:  # fmt: skip
    """Read a table of practice: its rows by their keys, each cell by its column.

    Args:
        name: of the file, without its ending.
        columns: its heading; the first holds the keys. A column `source` has to say one of SOURCES.
        levels: what the cells of a column may say, by column.
        folder: where it lies.

    Returns:
        The rows, and the faults found so far, to which the caller may add before `check_taught`.

    Raises:
        ContentError: the file cannot be read, or has another heading.
    """
    rows, faults = read_table(folder, f"{name}.csv", columns)
    known = {**(levels or {}), **({SOURCE: SOURCES} if SOURCE in columns else {})}
    found: dict[str, Mapping[str, Cell]] = {}
    for row in read_rows(rows, faults):
        cells = dict(zip(columns, row, strict=True))
        for column, allowed in known.items():
            text = cells[column].text
            if text not in allowed:
                faults.add(cells[column], f"{column} {text!r} is unknown", say_near(text, allowed))
        found[row[0].text] = cells
    return found, faults


def check_taught(faults: Faults) -> None:
    """Raise ContentError with all that is wrong with a table; nothing when there is none."""
    if faults:
        raise ContentError(faults)
