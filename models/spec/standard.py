"""Read standard tables: one row an item, the designation first, the other columns numbers with a unit suffix.

A column `width_mm` gives the dimension `width`; columns `width_lower_um` and `width_upper_um` beside
it give its limit deviations. The TOML file beside it says the title, the source, and which column
must exceed which.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from pathlib import Path

from models.spec.cells import Cell, Faults, read_cells, read_number, read_rows, read_settings
from models.spec.dimension import Dimension, Distribution, Source, Unit
from models.spec.errors import ContentError

PartRows = Mapping[str, Dimension]


def list_standards(tables: Path) -> list[str]:
    """List the standard tables by name."""
    return sorted(path.stem for path in (tables / "standard").glob("*.csv"))


def read_standard(tables: Path, name: str) -> dict[str, PartRows]:
    """Read a standard's items: dimensions by designation and key.

    Raises:
        ContentError: with every fault, each with file, line and column.
    """
    shown = f"standard/{name}.csv"
    settings = read_settings(tables / "standard" / f"{name}.toml", f"standard/{name}.toml")
    rows = read_cells(tables / shown, shown)
    faults = Faults(shown)
    columns = _find_columns(rows[0], faults)
    if faults:
        raise ContentError(faults)
    heading = [cell.text for cell in rows[0]]
    items: dict[str, PartRows] = {}
    for row in read_rows(rows, faults):
        cells = dict(zip(heading, row, strict=True))
        numbers = {head: read_number(cells[head], faults, head) for head in heading[1:]}
        source = Source(shown, row[0].line, str(settings.get("source", "")))
        items[row[0].text] = {
            name.replace("_", "-"): _make_dimension(
                name, columns[name], numbers, cells, source, faults
            )
            for name in columns
        }
        _check_larger(settings.get("larger", []), numbers, cells, faults)
    if faults:
        raise ContentError(faults)
    return items


def _find_columns(heading: Sequence[Cell], faults: Faults) -> dict[str, Unit]:
    """Map each value column's dimension to its unit; deviation columns are found by name later."""
    columns = {}
    for cell in heading[1:]:
        name, _, suffix = cell.text.rpartition("_")
        if suffix not in set(Unit) or not name:
            remedy = "end it in _mm, _um, _in, _deg or _each"
            faults.add(cell, f"column {cell.text!r} has no unit suffix", remedy)
        elif not name.endswith(("_lower", "_upper")):
            columns[name] = Unit(suffix)
    return columns


def _make_dimension(
    name: str,
    unit: Unit,
    numbers: Mapping[str, float],
    cells: Mapping[str, Cell],
    source: Source,
    faults: Faults,
) -> Dimension:
    lower = numbers.get(f"{name}_lower_um", 0.0) * Unit.UM.factor
    upper = numbers.get(f"{name}_upper_um", 0.0) * Unit.UM.factor
    if upper < lower:
        faults.add(cells[f"{name}_upper_um"], f"{name}: upper is below lower", "swap them")
    value = numbers[f"{name}_{unit.value}"] * unit.factor
    key = name.replace("_", "-")
    return Dimension(key, value, value + lower, value + upper, unit, Distribution.NORMAL, source)


def _check_larger(
    relations: Sequence[Sequence[str]],
    numbers: Mapping[str, float],
    cells: Mapping[str, Cell],
    faults: Faults,
) -> None:
    for large, small in relations:
        if numbers.get(large, math.nan) <= numbers.get(small, math.nan):
            what = f"{large} {numbers[large]:g} must exceed {small} {numbers[small]:g}"
            faults.add(cells[large], what, "check both")
