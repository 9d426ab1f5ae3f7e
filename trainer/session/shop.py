"""Read what a shop says of its own pumps: the limits it goes by, and how warm shaft and casing run."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from models.builds import FAMILIES
from models.spec.cells import Cell, Faults, read_cells, read_number, read_rows
from models.spec.clearance import ClearanceKind
from models.spec.dimension import Dimension, Distribution, Source
from models.spec.errors import ContentError, RefusalError, say_near
from models.spec.limits import check_order
from models.spec.units import UNITS_MM
from trainer.session.quantities import put_point
from trainer.session.typed import read_pair

HEADING = ("clearance", "least", "aim", "most", "unit", "source")
SHARE_UNITS = {"%": 0.01}
"""Unit of what is a share, such as the squeeze of an O-ring."""


def read_shop_limits(path: Path) -> dict[str, Dimension]:
    """Read a shop's limits file: one row a clearance, for whichever of its pumps has such a one.

    Returns:
        By name what is required: nominal is the aim, its limits the least and the most; in mm or as a share.

    Raises:
        ContentError: with every fault, each with file, line and column.
    """
    shown = str(path)
    rows = read_cells(path, shown)
    faults = Faults(shown)
    if [cell.text for cell in rows[0]] != list(HEADING):
        faults.add(rows[0][0], "has another heading", f"write {','.join(HEADING)}")
        raise ContentError(faults)
    kinds = {
        name: clearance.kind
        for family in FAMILIES.values()
        for name, clearance in family.every_clearance().items()
    }
    found = {row[0].text: _read_row(row, kinds, faults) for row in read_rows(rows, faults)}
    if not found and not faults:
        faults.add(None, "has no rows", "write one for each clearance that the shop sets itself")
    if faults:
        raise ContentError(faults)
    return {name: required for name, required in found.items() if required is not None}


def _read_row(
    row: Sequence[Cell], kinds: Mapping[str, ClearanceKind], faults: Faults
) -> Dimension | None:
    before = len(faults)
    name, *cells, unit, source = row
    least, aim, most = (
        read_number(cell, faults, column) for cell, column in zip(cells, HEADING[1:4], strict=True)
    )
    check_order(cells, (least, aim, most), faults)
    kind = kinds.get(name.text)
    if kind is None:
        faults.add(name, f"no clearance is called {name.text!r}", say_near(name.text, kinds))
    if not source.text:
        faults.add(source, "source is missing", "write who says so, or where it is written")
    factor = _read_unit(unit, kind, faults)
    if len(faults) > before or kind is None:
        return None
    least, aim, most = (value * factor for value in (least, aim, most))
    said = Source(faults.file, name.line, source.text)
    return Dimension(name.text, aim, least, most, kind.unit, Distribution.NORMAL, said)


def _read_unit(cell: Cell, kind: ClearanceKind | None, faults: Faults) -> float:
    """Read what a row's numbers are counted in, and give its factor to mm or to a share."""
    known = SHARE_UNITS if kind is ClearanceKind.SHARE else UNITS_MM
    if cell.text in known:
        return known[cell.text]
    either = f"write one of {', '.join(known)}"
    if not cell.text:
        faults.add(cell, "unit is missing", f"{either}: it is never guessed")
    elif cell.text in {**SHARE_UNITS, **UNITS_MM} and kind is not None:
        what = "a share" if kind is ClearanceKind.SHARE else "a length"
        faults.add(cell, f"unit {cell.text!r} does not go with {what}", either)
    else:
        faults.add(cell, f"unit {cell.text!r} is unknown", either)
    return math.nan


def read_temperatures_c(texts: Iterable[str]) -> dict[str, float]:
    """Read PART=DEGREES, as shaft=60, in degrees C.

    Raises:
        RefusalError: not of that form, or no finite number.
    """
    found: dict[str, float] = {}
    for text in texts:
        name, typed = read_pair(text, "PART=DEGREES, like shaft=60")
        try:
            value = float(put_point(typed))
        except ValueError:
            raise RefusalError(f"{text!r} has no temperature; write degrees C, like 60") from None
        if not math.isfinite(value):
            raise RefusalError(f"{text!r} has no finite temperature; write degrees C, like 60")
        found[name] = value
    return found
