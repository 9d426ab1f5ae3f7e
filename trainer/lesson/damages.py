"""What becomes of a damaged part: by what is measured on it, or always the same. `tables/damages.csv`.

`tables/mistaken.csv` says what else one may believe did it, and what would look otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from models.spec.cells import Cell, Faults, read_number
from models.spec.errors import say_near
from trainer.lesson.taught import TAUGHT, check_taught, read_taught

COLUMNS = ("damage", "places", "measure", "always", "reuse_to", "rework_to", "most", "source")
VERDICTS = ("reuse", "rework", "renew")
OF_BUILD = "limit"
"""Stands for what the build's own requirement allows of a clearance."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """In mm: up to what a part is used again, up to what it can be reworked, and the most that is ever drawn."""

    reuse_to: float
    rework_to: float
    most: float

    def judge(self, value_mm: float) -> str:
        """Say what becomes of a part on which so much was measured."""
        if value_mm <= self.reuse_to:
            return "reuse"
        return "rework" if value_mm <= self.rework_to else "renew"


@dataclass(frozen=True, slots=True)
class Damage:
    """A damage. places: parts it is found on; measure: what decides, "" where `always` does.

    bounds: None where nothing is measured, or the build's own limit decides.
    """

    name: str
    places: tuple[str, ...]
    measure: str
    always: str
    bounds: Bounds | None
    source: str


@lru_cache(maxsize=2)
def read_damages(folder: Path = TAUGHT) -> Mapping[str, Damage]:
    """Read the damages by name. Raises ContentError with every fault, each with its line."""
    rows, faults = read_taught("damages", COLUMNS, {"always": ("", *VERDICTS)}, folder)
    found = {}
    for name, row in rows.items():
        measure, always = row["measure"].text, row["always"].text
        if bool(measure) == bool(always):
            what = f"{name} is decided by both a measure and always, or by neither"
            faults.add(row["measure"], what, "write one of the two")
        bounds = _read_bounds(row, faults) if measure else None
        places = tuple(row["places"].text.split())
        found[name] = Damage(name, places, measure, always, bounds, row["source"].text)
    check_taught(faults)
    return found


def _read_bounds(row: Mapping[str, Cell], faults: Faults) -> Bounds | None:
    cells = [row[name] for name in ("reuse_to", "rework_to", "most")]
    if all(cell.text == OF_BUILD for cell in cells):
        return None
    low, middle, most = (read_number(cell, faults, "a bound") for cell in cells)
    if not low <= middle < most:
        faults.add(cells[0], "the bounds do not rise", "write them from small to large")
    return Bounds(low, middle, most)


@lru_cache(maxsize=2)
def read_mistaken(folder: Path = TAUGHT) -> Mapping[str, Mapping[str, str]]:
    """Read by damage what it is mistaken for the work of, each with who says so. Raises ContentError with every fault."""
    known = read_damages(folder)
    rows, faults = read_taught("mistaken", ("mistaken", "source"), folder=folder)
    found: dict[str, dict[str, str]] = {name: {} for name in known}
    for key, row in rows.items():
        damage, _, cause = key.partition(".")
        if damage not in known or not cause:
            faults.add(row["mistaken"], f"{key!r} is no DAMAGE.CAUSE", say_near(damage, known))
        else:
            found[damage][cause] = row["source"].text
    for name, causes in found.items():
        if not causes:
            faults.add(
                None, f"{name} is mistaken for nothing", "write what else one may believe did it"
            )
    check_taught(faults)
    return found
