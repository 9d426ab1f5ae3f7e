"""Every build there is, by name: families of pumps, and the sizes their tables give."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Unpack

from models.exhibits import EXHIBITS
from models.pumps import end_suction, self_priming
from models.spec.build import TABLES, Build
from models.spec.errors import RefusalError, say_near
from models.spec.family import Family
from models.spec.making import Given, make_build
from models.spec.table import list_sizes

FAMILIES: Mapping[str, Family] = {
    family.name: family for family in (end_suction.FAMILY, self_priming.FAMILY, *EXHIBITS)
}


def list_builds(tables: Path = TABLES) -> dict[str, Family]:
    """List every FAMILY/SIZE that has a table, with its family."""
    return {
        f"{name}/{size}": family
        for name, family in FAMILIES.items()
        for size in list_sizes(tables, name)
    }


def make_named_build(
    name: str, options: Mapping[str, str] | None = None, **given: Unpack[Given]
) -> Build:
    """Make a build by its FAMILY/SIZE name.

    Raises:
        RefusalError: there is none of that name (with near matches), or it cannot be as chosen.
    """
    known = list_builds(given.get("tables", TABLES))
    if name not in known:
        raise RefusalError(f"no build is called {name!r}; {say_near(name, known)}")
    return make_build(known[name], name.partition("/")[2], options, **given)
