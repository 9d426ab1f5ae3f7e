"""Read tables: all or nothing, every fault at once, each with file, line and column.

Two shapes. A *size* has one row a dimension, `part.dimension` first; a *standard* has one row an
item, the designation first and the other columns plain numbers with a unit suffix. A TOML file
beside a table says its title, its sources, and relations that must hold.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from models.spec.dimension import Dimension, Distribution, Source, Unit
from models.spec.errors import ContentError, Fault, say_near

SIZE_COLUMNS = (
    "dimension",
    "nominal",
    "lower_deviation",
    "upper_deviation",
    "unit",
    "distribution",
    "source",
)
ITEM_UNIT = "item"
"""Unit of a row that takes all dimensions of one item of a standard: designation as nominal, table as source."""
SAME_UNIT = "same"
"""Unit of a row that is defined by another row, named as its nominal: one number, one home."""
MOST_BYTES = 1_000_000
PartRows = Mapping[str, Dimension]


@dataclass(frozen=True, slots=True)
class SizeTable:
    """One size of a family: dimensions by part and key, and the files they were read from."""

    family: str
    size: str
    parts: Mapping[str, PartRows]


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell with its place in the file; line and column count from 1."""

    text: str
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class _Standard:
    """A standard's items: dimensions by designation and key."""

    items: Mapping[str, PartRows]


class _Faults(list[Fault]):
    """Collect faults of one file."""

    def __init__(self, file: str) -> None:
        super().__init__()
        self.file = file

    def add(self, cell: Cell | None, what: str, remedy: str = "") -> None:
        line, column = (cell.line, cell.column) if cell else (0, 0)
        self.append(Fault(self.file, line, column, what, remedy))


def list_sizes(tables: Path, family: str) -> list[str]:
    """List the sizes of a family that have a table, in name order."""
    folder = tables / "sizes" / family
    return sorted(path.stem for path in folder.glob("*.csv"))


def read_cells(path: Path, shown: str) -> list[list[Cell]]:
    """Read a plain comma-separated file (no quotes) as cells with their places.

    Raises ContentError when it is missing, too large, not UTF-8 or empty.
    """
    try:
        raw = path.read_bytes()
    except OSError as error:
        raise ContentError(
            [Fault(shown, 0, 0, f"cannot be read ({error.strerror})", "check the path")]
        ) from error
    if len(raw) > MOST_BYTES:
        raise ContentError(
            [Fault(shown, 0, 0, f"is over {MOST_BYTES} bytes", "a table is a short text file")]
        )
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise ContentError(
            [Fault(shown, line, 0, "is not UTF-8 text", "save it as UTF-8")]
        ) from error
    rows = []
    for number, line_text in enumerate(text.splitlines(), start=1):
        if not line_text.strip():
            continue
        column, row = 1, []
        for part in line_text.split(","):
            row.append(Cell(part.strip(), number, column))
            column += len(part) + 1
        rows.append(row)
    if not rows:
        raise ContentError(
            [Fault(shown, 0, 0, "is empty", "a table needs a heading line and rows")]
        )
    return rows


def read_number(cell: Cell, faults: _Faults, name: str) -> float:
    """Read a finite number from a cell; on a fault note it and return nan."""
    if not cell.text:
        faults.add(cell, f"{name} is missing", "write a number")
        return math.nan
    try:
        value = float(cell.text)
    except ValueError:
        faults.add(
            cell, f"{name} is {cell.text!r}, not a number", "write digits with a decimal point"
        )
        return math.nan
    if not math.isfinite(value):
        faults.add(cell, f"{name} is {cell.text}", "write a finite number")
        return math.nan
    return value


