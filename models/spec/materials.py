"""Read what is known of materials: how heavy each is (`materials.csv`), how metals give and grow (`metals.csv`).

The source of each table stands in the TOML file beside it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from models.spec.cells import read_number, read_rows, read_table
from models.spec.errors import ContentError
from models.spec.part import Material

COLUMNS = ("material", "density_kg_per_m3")
METAL_COLUMNS = ("material", "modulus_gpa", "poisson_ratio", "expansion_um_per_m_k", "strength_mpa")
MOST_POISSON = 0.5
"""Poisson's ratio of what keeps its volume: no metal reaches it."""
MPA_PER_GPA = 1e3
MM_PER_UM_PER_M = 1e-6


@dataclass(frozen=True, slots=True)
class Metal:
    """How a metal gives under load and grows with heat.

    modulus_mpa: Young's modulus. poisson_ratio: how much it narrows as it stretches. expansion_per_k:
    growth of each mm for each kelvin. strength_mpa: stress at which it yields, of grey iron breaks.
    """

    modulus_mpa: float
    poisson_ratio: float
    expansion_per_k: float
    strength_mpa: float


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


@cache
def read_metals(tables: Path) -> Mapping[Material, Metal]:
    """Read how every metal gives, grows and bears. What is no metal has no row.

    Raises:
        ContentError: with every fault, each with file, line and column.
    """
    rows, faults = read_table(tables, "metals.csv", METAL_COLUMNS)
    metals: dict[Material, Metal] = {}
    for name, *cells in read_rows(rows, faults):
        before = len(faults)
        if name.text not in set(Material):
            faults.add(name, f"no part is of {name.text!r}", f"use one of {', '.join(Material)}")
        numbers = [
            read_number(cell, faults, head)
            for cell, head in zip(cells, METAL_COLUMNS[1:], strict=True)
        ]
        for cell, head, value in zip(cells, METAL_COLUMNS[1:], numbers, strict=True):
            if value <= 0.0:
                faults.add(cell, f"{head} is {cell.text}", "write a number above zero")
        modulus, poisson, expansion, strength = numbers
        if poisson >= MOST_POISSON:
            remedy = f"a metal's is below {MOST_POISSON:g}"
            faults.add(cells[1], f"{METAL_COLUMNS[2]} is {cells[1].text}", remedy)
        if len(faults) == before:
            metals[Material(name.text)] = Metal(
                modulus * MPA_PER_GPA, poisson, expansion * MM_PER_UM_PER_M, strength
            )
    if faults:
        raise ContentError(faults)
    return metals
