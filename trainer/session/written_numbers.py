"""Fill an author's words with what they refer to on a build: so that no number of a lesson can go stale."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from models.spec.build import Build
from models.spec.clearance import ClearanceKind
from models.spec.dimension import Dimension, Unit
from models.spec.errors import RefusalError, say_near
from trainer.core.measure.chain import measure_clearance
from trainer.lesson.said import (
    Amount,
    Name,
    NameOf,
    Quantity,
    Rested,
    Said,
    name_clearance,
    name_part,
    say,
)
from trainer.lesson.written import Braced, End, Reference, RefersTo, Sourced, list_braced

MOST_DIGITS = 3
RESULT_DIGITS = 2
_QUANTITIES = {Unit.DEG: Quantity.ANGLE, Unit.EACH: Quantity.COUNT}


def say_written(build: Build, text: str) -> Said:
    """Say an author's words, filled with what they refer to on a build.

    Raises:
        RefusalError: the build has nothing of that name; near matches are given.
    """
    fields = {one.text: find_rest(build, one).number for one in list_braced(text)}
    return Said("", MappingProxyType(fields), text)


def list_rests(build: Build, *texts: str) -> tuple[Rested, ...]:
    """List the numbers of texts with what each rests on, each once. Raises RefusalError as `say_written` does."""
    found = {
        one.text: find_rest(build, one)
        for text in texts
        for one in list_braced(text)
        if not isinstance(one, Reference) or one.to not in _NAMES
    }
    return tuple(found.values())


def find_rest(build: Build, braced: Braced) -> Rested:
    """Find what stands for some braces. Raises RefusalError with near matches where the build has no such thing."""
    if isinstance(braced, Sourced):
        return Rested(braced.amount or braced.said, "", braced.source)
    if braced.to in _NAMES:
        named = _NAMES[braced.to](build, braced.name)
        return Rested(named, named)
    return _NUMBERS[braced.to](build, braced)


# ------------------------------------------------------------------ numbers
def _find_clearance(build: Build, reference: Reference) -> Rested:
    clearance = build.clearance(reference.name)
    measured = measure_clearance(build, clearance)
    value = measured.in_service_mm
    if reference.end is not None:
        value = measured.worst_mm[0 if reference.end is End.LEAST else 1]
    number = _make_gap(value, clearance.kind)
    return Rested(number, name_clearance(clearance.name))


def _find_limit(build: Build, reference: Reference) -> Rested:
    clearance = build.clearance(reference.name)
    required = build.find_requirement(clearance)
    value = {End.LEAST: required.lower, End.AIM: required.nominal, End.MOST: required.upper}
    assert reference.end is not None  # a limit is only read with its end
    number = _make_gap(value[reference.end], clearance.kind)
    of = say(f"lesson.limit-{reference.end}", clearance=name_clearance(clearance.name))
    return Rested(number, of, str(required.source))


def _find_dimension(build: Build, reference: Reference) -> Rested:
    part, _, key = reference.name.partition(".")
    names = build.pieces_at(part) or ((part,) if part in build.pieces else ())
    if not names:
        raise RefusalError(_say_no_part(build, part))
    rows = build.pieces[names[0]].dimensions
    if key not in rows:
        what = (
            f"{part} has no dimension called {key!r}" if key else f"no dimension of {part} is named"
        )
        raise RefusalError(f"{what}; {say_near(key, rows)}")
    row = rows[key]
    value = {None: row.nominal, End.LEAST: row.lower, End.MOST: row.upper}[reference.end]
    of = say("lesson.dimension", part=name_part(part) if part in build.places else part)
    return Rested(_make_amount(row, value), of, str(row.source))


def _find_count(build: Build, reference: Reference) -> Rested:
    pieces = build.pieces_at(reference.name)
    if not pieces:
        raise RefusalError(_say_no_part(build, reference.name))
    return Rested(len(pieces), name_part(reference.name))


def _find_result(build: Build, reference: Reference) -> Rested:
    if reference.name not in build.results:
        near = say_near(reference.name, build.results)
        raise RefusalError(f"{build.name} has no result called {reference.name!r}; {near}")
    number = Amount(float(build.results[reference.name]), Quantity.COUNT, RESULT_DIGITS)
    return Rested(number, say("lesson.result"))


def _make_gap(value: float, kind: ClearanceKind) -> Amount:
    if kind is ClearanceKind.SHARE:
        return Amount(value, Quantity.SHARE, 0)
    return Amount(value)


def _make_amount(row: Dimension, value: float) -> Amount:
    return Amount(value, _QUANTITIES.get(row.unit, Quantity.LENGTH), count_digits(value))


def count_digits(value: float) -> int:
    """Count the digits after the point that a drawing's number is written with."""
    return next(n for n in range(MOST_DIGITS + 1) if n == MOST_DIGITS or round(value, n) == round(value, 6))  # fmt: skip


# ------------------------------------------------------------------ names
def _name_part(build: Build, name: str) -> Name:
    if name in build.pieces and name not in build.places:
        return Name(NameOf.PIECE, name)
    if name not in build.places:
        raise RefusalError(_say_no_part(build, name))
    return name_part(name)


def _name_option(build: Build, name: str) -> Name:
    if name not in build.options:
        near = say_near(name, build.options)
        raise RefusalError(f"{build.name} has no option called {name!r}; {near}")
    return Name(NameOf.VALUE, f"{name}={build.options[name]}")


def _name_pump(build: Build, name: str) -> Name:
    if name != build.name:
        raise RefusalError(f"the pump that is shown here is {build.name}, not {name}")
    return Name(NameOf.PUMP, name)


def _say_no_part(build: Build, name: str) -> str:
    return f"{build.name} as chosen has no part called {name!r}; {say_near(name, [*build.places, *build.pieces])}"


_NAMES: Mapping[RefersTo, Callable[[Build, str], Name]] = {
    RefersTo.PART: _name_part,
    RefersTo.OPTION: _name_option,
    RefersTo.PUMP: _name_pump,
}
_NUMBERS: Mapping[RefersTo, Callable[[Build, Reference], Rested]] = {
    RefersTo.CLEARANCE: _find_clearance,
    RefersTo.LIMIT: _find_limit,
    RefersTo.DIMENSION: _find_dimension,
    RefersTo.COUNT: _find_count,
    RefersTo.RESULT: _find_result,
}