def read_size(tables: Path, family: str, size: str) -> SizeTable:
    """Read one size table with the standards it refers to.

    Args:
        tables: the folder that holds `sizes/` and `standard/`.
        family, size: such as "end-suction" and "100-250".

    Raises:
        ContentError: with every fault of every file read, each with file, line and column.
    """
    shown = f"sizes/{family}/{size}.csv"
    settings = _read_settings(tables / "sizes" / f"{family}.toml", f"sizes/{family}.toml")
    sources: Mapping[str, str] = settings.get("sources", {})
    rows = read_cells(tables / shown, shown)
    faults = _Faults(shown)
    _check_heading(rows[0], SIZE_COLUMNS, faults)
    if faults:
        raise ContentError(faults)
    parts: dict[str, dict[str, Dimension]] = {}
    lines: dict[str, Cell] = {}
    standards: dict[str, _Standard] = {}
    same: list[tuple[str, str, Cell]] = []
    for row in rows[1:]:
        if len(row) != len(SIZE_COLUMNS):
            what = f"has {len(row)} cells where the heading has {len(SIZE_COLUMNS)}"
            faults.add(row[0], what, "use a decimal point, not a comma; leave no cell out")
            continue
        key = row[0].text
        if key in lines:
            faults.add(
                row[0],
                f"{key} stands twice (first in line {lines[key].line})",
                "delete one of them",
            )
            continue
        lines[key] = row[0]
        part, _, dimension = key.partition(".")
        if not part or not dimension:
            faults.add(
                row[0], f"{key!r} is not part.dimension", "write it like shaft.seal-diameter"
            )
            continue
        target = parts.setdefault(part, {})
        if row[4].text == ITEM_UNIT:
            target.update(_read_item(tables, row, standards, faults))
        elif row[4].text == SAME_UNIT:
            same.append((part, dimension, row[1]))
        else:
            found = _read_dimension(row, dimension, Source(shown, row[0].line, ""), sources, faults)
            if found is not None:
                target[dimension] = found
    for part, dimension, cell in same:
        other, _, other_key = cell.text.partition(".")
        found = parts.get(other, {}).get(other_key)
        if found is None:
            known = [f"{name}.{key}" for name, row_of in parts.items() for key in row_of]
            faults.add(cell, f"{cell.text!r} is no row of this table", say_near(cell.text, known))
        else:
            parts[part][dimension] = replace(found, key=dimension)
    if not faults:
        _check_relations(parts, settings.get("larger", []), lines, faults)
    if faults:
        raise ContentError(faults)
    return SizeTable(family, size, parts)


def _read_settings(path: Path, shown: str) -> dict[str, Any]:
    try:
        with path.open("rb") as stream:
            return tomllib.load(stream)
    except OSError as error:
        raise ContentError([Fault(shown, 0, 0, f"cannot be read ({error.strerror})")]) from error
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise ContentError([Fault(shown, 0, 0, f"is not valid TOML: {error}")]) from error


def _check_heading(heading: Sequence[Cell], wanted: Sequence[str], faults: _Faults) -> None:
    if [cell.text for cell in heading] != list(wanted):
        faults.add(heading[0], "has another heading than expected", "write " + ",".join(wanted))


def _read_dimension(
    row: Sequence[Cell], dimension: str, source: Source, sources: Mapping[str, str], faults: _Faults
) -> Dimension | None:
    before = len(faults)
    nominal = read_number(row[1], faults, "nominal")
    lower = read_number(row[2], faults, "lower_deviation")
    upper = read_number(row[3], faults, "upper_deviation")
    if upper < lower:
        faults.add(
            row[3],
            f"upper deviation {row[3].text} is below lower deviation {row[2].text}",
            "swap them",
        )
    if row[4].text not in set(Unit):
        faults.add(
            row[4],
            f"unit {row[4].text!r} is unknown",
            say_near(row[4].text, [*Unit, ITEM_UNIT, SAME_UNIT]),
        )
    if row[5].text not in set(Distribution):
        faults.add(
            row[5], f"distribution {row[5].text!r} is unknown", say_near(row[5].text, Distribution)
        )
    if row[6].text not in sources:
        faults.add(
            row[6],
            f"source {row[6].text!r} is not in the family's [sources]",
            say_near(row[6].text, sources),
        )
    if len(faults) > before:
        return None
    unit = Unit(row[4].text)
    title = Source(source.file, source.line, sources[row[6].text])
    f = unit.factor
    return Dimension(
        dimension,
        nominal * f,
        (nominal + lower) * f,
        (nominal + upper) * f,
        unit,
        Distribution(row[5].text),
        title,
    )


