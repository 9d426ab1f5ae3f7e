"""Read size tables: one row a dimension, all or nothing, every fault at once with file, line and column.

The family's TOML file says its sources and the relations that must hold. A row of unit `item` takes
all dimensions of one item of a standard table; a row of unit `same` is defined by another row; a row
of unit `table` takes every row of another size table, such as that of a shared frame, that this one
does not write itself. So each number has one home.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from models.spec.cells import Cell, Faults, read_number, read_rows, read_settings, read_table
from models.spec.dimension import Dimension, Distribution, Source, Unit
from models.spec.errors import ContentError, say_near
from models.spec.limits import Limits, read_limits
from models.spec.standard import PartRows, list_standards, read_standard

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
SAME_UNIT = "same"
TABLE_UNIT = "table"


@dataclass(frozen=True, slots=True)
class SizeTable:
    """One size of a family: dimensions by part and key, and the limits that hold for every pump."""

    family: str
    size: str
    parts: Mapping[str, PartRows]
    limits: Limits = field(default_factory=dict)


def list_sizes(tables: Path, family: str) -> list[str]:
    """List the sizes of a family that have a table, in name order."""
    return sorted(path.stem for path in (tables / "sizes" / family).glob("*.csv"))


def read_size(tables: Path, family: str, size: str) -> SizeTable:
    """Read one size table with the standards it refers to.

    Args:
        tables: the folder that holds `sizes/`, `standard/` and `limits/`.
        family: such as "end-suction".
        size: such as "100-250".

    Raises:
        ContentError: with every fault of every file read, each with file, line and column.
    """
    reader = _SizeReader(tables, f"{family}/{size}")
    reader.read_all()
    reader.settle_same()
    if not reader.faults:
        reader.check_larger()
    limits: Limits = {}
    try:
        limits = read_limits(tables)
    except ContentError as error:
        reader.faults.extend(error.faults)
    if reader.faults:
        raise ContentError(reader.faults)
    return SizeTable(family, size, reader.parts, limits)


class _SizeReader:
    """Gather the rows of one size table, and every fault in them."""

    def __init__(self, tables: Path, name: str, above: tuple[str, ...] = ()) -> None:
        """Begin the table FAMILY/SIZE; `above` are the tables that take its rows."""
        shown, family = f"sizes/{name}.csv", name.partition("/")[0]
        self.parts: dict[str, dict[str, Dimension]] = {}
        self.faults = Faults(shown)
        self._tables = tables
        self._above = (*above, name)
        settings = read_settings(tables / "sizes" / f"{family}.toml", f"sizes/{family}.toml")
        self._sources: Mapping[str, str] = settings.get("sources", {})
        self._larger: Sequence[Sequence[str]] = settings.get("larger", [])
        self._places: dict[str, Cell] = {}
        self._standards: dict[str, dict[str, PartRows]] = {}
        self._same: dict[tuple[str, str], tuple[Cell, Faults]] = {}

    def read_all(self) -> None:
        """Read every row, those of a table it takes first. Raises ContentError when a file cannot be read as a table."""
        rows, self.faults = read_table(self._tables, self.faults.file, SIZE_COLUMNS)
        own = list(read_rows(rows, self.faults))
        for row in own:
            if row[4].text == TABLE_UNIT:
                self._take_table(row[1])
        for row in own:
            if row[4].text != TABLE_UNIT:
                self._read(row)

    def _take_table(self, cell: Cell) -> None:
        name = cell.text
        known = [
            f"{path.stem}/{one}"
            for path in sorted((self._tables / "sizes").glob("*.toml"))
            for one in list_sizes(self._tables, path.stem)
        ]
        if name not in known:
            self.faults.add(cell, f"there is no size table {name!r}", say_near(name, known))
        elif name in self._above:
            self.faults.add(cell, f"{name} takes rows of a table that takes its own", "let one go")
        else:
            taken = _SizeReader(self._tables, name, self._above)
            taken.read_all()
            self.faults.extend(taken.faults)
            for part, found in taken.parts.items():
                self.parts.setdefault(part, {}).update(found)
            self._same.update(taken._same)

    def _read(self, row: Sequence[Cell]) -> None:
        """Read one row of any of the other three kinds."""
        key = row[0].text
        self._places[key] = row[0]
        part, _, dimension = key.partition(".")
        if not part or not dimension:
            remedy = "write it like shaft.seal-diameter"
            self.faults.add(row[0], f"{key!r} is not part.dimension", remedy)
            return
        target = self.parts.setdefault(part, {})
        if row[4].text == ITEM_UNIT:
            for one, of_item in self._read_item(row).items():
                self._write(target, part, one, of_item)
        elif row[4].text == SAME_UNIT:
            self._same[part, dimension] = (row[1], self.faults)
        else:
            found = self._read_dimension(row, dimension)
            if found is not None:
                self._write(target, part, dimension, found)

    def _write(
        self, target: dict[str, Dimension], part: str, dimension: str, found: Dimension
    ) -> None:
        """Write a row, in the place of one that was taken from another table."""
        self._same.pop((part, dimension), None)
        target[dimension] = found

    def settle_same(self) -> None:
        """Give the rows that are defined by another row that row's definition."""
        for (part, dimension), (cell, faults) in self._same.items():
            found = self._find(cell.text)
            if found is None:
                known = [f"{name}.{key}" for name, row_of in self.parts.items() for key in row_of]
                remedy = say_near(cell.text, known)
                faults.add(cell, f"{cell.text!r} is no row of this table", remedy)
                if faults is not self.faults:
                    self.faults.append(faults[-1])
            else:
                self.parts[part][dimension] = replace(found, key=dimension)

    def check_larger(self) -> None:
        """Check that the first of each pair exceeds the second, at nominal."""
        for large, small in self._larger:
            one, other = self._find(large), self._find(small)
            if one is None or other is None:
                missing = large if one is None else small
                what = f"{missing} is missing, which a relation of the family needs"
                self.faults.add(None, what, f"add the row {missing}")
            elif one.nominal <= other.nominal:
                what = f"{large} {one.nominal:g} must exceed {small} {other.nominal:g}"
                where = self._places.get(large) or self._places.get(small)
                self.faults.add(where, what, "check both")

    def _find(self, key: str) -> Dimension | None:
        part, _, dimension = key.partition(".")
        return self.parts.get(part, {}).get(dimension)

    def _read_dimension(self, row: Sequence[Cell], dimension: str) -> Dimension | None:
        faults, before = self.faults, len(self.faults)
        nominal, lower, upper = (
            read_number(cell, faults, name)
            for cell, name in zip(row[1:4], SIZE_COLUMNS[1:4], strict=True)
        )
        if upper < lower:
            what = f"upper deviation {row[3].text} is below lower deviation {row[2].text}"
            faults.add(row[3], what, "swap them")
        for cell, name, known in (
            (row[4], "unit", [*Unit, ITEM_UNIT, SAME_UNIT, TABLE_UNIT]),
            (row[5], "distribution", list(Distribution)),
            (row[6], "source", list(self._sources)),
        ):
            if cell.text not in known:
                faults.add(cell, f"{name} {cell.text!r} is unknown", say_near(cell.text, known))
        if len(faults) > before:
            return None
        unit = Unit(row[4].text)
        limits = [value * unit.factor for value in (nominal, nominal + lower, nominal + upper)]
        source = Source(faults.file, row[0].line, self._sources[row[6].text])
        return Dimension(
            dimension, limits[0], limits[1], limits[2], unit, Distribution(row[5].text), source
        )

    def _read_item(self, row: Sequence[Cell]) -> PartRows:
        name, designation = row[6].text, row[1].text
        known = list_standards(self._tables)
        if name not in known:
            what = f"standard table {name!r} is unknown"
            self.faults.add(row[6], what, say_near(name, known))
            return {}
        if name not in self._standards:
            try:
                self._standards[name] = read_standard(self._tables, name)
            except ContentError as error:
                self.faults.extend(error.faults)
                self._standards[name] = {}
        items = self._standards[name]
        if designation not in items:
            if items:  # an unreadable standard has been reported already
                what = f"{designation!r} is not in {name}"
                self.faults.add(row[1], what, say_near(designation, items))
            return {}
        return items[designation]
