"""Read limit tables: what is required of a clearance in any pump, by a size it depends on, each row with its source.

`limits/NAME.csv` has one heading; the sources' keys stand in `limits/NAME.toml`. A size table's own row, or the
shop's, comes before them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from models.spec.cells import Cell, Faults, read_number, read_rows, read_settings, read_table
from models.spec.dimension import Dimension, Distribution, Source, Unit
from models.spec.errors import ContentError, say_near

LIMIT_COLUMNS = ("row", "limit", "from_mm", "below_mm", "least", "aim", "most", "unit", "source")


@dataclass(frozen=True, slots=True)
class Limit:
    """What is required where the size it depends on lies from `from_mm` to below `below_mm`."""

    from_mm: float
    below_mm: float
    required: Dimension


Limits = Mapping[str, tuple[Limit, ...]]
"""Limits by name, in the order of their bands."""


def read_limits(tables: Path) -> Limits:
    """Read every limit table of a folder of tables; none at all is none.

    Raises:
        ContentError: with every fault of every table, each with file, line and column.
    """
    found: dict[str, list[Limit]] = {}
    wrong = Faults("limits")
    for path in sorted((tables / "limits").glob("*.csv")):
        try:
            _read_table(tables, path.stem, found)
        except ContentError as error:
            wrong.extend(error.faults)
    if wrong:
        raise ContentError(wrong)
    return {name: tuple(bands) for name, bands in found.items()}


def _read_table(tables: Path, name: str, found: dict[str, list[Limit]]) -> None:
    shown = f"limits/{name}.csv"
    settings = read_settings(tables / "limits" / f"{name}.toml", f"limits/{name}.toml")
    rows, faults = read_table(tables, shown, LIMIT_COLUMNS)
    for row in read_rows(rows, faults):
        limit = _read_limit(row, settings.get("sources", {}), faults)
        if limit is None:
            continue
        before = found.setdefault(row[1].text, [])
        if before and before[-1].below_mm != limit.from_mm:
            what = f"{row[1].text} goes on at {limit.from_mm:g} mm, its band before ends at {before[-1].below_mm:g} mm"
            faults.add(row[2], what, "let each band begin where the one before ends")
        before.append(limit)
    if faults:
        raise ContentError(faults)


def _read_limit(row: Sequence[Cell], sources: Mapping[str, str], faults: Faults) -> Limit | None:
    before = len(faults)
    start, stop, least, aim, most = (
        read_number(cell, faults, name)
        for cell, name in zip(row[2:7], LIMIT_COLUMNS[2:7], strict=True)
    )
    if stop <= start:
        faults.add(row[3], f"the band ends at {stop:g} mm, where it begins or before", "swap them")
    check_order(row[4:7], (least, aim, most), faults)
    for cell, column, known in ((row[7], "unit", list(Unit)), (row[8], "source", list(sources))):
        if cell.text not in known:
            faults.add(cell, f"{column} {cell.text!r} is unknown", say_near(cell.text, known))
    if len(faults) > before:
        return None
    unit = Unit(row[7].text)
    least, aim, most = (value * unit.factor for value in (least, aim, most))
    source = Source(faults.file, row[0].line, sources[row[8].text])
    required = Dimension(row[1].text, aim, least, most, unit, Distribution.NORMAL, source)
    return Limit(start, stop, required)


def check_order(cells: Sequence[Cell], values: tuple[float, float, float], faults: Faults) -> None:
    """Note it when least, aim and most do not rise from one to the next, or leave no room between them."""
    least, aim, most = values
    if most < least:
        faults.add(cells[2], f"most {cells[2].text} is below least {cells[0].text}", "swap them")
    elif most == least:
        what = f"least and most are both {cells[0].text}, which no part can be made to"
        faults.add(cells[2], what, "leave room between them")
    elif aim < least or most < aim:
        what = f"aim {cells[1].text} lies outside {cells[0].text} to {cells[2].text}"
        faults.add(cells[1], what, "write an aim between the two")
