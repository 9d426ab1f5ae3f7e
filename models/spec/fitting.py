"""Read which component suits which duty: `fitting/suits.csv` and `duties.csv`, with the sources in the TOML beside.

A row of the first says what a component takes of one criterion, as levels or as a range of numbers; of a
criterion that it has no row for it takes anything. A row of the second says what a duty asks of it. So which
components suit is worked out, and why another does not is the criterion that it fails.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from models.spec.cells import Cell, Faults, read_number, read_rows, read_settings, read_table
from models.spec.errors import ContentError, Fault, say_near

SUITS, DUTIES, SETTINGS = "fitting/suits.csv", "fitting/duties.csv", "fitting/fitting.toml"
SUIT_COLUMNS, DUTY_COLUMNS = ("suits", "takes", "source"), ("asked", "is")
SECTIONS = ("sources", "numbers", "sets")
KEY_NAMES = 3
MANY = 4
"""So many components of a set are told apart by each duty; of fewer it may be that any would do, or none."""
TO = ".."
"""Stands between the ends of a range."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What is taken, or asked, of one criterion: levels, or a range of numbers from the first to the last."""

    levels: tuple[str, ...] = ()
    between: tuple[float, float] | None = None

    def has(self, other: Taken) -> bool:
        """Say whether all of the other lies in this."""
        if self.between and other.between:
            return self.between[0] <= other.between[0] and other.between[1] <= self.between[1]
        return set(other.levels) <= set(self.levels) and not other.between

    def meets(self, other: Taken) -> bool:
        """Say whether any of the other lies in this."""
        if self.between and other.between:
            return self.between[0] <= other.between[1] and other.between[0] <= self.between[1]
        return bool(set(other.levels) & set(self.levels))


@dataclass(frozen=True, slots=True)
class Suit:
    """What a component takes of one criterion, and who says so."""

    takes: Taken
    source: str


@dataclass(frozen=True, slots=True)
class FittingDuty:
    """What one duty asks, by criterion, of the components of a set."""

    name: str
    set: str
    asks: Mapping[str, Taken]


@dataclass(frozen=True, slots=True)
class Fitting:
    """Everything that is known of it.

    suits: by set, component and criterion. duties: by name. families: on which a set can be asked for.
    units, steps: of criteria in numbers, the unit in which they are told and to what they are rounded.
    """

    suits: Mapping[str, Mapping[str, Mapping[str, Suit]]]
    duties: Mapping[str, FittingDuty]
    families: Mapping[str, tuple[str, ...]]
    units: Mapping[str, str]
    steps: Mapping[str, float]

    def find_failed(self, duty: FittingDuty, component: str) -> tuple[str, ...]:
        """Find the criteria of a duty that a component fails; none where it suits."""
        rows = self.suits[duty.set][component]
        return tuple(
            criterion
            for criterion, asked in duty.asks.items()
            if criterion in rows and not rows[criterion].takes.has(asked)
        )

    def list_suiting(self, duty: FittingDuty) -> tuple[str, ...]:
        """List the components that suit a duty."""
        return tuple(c for c in self.suits[duty.set] if not self.find_failed(duty, c))


@lru_cache(maxsize=4)
def read_fitting(tables: Path) -> Fitting:
    """Read which component suits which duty.

    Raises:
        ContentError: with every fault of a table, each with file, line and column.
    """
    settings = read_settings(tables / SETTINGS, SETTINGS)
    missing = [name for name in SECTIONS if not isinstance(settings.get(name), dict)]
    if missing:
        raise ContentError([Fault(SETTINGS, 0, 0, f"has no section {missing[0]}", "add it")])
    components = {name: tuple(one["components"]) for name, one in settings["sets"].items()}
    suits = _read_suits(tables, components, settings["sources"])
    numbers = settings["numbers"]
    fitting = Fitting(
        suits,
        _read_duties(tables, components),
        {name: tuple(one["families"]) for name, one in settings["sets"].items()},
        {name: str(one["unit"]) for name, one in numbers.items()},
        {name: float(one["step"]) for name, one in numbers.items()},
    )
    _check(fitting)
    return fitting


