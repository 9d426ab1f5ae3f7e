"""Read plain comma-separated files as cells that know their line and column."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from models.spec.errors import ContentError, Fault

MOST_BYTES = 1_000_000


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell with its place in the file; line and column count from 1."""

    text: str
    line: int
    column: int


class Faults(list[Fault]):
    """Collect the faults of one file."""

    def __init__(self, file: str) -> None:
        super().__init__()
        self.file = file

    def add(self, cell: Cell | None, what: str, remedy: str = "") -> None:
        """Note a fault at a cell, or of the file as a whole."""
        line, column = (cell.line, cell.column) if cell else (0, 0)
        self.append(Fault(self.file, line, column, what, remedy))


def read_cells(path: Path, shown: str) -> list[list[Cell]]:
    """Read a plain comma-separated file (no quotes); blank lines are passed over.

    Raises:
        ContentError: missing, too large, not UTF-8 or empty.
    """
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise _refuse(shown, 0, f"cannot be read ({error.strerror})", "check the path") from error
    if len(raw) > MOST_BYTES:
        raise _refuse(shown, 0, f"is over {MOST_BYTES} bytes", "a table is a short text file")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise _refuse(shown, line, "is not UTF-8 text", "save it as UTF-8") from error
    rows = [
        _split(line, number)
        for number, line in enumerate(text.splitlines(), start=1)
        if line.strip()
    ]
    if not rows:
        raise _refuse(shown, 0, "is empty", "a table needs a heading line and rows")
    return rows


def _split(line: str, number: int) -> list[Cell]:
    column, row = 1, []
    for part in line.split(","):
        row.append(Cell(part.strip(), number, column))
        column += len(part) + 1
    return row


def _refuse(shown: str, line: int, what: str, remedy: str) -> ContentError:
    return ContentError([Fault(shown, line, 0, what, remedy)])


def read_table(tables: Path, shown: str, columns: Sequence[str]) -> tuple[list[list[Cell]], Faults]:
    """Read a table whose heading must be `columns`, and begin its list of faults.

    Raises:
        ContentError: it cannot be read, or has another heading.
    """
    rows = read_cells(tables / shown, shown)
    faults = Faults(shown)
    if [cell.text for cell in rows[0]] != list(columns):
        faults.add(rows[0][0], "has another heading", f"write {','.join(columns)}")
        raise ContentError(faults)
    return rows, faults


def read_rows(rows: Sequence[list[Cell]], faults: Faults) -> Iterator[list[Cell]]:
    """Yield the rows below the heading that have its width and a key of their own; note the others."""
    width, first = len(rows[0]), dict[str, int]()
    for row in rows[1:]:
        key = row[0].text
        if len(row) != width:
            what = f"has {len(row)} cells where the heading has {width}"
            faults.add(row[0], what, "use a decimal point, not a comma; leave no cell out")
        elif not key:
            faults.add(row[0], "has no key in its first cell", "write one")
        elif key in first:
            what = f"{key} stands twice (first in line {first[key]})"
            faults.add(row[0], what, "delete one of them")
        else:
            first[key] = row[0].line
            yield row


def read_number(cell: Cell, faults: Faults, name: str) -> float:
    """Read a finite number from a cell; on a fault note it and return nan."""
    if not cell.text:
        faults.add(cell, f"{name} is missing", "write a number")
        return math.nan
    try:
        value = float(cell.text)
    except ValueError:
        what = f"{name} is {cell.text!r}, not a number"
        faults.add(cell, what, "write digits with a decimal point")
        return math.nan
    if not math.isfinite(value):
        faults.add(cell, f"{name} is {cell.text}", "write a finite number")
        return math.nan
    return value


def read_settings(path: Path, shown: str) -> dict[str, Any]:
    """Read the TOML file that stands beside a table. Raises ContentError."""
    try:
        with path.open("rb") as stream:
            return tomllib.load(stream)
    except OSError as error:
        raise _refuse(shown, 0, f"cannot be read ({error.strerror})", "check the path") from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise _refuse(shown, 0, f"is not valid TOML: {error}", "mend it") from error
