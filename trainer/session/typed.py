"""Read what people type: lengths with their unit, NAME=VALUE pairs, stock lists, orders. Every fault is named."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

from models.spec.build import TABLES, Build
from models.spec.cells import Cell, read_cells
from models.spec.dimension import Dimension, Source, Unit
from models.spec.errors import ContentError, Fault, RefusalError, say_near
from models.spec.length import Term
from models.spec.units import UNITS_MM
from trainer.core.measure.packs import StockShim
from trainer.core.measure.shims import find_shim
from trainer.session.quantities import put_point

INCH_DIGITS = 4
GAUGE_SIGN = "+-"
"""Between a measured value and how far its gauge may be off, either way."""
COUNT_COLUMNS = ("in_drawer", "quantity", "count")
MOST_LINES = 5000
MEASURED, PACKET = "measured by micrometer", "as its packet says"
"""Who says how thick a shim is that was chosen at the bench."""
DEPOT_DRAWER = TABLES / "stock" / "depot-drawer.csv"
"""The demonstration drawer of the Saltmarsh Levels drainage depot (invented)."""
USUAL_THICKNESSES = TABLES / "stock" / "usual-thicknesses.csv"
"""Thicknesses that shims are commonly sold in (common practice): what can be ordered."""
THICKEST_MM = 3.0
"""A shim thicker than this is a spacer; whoever writes one means another unit (common practice)."""


def has_unit(text: str) -> bool:
    """Does a typed length carry its unit?"""
    return text.strip().lower().endswith(tuple(UNITS_MM))


def read_length_mm(text: str) -> float:
    """Read a length such as 0.5, 0,5, 0.5mm, 20thou or 0.02in; a bare number is millimetres.

    Raises:
        RefusalError: not a number, not finite, unknown unit, or a comma that may part thousands as well as decimals.
    """
    bare = text.strip()
    unit = next(
        (name for name in sorted(UNITS_MM, key=len, reverse=True) if bare.lower().endswith(name)),
        "",
    )
    number = bare[: len(bare) - len(unit)].strip() if unit else bare
    try:
        value = float(put_point(number))
    except ValueError:
        raise RefusalError(
            f"{text!r} is not a length; write it like 0.5, 0.5mm or 20thou"
        ) from None
    if not math.isfinite(value):
        raise RefusalError(f"{text!r} is not a finite length")
    return value * UNITS_MM[unit or "mm"]


def is_length(text: str) -> bool:
    """Can a length be read from it?"""
    try:
        read_length_mm(text)
    except RefusalError:
        return False
    return True


def say_length(mm: float, unit: str = "mm") -> str:
    """Write a length of so many mm in a unit, as short as it goes: inches to a tenth of a thou."""
    return f"{_say_number(mm, unit)} {unit}"


def say_range(low_mm: float, high_mm: float, unit: str = "mm") -> str:
    """Write from where to where a length may lie."""
    return f"{_say_number(low_mm, unit)} to {_say_number(high_mm, unit)} {unit}"


def _say_number(mm: float, unit: str) -> str:
    size = UNITS_MM[unit]
    return f"{mm:g}" if size == 1.0 else f"{round(mm / size, INCH_DIGITS):g}"


def read_plain_number(name: str, text: str) -> float:
    """Read a number whose unit its name says, such as speed_rpm. Raises RefusalError naming what it is of."""
    try:
        return float(put_point(text.strip()))
    except ValueError:
        raise RefusalError(
            f"{name} is {text!r}, not a number; write digits alone, in the unit that its name ends with"
        ) from None


def read_lengths_mm(text: str) -> tuple[float, ...]:
    """Read several lengths separated by commas, plus signs or spaces."""
    parts = [part for part in text.replace("+", " ").replace(",", " ").split() if part]
    if not parts:
        raise RefusalError("no thickness is given; write them like 0.5,0.3,0.2")
    return tuple(read_length_mm(part) for part in parts)


def read_pair(text: str, shape: str) -> tuple[str, str]:
    """Read NAME=VALUE; `shape` says in the error how it should look."""
    name, equals, value = text.partition("=")
    if not equals or not name.strip() or not value.strip():
        raise RefusalError(f"{text!r} is not of the form {shape}")
    return name.strip(), value.strip()


def read_measured(texts: tuple[str, ...]) -> tuple[dict[Term, float], dict[Term, float]]:
    """Read PIECE.DIMENSION=VALUE or PIECE.DIMENSION=VALUE+-GAUGE.

    Returns:
        Values in mm by (piece, dimension), and by how much in mm the gauge may be off where that is said.

    Raises:
        RefusalError: not of that form, no piece or dimension named, no length, or a gauge below zero.
    """
    found: dict[Term, float] = {}
    gauges: dict[Term, float] = {}
    for text in texts:
        name, typed = read_pair(text, "PIECE.DIMENSION=VALUE, like shaft.overhang=330.02")
        piece, dot, dimension = name.partition(".")
        if not dot:
            raise RefusalError(f"{name!r} is not PIECE.DIMENSION, like shaft.overhang")
        value, is_gauged, gauge = typed.partition(GAUGE_SIGN)
        found[piece, dimension] = read_length_mm(value)
        if is_gauged:
            off = read_length_mm(gauge)
            if off < 0.0:
                raise RefusalError(f"{text!r}: a gauge is off by no less than zero")
            gauges[piece, dimension] = off
    return found, gauges


@cache
def read_packets() -> tuple[StockShim, ...]:
    """Read what packets say: those of the drawer at the bench, then all thicknesses that can be bought."""
    return (*read_stock(DEPOT_DRAWER), *read_stock(USUAL_THICKNESSES))


def make_pack(thicknesses_mm: tuple[float, ...]) -> tuple[Dimension, ...]:
    """Make the thickness dimensions of a pack, shaft shoulder first, from values in mm.

    A shim may be off by what is said on the packet with its number; one of a thickness that no packet has was
    measured, and may be off by what the micrometer is. So it is the same pack from the drawing, from the drawer,
    and as typed, and its chance is one number.

    Raises:
        RefusalError: no shim at all, or one that is not thicker than nothing.
    """
    if not thicknesses_mm:
        raise RefusalError("a pack needs at least one shim")
    for value in thicknesses_mm:
        if value <= 0.0:
            raise RefusalError(f"a shim of {value:g} mm is no shim; a thickness is above zero")
    return tuple(_make_thickness(find_shim(read_packets(), one), one) for one in thicknesses_mm)


def _make_thickness(shim: StockShim, mm: float) -> Dimension:
    off = shim.tolerance_mm
    source = shim.source or Source("", 0, MEASURED)
    return Dimension("thickness", mm, mm - off, mm + off, Unit.MM, shim.distribution, source)


def read_stock(path: Path) -> tuple[StockShim, ...]:
    """Read a stock list: thickness,unit,tolerance,in_drawer, or thickness_mm,tolerance_mm,in_drawer.

    Raises:
        ContentError: with every fault, each with file, line and column.
    """
    shown = str(path)
    rows = read_cells(path, shown)
    heading = [cell.text for cell in rows[0]]
    columns = _stock_columns(heading)
    if columns is None:
        want = "thickness,unit,tolerance,in_drawer or thickness_mm,tolerance_mm,in_drawer"
        raise ContentError(
            [Fault(shown, 1, 1, f"heading is {','.join(heading)!r}", f"write {want}")]
        )
    faults: list[Fault] = []
    stock: list[StockShim] = []
    for row in rows[1:]:
        if len(row) != len(heading):
            what = f"has {len(row)} cells where the heading has {len(heading)}"
            faults.append(
                Fault(
                    shown,
                    row[0].line,
                    1,
                    what,
                    "use a decimal point, not a comma; leave no cell out",
                )
            )
            continue
        before = len(faults)
        shim = _stock_shim(dict(zip(heading, row, strict=True)), columns, shown, faults)
        if len(faults) == before and shim is not None:
            stock.append(shim)
    if not faults and not stock:
        faults.append(
            Fault(shown, 1, 0, "lists no shims", "add a line for each thickness in the drawer")
        )
    if faults:
        raise ContentError(faults)
    return tuple(stock)


def _stock_columns(heading: list[str]) -> tuple[str, str, str] | None:
    """Find which columns hold thickness, tolerance and how many; None when the heading is neither form."""
    count = next((name for name in COUNT_COLUMNS if name in heading), "")
    for thickness, tolerance, more in (
        ("thickness", "tolerance", {"unit"}),
        ("thickness_mm", "tolerance_mm", set()),
    ):
        if count and set(heading) == {thickness, tolerance, count} | more:
            return thickness, tolerance, count
    return None


def _stock_shim(
    cells: dict[str, Cell], columns: tuple[str, str, str], shown: str, faults: list[Fault]
) -> StockShim | None:
    thickness, tolerance, count = (_number(cells[name], name, shown, faults) for name in columns)
    unit = cells["unit"].text if "unit" in cells else "mm"
    if unit not in UNITS_MM:
        where = cells["unit"]
        faults.append(
            Fault(
                shown,
                where.line,
                where.column,
                f"unit {unit!r} is unknown" if unit else "the unit is missing",
                say_near(unit, UNITS_MM),
            )
        )
        return None
    if thickness is None or tolerance is None or count is None:
        return None
    for name, value, least in zip(
        columns, (thickness, tolerance, count), (1e-12, 0.0, 0.0), strict=True
    ):
        if value < least:
            cell = cells[name]
            remedy = "a thickness is above zero" if least else "it cannot be negative"
            faults.append(Fault(shown, cell.line, cell.column, f"{name} is {cell.text}", remedy))
            return None
    if count != int(count):
        cell = cells[columns[2]]
        faults.append(
            Fault(
                shown,
                cell.line,
                cell.column,
                f"{columns[2]} is {cell.text}",
                "write a whole number",
            )
        )
        return None
    source = Source(_name_stock(shown), cells[columns[0]].line, PACKET)
    shim = StockShim(
        thickness * UNITS_MM[unit], tolerance * UNITS_MM[unit], int(count), source=source
    )
    wrong = _find_unlikely(shim, cells[columns[0]].text, cells[columns[1]].text)
    if wrong:
        cell = cells[columns[0]]
        faults.append(Fault(shown, cell.line, cell.column, *wrong))
        return None
    return shim


def _name_stock(shown: str) -> str:
    """Name a stock list as tables are named, by its place among them; one from elsewhere by its own name."""
    path = Path(shown)
    return path.relative_to(TABLES).as_posix() if path.is_relative_to(TABLES) else path.name


def _find_unlikely(shim: StockShim, thickness: str, tolerance: str) -> tuple[str, str] | None:
    """Find what cannot be meant of a shim: far too thick, or less sure than it is thick."""
    if shim.thickness_mm > THICKEST_MM:
        what = f"a shim of {shim.thickness_mm:g} mm is no shim"
        return what, f"is {thickness} in thou or um? Write that in the column unit"
    if shim.tolerance_mm >= shim.thickness_mm:
        return (
            f"tolerance {tolerance} is no less than the thickness {thickness}",
            "write what it is off by",
        )
    return None


def _number(cell: Cell, name: str, shown: str, faults: list[Fault]) -> float | None:
    try:
        value = float(cell.text)
    except ValueError:
        what = f"{name} is {cell.text!r}, not a number" if cell.text else f"{name} is missing"
        faults.append(
            Fault(shown, cell.line, cell.column, what, "write digits with a decimal point")
        )
        return None
    if not math.isfinite(value):
        faults.append(
            Fault(shown, cell.line, cell.column, f"{name} is {cell.text}", "write a finite number")
        )
        return None
    return value


def read_order_lines(path: Path, build: Build) -> list[str]:
    """Read an order to be marked: one piece, part or piece of work a line.

    Blank lines and lines starting with # are passed over.

    Raises:
        ContentError: unreadable file, or names that are no piece or part, each with line and near matches.
    """
    shown = str(path)
    known = {*build.pieces, *build.places, *(work.key for work in build.work)}
    lines: list[str] = []
    faults: list[Fault] = []
    rows = read_cells(path, shown)
    if len(rows) > MOST_LINES:
        what = f"has {len(rows)} lines; an order has {MOST_LINES} at most"
        raise ContentError([Fault(shown, MOST_LINES + 1, 0, what, "name each piece once")])
    for row in rows:
        name = ",".join(cell.text for cell in row)
        if name.startswith("#"):
            continue
        if name not in known:
            faults.append(
                Fault(
                    shown,
                    row[0].line,
                    1,
                    f"no piece, part or work is called {name!r}",
                    say_near(name, known),
                )
            )
        lines.append(name)
    if not lines:
        faults.append(Fault(shown, 1, 0, "names no piece", "write one piece or part a line"))
    if faults:
        raise ContentError(faults)
    return lines