def _read_suits(
    tables: Path, components: Mapping[str, tuple[str, ...]], sources: Mapping[str, str]
) -> dict[str, dict[str, dict[str, Suit]]]:
    rows, faults = read_table(tables, SUITS, SUIT_COLUMNS)
    found: dict[str, dict[str, dict[str, Suit]]] = {
        name: {one: {} for one in known} for name, known in components.items()
    }
    for key, takes, source in read_rows(rows, faults):
        names = _split_key(key, components, faults)
        if names is None:
            continue
        for cell, column, known in (
            (key, "component", components[names[0]]),
            (source, "source", tuple(sources)),
        ):
            text = names[1] if column == "component" else cell.text
            if text not in known:
                faults.add(cell, f"{column} {text!r} is unknown", say_near(text, known))
                break
        else:
            suit = Suit(_read_taken(takes, faults), sources[source.text])
            found[names[0]][names[1]][names[2]] = suit
    if faults:
        raise ContentError(faults)
    return found


def _read_duties(tables: Path, components: Mapping[str, tuple[str, ...]]) -> dict[str, FittingDuty]:
    rows, faults = read_table(tables, DUTIES, DUTY_COLUMNS)
    found: dict[tuple[str, str], dict[str, Taken]] = {}
    for key, asked in read_rows(rows, faults):
        names = _split_key(key, components, faults)
        if names is not None:
            found.setdefault(names[:2], {})[names[2]] = _read_taken(asked, faults)
    if faults:
        raise ContentError(faults)
    return {name: FittingDuty(name, of, asks) for (of, name), asks in found.items()}


def _split_key(
    cell: Cell, components: Mapping[str, tuple[str, ...]], faults: Faults
) -> tuple[str, str, str] | None:
    """Split SET.NAME.CRITERION; note it and give None where it is none, or of an unknown set."""
    names = cell.text.split(".")
    if len(names) != KEY_NAMES or not all(names):
        faults.add(cell, f"{cell.text!r} is no SET.NAME.CRITERION", "write all three")
        return None
    if names[0] not in components:
        faults.add(cell, f"set {names[0]!r} is unknown", say_near(names[0], components))
        return None
    return names[0], names[1], names[2]


def _read_taken(cell: Cell, faults: Faults) -> Taken:
    low, is_range, high = cell.text.partition(TO)
    if not is_range:
        if not cell.text:
            faults.add(cell, "takes nothing", f"write levels with spaces between, or LOW{TO}HIGH")
        return Taken(tuple(cell.text.split()))
    ends = [
        read_number(Cell(text, cell.line, cell.column), faults, "an end of the range")
        for text in (low, high)
    ]
    if ends[1] < ends[0]:
        faults.add(cell, f"the range {cell.text} ends before it begins", "swap its ends")
    return Taken(between=(ends[0], ends[1]))


def _check(fitting: Fitting) -> None:
    """Check that of many components each duty leaves some to fit and some not to, and that no range is half suited."""
    faults = Faults(DUTIES)
    for duty in fitting.duties.values():
        rows = fitting.suits[duty.set]
        suiting = fitting.list_suiting(duty)
        if len(rows) >= MANY and (not suiting or len(suiting) == len(rows)):
            how = "nothing" if not suiting else "everything"
            faults.add(None, f"{how} suits the duty {duty.name}", "change what it asks")
        for criterion, asked in duty.asks.items():
            known = [row[criterion].takes for row in rows.values() if criterion in row]
            if not known:
                faults.add(None, f"{duty.name} asks {criterion}, of which nothing is known", f"add a row to {SUITS}")  # fmt: skip
            if any(takes.meets(asked) and not takes.has(asked) for takes in known):
                faults.add(None, f"{duty.name}: something suits one part of {criterion} and not the other", "narrow it")  # fmt: skip
            if asked.between and criterion not in fitting.units:
                faults.add(None, f"{duty.name} asks {criterion} in numbers that have no unit", f"add it to {SETTINGS}")  # fmt: skip
    if faults:
        raise ContentError(faults)
