"""Make a build: read the size, settle the options, fill the places, place every piece; or make one with a mistake in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import TypedDict, Unpack

from models.spec.build import CASING, COLDEST_C, HOTTEST_C, SHAFT, TABLES, Build
from models.spec.choosing import choose, fill_places
from models.spec.dimension import Dimension
from models.spec.errors import RefusalError, say_near
from models.spec.family import Family
from models.spec.fault import SeededFault
from models.spec.length import Term
from models.spec.placing import Placing
from models.spec.table import SizeTable, list_sizes, read_size


class Given(TypedDict, total=False):
    """What a build may be given beside its options.

    measured: values in mm by (piece, dimension) that replace the middle of the limits.
    gauges: by how much in mm, up or down, the gauge of a measured value may be off.
    pack: thickness dimensions of the shims, shaft shoulder first; default: the table's `pack` rows.
    limits: what the shop itself requires of clearances, by their names, in the place of the tables' rows.
    temperatures_c: of SHAFT and CASING, in C; what is not named has the 20 C at which it was measured.
    tables: folder of tables.
    """

    measured: Mapping[Term, float] | None
    gauges: Mapping[Term, float] | None
    pack: Sequence[Dimension] | None
    limits: Mapping[str, Dimension] | None
    temperatures_c: Mapping[str, float] | None
    tables: Path


def make_build(
    family: Family, size: str, options: Mapping[str, str] | None = None, **given: Unpack[Given]
) -> Build:
    """Make a build from its size table.

    Args:
        family: the family.
        size: the name of its size table.
        options: chosen values; those not named take their first value that goes with the others.
        **given: what else is known of it.

    Raises:
        ContentError: a table is wrong. RefusalError: unknown or impossible option, size, measurement or temperature.
    """
    tables = given.get("tables", TABLES)
    sizes = list_sizes(tables, family.name)
    if size not in sizes:
        raise RefusalError(f"no build is called {family.name}/{size}; {say_near(size, sizes)}")
    if tables == TABLES:
        table = _read_own(family.name, size)
    else:
        table = read_size(tables, family.name, size)
    required = {**table.parts.get("clearance", {}), **(given.get("limits") or {})}
    table = replace(table, parts={**table.parts, "clearance": required})
    chosen = choose(family, options or {})
    filled = fill_places(family, chosen)
    pack = given.get("pack")
    chosen_pack = pack if pack is not None else table.parts.get("pack", {}).values()
    thicknesses = tuple(replace(shim, key="thickness") for shim in chosen_pack)
    known = dict(given.get("measured") or {}), dict(given.get("gauges") or {})
    placed = Placing(family, table, chosen, filled, thicknesses, *known).build()
    return replace(placed, temperatures_c=_check_temperatures(given.get("temperatures_c") or {}))


@cache
def _read_own(family: str, size: str) -> SizeTable:
    """Read a table that comes with the program once: it doesn't change meanwhile, and reading is most of making a build."""
    return read_size(TABLES, family, size)


def _check_temperatures(given: Mapping[str, float]) -> Mapping[str, float]:
    for name, value in given.items():
        if name not in (SHAFT, CASING):
            raise RefusalError(f"nothing has a temperature called {name!r}; {say_near(name, (SHAFT, CASING))}")  # fmt: skip
        if not COLDEST_C <= value <= HOTTEST_C:
            between = f"write a temperature between {COLDEST_C:g} and {HOTTEST_C:g} C"
            raise RefusalError(
                f"{name} at {value:g} C: {between}, for which the tables' growth holds"
            )
    return dict(given)


def change_pack(build: Build, pack: Sequence[Dimension]) -> Build:
    """Make a build anew with other shims; all else that was given of it stays. Raises RefusalError for an empty pack."""
    filled = fill_places(build.family, build.options)
    known = dict(build.measured), dict(build.gauges)
    placing = Placing(build.family, build.size, dict(build.options), filled, tuple(pack), *known)
    return replace(placing.build(), temperatures_c=build.temperatures_c)


def find_fault(family: Family, key: str) -> SeededFault:
    """Find a family's fault by its key. Raises RefusalError with near matches."""
    for fault in family.faults:
        if fault.key == key:
            return fault
    near = say_near(key, (fault.key for fault in family.faults))
    raise RefusalError(f"{family.name} has no fault {key!r}; {near}")


def make_faulty(sound: Build, fault: SeededFault) -> Build:
    """Make the build that a mistake makes of a sound one, placed and joined like any other.

    Raises:
        RefusalError: the options chosen do not allow this mistake, or the part that it concerns is not there.
    """
    for option, values in sound.family.list_needs(fault).items():
        chosen = sound.options[option]
        if chosen not in values:
            asked = " or ".join(f"{option}={value}" for value in values)
            raise RefusalError(
                f"{sound.name} with {option}={chosen} cannot have the fault {fault.key}; choose {asked}"
            )
    lacking = [place for place in fault.places if not sound.has(place)]
    if lacking:
        raise RefusalError(
            f"{sound.name} cannot have the fault {fault.key}: as chosen it has no {lacking[0]}"
        )
    family = replace(sound.family, amiss=fault.fills)
    filled = fill_places(family, sound.options)
    pack = sound.pack[: len(sound.pack) - fault.shims_left_out]
    chosen_values = dict(sound.options), filled, pack, dict(sound.measured), dict(sound.gauges)
    placed = Placing(family, sound.size, *chosen_values).build()
    return replace(placed, temperatures_c=sound.temperatures_c)
