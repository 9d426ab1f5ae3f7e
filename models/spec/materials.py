"""Read how heavy each material is: `materials.csv`, whose source stands in the TOML file beside it."""

from __future__ import annotations

from pathlib import Path

from models.spec.cells import read_number, read_rows, read_table
from models.spec.errors import ContentError
from models.spec.part import Material

COLUMNS = ("material", "density_kg_per_m3")


def read_densities(tables: Path) -> dict[Material, float]:
    """Read the density in kg/m3 of every material.

    Raises:
        ContentError: with every fault, each with file, line and column.
    """
    rows, faults = read_table(tables, "materials.csv", COLUMNS)
    densities: dict[Material, float] = {}
    for name, density in read_rows(rows, faults):
        value = read_number(density, faults, COLUMNS[1])
        if name.text not in set(Material):
            faults.add(name, f"no part is of {name.text!r}", f"use one of {', '.join(Material)}")
        elif value <= 0:
            faults.add(density, f"{name.text} weighs {density.text}", "write kg in a cubic metre")
        else:
            densities[Material(name.text)] = value
    named = {row[0].text for row in rows[1:]}
    for material in Material:
        if material not in named:
            faults.add(None, f"has no row for {material}", "add one")
    if faults:
        raise ContentError(faults)
    return densities