def _read_item(
    tables: Path, row: Sequence[Cell], standards: dict[str, _Standard], faults: _Faults
) -> PartRows:
    name, designation = row[6].text, row[1].text
    if name not in standards:
        known = sorted(path.stem for path in (tables / "standard").glob("*.csv"))
        if name not in known:
            faults.add(row[6], f"standard table {name!r} is unknown", say_near(name, known))
            return {}
        try:
            standards[name] = _read_standard(tables, name)
        except ContentError as error:
            faults.extend(error.faults)
            standards[name] = _Standard({})
            return {}
    items = standards[name].items
    if designation not in items:
        if items:
            faults.add(row[1], f"{designation!r} is not in {name}", say_near(designation, items))
        return {}
    return items[designation]


def _read_standard(tables: Path, name: str) -> _Standard:
    shown = f"standard/{name}.csv"
    settings = _read_settings(tables / "standard" / f"{name}.toml", f"standard/{name}.toml")
    title = str(settings.get("source", ""))
    rows = read_cells(tables / shown, shown)
    faults = _Faults(shown)
    heading = [cell.text for cell in rows[0]]
    columns = _standard_columns(rows[0], faults)
    items: dict[str, PartRows] = {}
    for row in rows[1:]:
        key = row[0].text
        if len(row) != len(heading):
            faults.add(
                row[0],
                f"has {len(row)} cells where the heading has {len(heading)}",
                "use a decimal point",
            )
            continue
        if key in items:
            faults.add(row[0], f"{key} stands twice", "delete one of them")
            continue
        numbers = {
            head: read_number(cell, faults, head)
            for head, cell in zip(heading[1:], row[1:], strict=True)
        }
        cells = dict(zip(heading[1:], row[1:], strict=True))
        item = {}
        for dimension, (head, unit) in columns.items():
            lower = numbers.get(f"{dimension}_lower_um", 0.0) * 1e-3
            upper = numbers.get(f"{dimension}_upper_um", 0.0) * 1e-3
            if upper < lower:
                faults.add(
                    cells[f"{dimension}_upper_um"],
                    f"{dimension}: upper is below lower",
                    "swap them",
                )
            value = numbers[head] * unit.factor
            where = Source(shown, row[0].line, title)
            key_out = dimension.replace("_", "-")
            item[key_out] = Dimension(
                key_out, value, value + lower, value + upper, unit, Distribution.NORMAL, where
            )
        items[key] = item
        for large, small in settings.get("larger", []):
            if numbers.get(large, math.nan) <= numbers.get(small, math.nan):
                faults.add(
                    cells[large],
                    f"{large} {numbers[large]:g} must exceed {small} {numbers[small]:g}",
                )
    if faults:
        raise ContentError(faults)
    return _Standard(items)


def _standard_columns(heading: Sequence[Cell], faults: _Faults) -> dict[str, tuple[str, Unit]]:
    """Map dimension → (heading, unit) for the value columns; deviation columns are found by name."""
    columns = {}
    for cell in heading[1:]:
        name, _, suffix = cell.text.rpartition("_")
        if suffix not in set(Unit) or not name:
            faults.add(
                cell,
                f"column {cell.text!r} has no unit suffix",
                "end it in _mm, _um, _in, _deg or _each",
            )
        elif not name.endswith(("_lower", "_upper")):
            columns[name] = (cell.text, Unit(suffix))
    return columns


def _check_relations(
    parts: Mapping[str, PartRows],
    larger: Sequence[Sequence[str]],
    lines: Mapping[str, Cell],
    faults: _Faults,
) -> None:
    for large, small in larger:
        found = [
            parts.get(key.partition(".")[0], {}).get(key.partition(".")[2])
            for key in (large, small)
        ]
        if found[0] is None or found[1] is None:
            missing = large if found[0] is None else small
            faults.add(
                None,
                f"{missing} is missing, which a relation of the family needs",
                f"add the row {missing}",
            )
        elif found[0].nominal <= found[1].nominal:
            where = lines.get(large) or lines.get(small)
            faults.add(
                where, f"{large} {found[0].nominal:g} must exceed {small} {found[1].nominal:g}"
            )
