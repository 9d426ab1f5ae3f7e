"""Read what a part may be had in: `material-choices.csv`, whose source stands in the TOML file beside it.

A row's key is `PART.MATERIAL`, where PART is a place of a family or a kind of part; what stands for the
place replaces what stands for the kind. The first row of a part is the usual choice, and so the
material that the part is drawn and weighed in.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from models.spec.cells import read_rows, read_table
from models.spec.errors import ContentError

COLUMNS = ("choice", "when")
USUAL = "usual"
"""How the word key of a usual choice's reason begins; that of no other choice does."""


@dataclass(frozen=True, slots=True)
class MaterialChoice:
    """One material that a part may be had in (a word key), and the word key of when one chooses it."""

    material: str
    when: str

    @property
    def is_usual(self) -> bool:
        """Say whether this is what the part is made of as a rule."""
        return self.when.startswith(USUAL)


Choices = Mapping[str, tuple[MaterialChoice, ...]]
"""Choices by place or by kind of part, the usual one first."""


def read_material_choices(tables: Path) -> Choices:
    """Read the choices of every part.

    Raises:
        ContentError: with every fault, each with file, line and column.
    """
    rows, faults = read_table(tables, "material-choices.csv", COLUMNS)
    found: dict[str, list[MaterialChoice]] = {}
    for key, when in read_rows(rows, faults):
        part, dot, material = key.text.partition(".")
        if not (part and dot and material and when.text):
            faults.add(key, f"{key.text!r} names no part, no material or no reason", "fill it in")
            continue
        choice = MaterialChoice(material, when.text)
        if choice.is_usual != (part not in found):
            what = f"the first choice of {part}, and no other, is the usual one"
            faults.add(when, what, f"let its reason alone begin with {USUAL!r}")
        found.setdefault(part, []).append(choice)
    if faults:
        raise ContentError(faults)
    return {part: tuple(choices) for part, choices in found.items()}


def find_choices(choices: Choices, place: str, kind: str) -> tuple[MaterialChoice, ...]:
    """Find what the part in a place may be had in: by its place, else by its kind; empty if neither has rows."""
    return choices.get(place) or choices.get(kind, ())
