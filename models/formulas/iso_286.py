"""Limits and fits: the deviations of a tolerance class at a size, and what a hole and a shaft leave between them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from itertools import pairwise
from pathlib import Path

from models.spec.build import TABLES
from models.spec.errors import ContentError, Fault, RefusalError, say_near
from models.spec.standard import PartRows, read_standard

GRADES = range(5, 12)
LARGEST_MM = 500.0
UM_PER_MM = 1000.0
ABOVE_LINE = ("c", "d", "e", "f", "g", "h")
"""Letters whose shaft lies below the nominal size and whose hole lies above it."""
PRESSED = ("p", "r", "s", "u")
"""Letters of interference, whose holes follow the special rule up to grade 7."""
RULE_TO_GRADE = {"k": 8, "m": 8, "n": 8} | dict.fromkeys(PRESSED, 7)
"""Up to which grade a hole of the letter is set so that it fits as the shaft of one grade finer does in H."""
LEAST_GRADE = 6
"""The finest grade of such a hole here: the rule needs the grade below it."""
SAME_UM = 1e-3
"""Two deviations closer than this are the same: tables are written in whole or half micrometres."""


class FitKind(StrEnum):
    """What a hole and a shaft of given limits may have between them."""

    CLEARANCE = "clearance"
    TRANSITION = "transition"
    INTERFERENCE = "interference"


@dataclass(frozen=True, slots=True)
class Limits:
    """Limit deviations of one tolerance class at one size, in um from the nominal size."""

    size_mm: float
    name: str
    lower_um: float
    upper_um: float
    source: str

    @property
    def is_hole(self) -> bool:
        """Is it the class of a hole?"""
        return self.name[0].isupper()


@dataclass(frozen=True, slots=True)
class Fit:
    """What lies between a hole and a shaft, in um on the diameter: clearance above zero, interference below."""

    least_um: float
    most_um: float

    @property
    def kind(self) -> FitKind:
        """What it may be: always clearance (or nothing), always interference, or either.

        Source: ISO 286-1:2010, terms clearance fit, interference fit, transition fit; from memory.
        """
        if self.least_um >= 0.0:
            return FitKind.CLEARANCE
        return FitKind.INTERFERENCE if self.most_um <= 0.0 else FitKind.TRANSITION


def find_limits(size_mm: float, name: str, tables: Path = TABLES) -> Limits:
    """Find the limit deviations of a tolerance class such as H7 or k6 at a nominal size.

    The grade gives the width of the zone, the letter where its end nearest the nominal size lies. A hole
    lies as its shaft does, mirrored at the nominal size; holes K, M, N to grade 8 and P to U to grade 7
    are raised by the step from the next finer grade to their own, so that H7/p6 and P7/h6 fit alike.
    Source: ISO 286-1:2010; the values as the two tables' own files say, the rule for holes as printed below
    table 15.3 of Narayana, Kannaiah, Venkata Reddy, Machine Drawing. Held against them in tests/evidence.
    Valid over 0 up to and including 500 mm, grades 5 to 11 (holes K to U from grade 6, j and J where the
    standard has them).

    Args:
        size_mm: nominal size. A size on a bound belongs to the step that ends there.
        name: letter and grade; capitals are holes.
        tables: folder of tables.

    Raises:
        RefusalError: a size out of range, or a class that is not known, with near matches.
    """
    steps = _find_steps(size_mm, tables)
    if name not in list_classes():
        raise RefusalError(
            f"no tolerance class {name!r} is known here; {say_near(name, list_classes())}"
        )
    letter, grade = name.rstrip("0123456789"), int(name.lstrip(_LETTERS))
    lower, upper = _place_zone(steps, letter, grade)
    row = steps.grades if letter.lower() in ("h", "js") else steps.deviations
    return Limits(size_mm, name, lower, upper, str(row["to"].source))


def find_fit(hole: Limits, shaft: Limits) -> Fit:
    """Find what a hole and a shaft leave between them. Raises ValueError unless one is a hole and one a shaft of its size."""
    if not hole.is_hole or shaft.is_hole or hole.size_mm != shaft.size_mm:
        raise ValueError(f"{hole.size_mm:g} {hole.name} with {shaft.size_mm:g} {shaft.name}")
    return Fit(hole.lower_um - shaft.upper_um, hole.upper_um - shaft.lower_um)


def find_chance_of_interference(mean_um: float, sigma_um: float) -> float:
    """Find the chance, 0 to 1, that a clearance of that mean is below nothing, normal about it.

    Source: the normal distribution; that six standard deviations fill a tolerance is common practice.
    """
    if sigma_um <= 0.0:
        return 1.0 if mean_um < 0.0 else 0.0
    return 0.5 * math.erfc(mean_um / sigma_um / math.sqrt(2.0))


def recognise_class(
    size_mm: float, lower_um: float, upper_um: float, *, hole: bool, tables: Path = TABLES
) -> str:
    """Recognise the tolerance class whose limits at this size are exactly these; "" when none is."""
    if not 0.0 < size_mm <= LARGEST_MM:
        return ""
    steps = _find_steps(size_mm, tables)
    for name in list_classes():
        if name[0].isupper() == hole:
            letter, grade = name.rstrip("0123456789"), int(name.lstrip(_LETTERS))
            low, high = _place_zone(steps, letter, grade)
            if abs(low - lower_um) < SAME_UM and abs(high - upper_um) < SAME_UM:
                return name
    return ""


@cache
def list_classes() -> tuple[str, ...]:
    """List every tolerance class known here, the commonest letters first."""
    return tuple(
        f"{letter}{grade}" for letter in _ZONES for grade in GRADES if _is_given(letter, grade)
    )


def _is_given(letter: str, grade: int) -> bool:
    if letter in _ONLY_GRADES:
        return grade in _ONLY_GRADES[letter]
    return not letter.isupper() or letter.lower() not in RULE_TO_GRADE or grade >= LEAST_GRADE


_ONLY_GRADES: Mapping[str, tuple[int, ...]] = {
    "j": (5, 6, 7),
    "J": (6, 7, 8),
    "K": (6, 7, 8),
    "M": (6, 7, 8),
}
"""Letters that the standard has, or is used here, in these grades alone."""


@dataclass(frozen=True, slots=True)
class _Steps:
    """The rows of both tables in which one size lies."""

    grades: PartRows
    deviations: PartRows

    def width_um(self, grade: int) -> float:
        return _um(self.grades, f"it{grade}")

    def deviation_um(self, letter: str) -> float:
        return _um(self.deviations, letter)


def _um(row: PartRows, key: str) -> float:
    return round(row[key].nominal * UM_PER_MM, 3)


@cache
def _read_steps(tables: Path, name: str) -> tuple[PartRows, ...]:
    rows = tuple(read_standard(tables, name).values())
    for below, above in pairwise(rows):
        if below["to"].nominal != above["over"].nominal:
            raise ContentError([Fault(f"standard/{name}.csv", 0, 0, f"leaves a gap above {below['to'].nominal:g} mm", "add the step")])  # fmt: skip
    return rows


def _find_steps(size_mm: float, tables: Path) -> _Steps:
    if not 0.0 < size_mm <= LARGEST_MM:
        raise RefusalError(
            f"a nominal size of {size_mm:g} mm is outside 0 to {LARGEST_MM:g} mm, where limits are known here"
        )
    grades, deviations = (
        next(row for row in _read_steps(tables, name) if size_mm <= row["to"].nominal)
        for name in ("tolerance-grades", "fundamental-deviations")
    )
    return _Steps(grades, deviations)


def _place_above(steps: _Steps, letter: str, width_um: float) -> tuple[float, float]:
    nearest = 0.0 if letter == "H" else -steps.deviation_um(letter.lower())
    return nearest, nearest + width_um


def _place_below(steps: _Steps, letter: str, width_um: float) -> tuple[float, float]:
    nearest = 0.0 if letter == "h" else steps.deviation_um(letter)
    return nearest - width_um, nearest


def _place_zone(steps: _Steps, letter: str, grade: int) -> tuple[float, float]:
    """Place the zone of a letter and grade: lower and upper deviation in um."""
    return _ZONES[letter](steps, letter, grade)


def _place_clear(steps: _Steps, letter: str, grade: int) -> tuple[float, float]:
    place = _place_above if letter.isupper() else _place_below
    return place(steps, letter, steps.width_um(grade))


def _place_even(steps: _Steps, _letter: str, grade: int) -> tuple[float, float]:
    half = steps.width_um(grade) / 2.0
    return -half, half


def _place_j(steps: _Steps, letter: str, grade: int) -> tuple[float, float]:
    width = steps.width_um(grade)
    if letter == "J":
        upper = steps.deviation_um(f"hole-j{grade}")
        return upper - width, upper
    lower = steps.deviation_um("j7" if grade == 7 else "j5-j6")
    return lower, lower + width


def _place_tight_shaft(steps: _Steps, letter: str, grade: int) -> tuple[float, float]:
    nearest = 0.0 if letter == "k" and grade > 7 else steps.deviation_um(letter)
    return nearest, nearest + steps.width_um(grade)


def _place_tight_hole(steps: _Steps, letter: str, grade: int) -> tuple[float, float]:
    """Place a hole of K to U: its shaft mirrored, raised by the step between grades where the rule holds.

    Source: Narayana, Kannaiah, Venkata Reddy, Machine Drawing, table 15.3 with its notes, that on M6 over 250
    up to 315 mm among them; that holes up to 3 mm are not raised, from memory.
    """
    low = letter.lower()
    to_mm = steps.grades["to"].nominal
    upper = -steps.deviation_um(low)
    if low == "n" and grade > RULE_TO_GRADE["n"]:
        upper = 0.0 if to_mm > 3.0 else upper
    elif grade <= RULE_TO_GRADE[low] and to_mm > 3.0:
        upper += steps.width_um(grade) - steps.width_um(grade - 1)
        if (letter, grade, to_mm) == ("M", 6, 315.0):
            upper += 2.0
    return upper - steps.width_um(grade), upper


def _list_zones() -> Iterator[tuple[str, Callable[[_Steps, str, int], tuple[float, float]]]]:
    for letter in ("H", "h", "G", "g", "F", "f", "E", "e", "D", "d", "C", "c"):
        yield letter, _place_clear
    for letter in ("JS", "js"):
        yield letter, _place_even
    for letter in ("J", "j"):
        yield letter, _place_j
    for letter in ("k", "m", "n", *PRESSED):
        yield letter, _place_tight_shaft
        yield letter.upper(), _place_tight_hole


_ZONES: Mapping[str, Callable[[_Steps, str, int], tuple[float, float]]] = dict(_list_zones())
_LETTERS = "".join(sorted({*"".join(_ZONES)}))
