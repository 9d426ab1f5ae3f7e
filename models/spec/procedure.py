"""Read procedures: how a pump is stripped and rebuilt as it is taught, with steps that move no part and steps again.

`procedures/steps.csv` has a row for each step, PROCEDURE.STEP, in the order in which it is taught. What a step needs
before it stands in the row, so that any order that heeds it is as good. Reverse of taking apart it is not: parts go on
for a trial and come off again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from pathlib import Path

from models.spec.cells import Cell, Faults, read_rows, read_table
from models.spec.errors import ContentError, say_near

STEPS = "procedures/steps.csv"
COLUMNS = ("step", "families", "does", "parts", "after", "critical", "source")
YES_NO = ("yes", "no")
SOURCES = ("common practice", "from memory")


class Does(StrEnum):
    """What a step does. WORK and MEASURE move no part; NEVER is not to be done at all."""

    WORK = "work"
    MEASURE = "measure"
    OFF = "off"
    ON = "on"
    NEVER = "never"


MOVES = (Does.OFF, Does.ON)


@dataclass(frozen=True, slots=True)
class ProcedureStep:
    """One step.

    parts: places that it moves, or of which one has to be there for the step to be there; none means always.
    after: steps that have to come before. is_critical: leaving it out, or doing what is never done, can hurt
    somebody or spoil the work for good.
    """

    name: str
    does: Does
    parts: tuple[str, ...]
    after: tuple[str, ...]
    is_critical: bool
    source: str


@dataclass(frozen=True, slots=True)
class Procedure:
    """A procedure as it is taught, of some families."""

    name: str
    families: tuple[str, ...]
    steps: tuple[ProcedureStep, ...]

    def fit(self, places: Mapping[str, object]) -> Procedure:
        """Give it for a build with such places: steps and parts that it lacks are left out, and what waits for them waits for what those wait for."""
        kept = [step for step in self.steps if not step.parts or any(p in places for p in step.parts)]  # fmt: skip
        names = {step.name for step in kept}
        by_name = {step.name: step for step in self.steps}

        def settle(after: Sequence[str]) -> tuple[str, ...]:
            found = dict[str, None]()
            for name in after:
                found |= dict.fromkeys((name,) if name in names else settle(by_name[name].after))
            return tuple(found)

        fitted = (
            ProcedureStep(
                step.name, step.does, tuple(p for p in step.parts if p in places),
                settle(step.after), step.is_critical, step.source,
            )
            for step in kept
        )  # fmt: skip
        return Procedure(self.name, self.families, tuple(fitted))


@lru_cache(maxsize=4)
def read_procedures(tables: Path) -> Mapping[str, Procedure]:
    """Read the procedures by name.

    Raises:
        ContentError: with every fault, each with file, line and column.
    """
    rows, faults = read_table(tables, STEPS, COLUMNS)
    found: dict[str, list[ProcedureStep]] = {}
    families: dict[str, tuple[str, ...]] = {}
    for row in read_rows(rows, faults):
        name, _, step = row[0].text.partition(".")
        if not step:
            faults.add(row[0], f"{row[0].text!r} is no PROCEDURE.STEP", "write both")
        named = tuple(row[1].text.split())
        if families.setdefault(name, named) != named:
            faults.add(row[1], f"{name} is of other families in its rows before", "write the same")
        read = _read_step(step, row, [one.name for one in found.get(name, [])], faults)
        if read is not None:
            found.setdefault(name, []).append(read)
    if faults:
        raise ContentError(faults)
    return {name: Procedure(name, families[name], tuple(steps)) for name, steps in found.items()}


def _read_step(
    name: str, row: Sequence[Cell], before: Sequence[str], faults: Faults
) -> ProcedureStep | None:
    many = len(faults)
    _, _, does, parts, after, critical, source = row
    for cell, what, known in (
        (does, "does", list(Does)),
        (critical, "critical", YES_NO),
        (source, "source", SOURCES),
    ):
        if cell.text not in known:
            faults.add(cell, f"{what} {cell.text!r} is unknown", say_near(cell.text, known))
    if does.text in MOVES and not parts.text:
        faults.add(parts, f"{name} moves nothing", "name the parts that it moves")
    for one in after.text.split():
        if one not in before:
            what = f"{name} comes after {one!r}, which is no step above it"
            faults.add(after, what, say_near(one, before))
    if len(faults) > many:
        return None
    return ProcedureStep(
        name, Does(does.text), tuple(parts.text.split()), tuple(after.text.split()),
        critical.text == "yes", source.text,
    )  # fmt: skip
