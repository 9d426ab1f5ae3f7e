"""What a pump runs at: flow, head, speed, liquid and what else its consequences in service depend on."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from pathlib import Path

from models.spec.cells import Faults, read_cells, read_number, read_rows, read_settings
from models.spec.errors import ContentError, Fault, RefusalError, say_near


@dataclass(frozen=True, slots=True)
class Duty:
    """One duty point.

    head_m and flow_m3_per_h: what the pump gives; best_flow: where it is best. suction_kpa: above the air outside.
    swirl: speed of the liquid behind the shrouds by the impeller's. radial_factor: of the volute's force at no flow.
    belt_pull_n: of a belt on the shaft, if there is one. line_loss: velocity heads lost in a balance line. run_h:
    hours for which it is asked how many bearings last. shaft_c, casing_c: how warm both become. preload_share: preload by proof load that the torques aim at.
    """

    flow_m3_per_h: float
    best_flow_m3_per_h: float
    head_m: float
    speed_rpm: float
    density_kg_per_m3: float
    viscosity_mm2_per_s: float
    suction_kpa: float
    swirl: float
    radial_factor: float
    impeller_mass_kg: float
    belt_pull_n: float
    line_loss: float
    run_h: float
    shaft_c: float
    casing_c: float
    preload_share: float
    thread_friction: float


BOUNDS: Mapping[str, tuple[float, float]] = {
    "flow_m3_per_h": (0.0, 5000.0),
    "best_flow_m3_per_h": (0.1, 5000.0),
    "head_m": (0.0, 400.0),
    "speed_rpm": (100.0, 6000.0),
    "density_kg_per_m3": (500.0, 2000.0),
    "viscosity_mm2_per_s": (0.2, 200.0),
    "suction_kpa": (-99.0, 1600.0),
    "swirl": (0.4, 0.6),
    "radial_factor": (0.15, 0.38),
    "impeller_mass_kg": (0.0, 500.0),
    "belt_pull_n": (0.0, 20000.0),
    "line_loss": (1.0, 50.0),
    "run_h": (1.0, 500000.0),
    "shaft_c": (-20.0, 150.0),
    "casing_c": (-20.0, 150.0),
    "preload_share": (0.3, 0.9),
    "thread_friction": (0.04, 0.4),
}
"""Between what each value may lie; a formula may ask for less."""
NAMES = tuple(field.name for field in fields(Duty))


def read_duties(tables: Path, family: str) -> dict[str, Duty]:
    """Read the duty points of a family by size, from `duty/FAMILY.csv`.

    Raises:
        ContentError: with every fault, each with file, line and column.
    """
    shown = f"duty/{family}.csv"
    rows = read_cells(tables / shown, shown)
    faults = Faults(shown)
    heading = [cell.text for cell in rows[0]]
    if heading != ["size", *NAMES]:
        faults.add(rows[0][0], "has another heading", f"write size,{','.join(NAMES)}")
        raise ContentError(faults)
    found: dict[str, Duty] = {}
    for row in read_rows(rows, faults):
        cells = dict(zip(heading, row, strict=True))
        values = {name: read_number(cells[name], faults, name) for name in NAMES}
        for name, value in values.items():
            if math.isfinite(value) and not _is_inside(name, value):
                low, high = BOUNDS[name]
                what = f"{name} is {value:g}"
                faults.add(cells[name], what, f"give a value from {low:g} to {high:g}")
        found[row[0].text] = Duty(**values)
    if faults:
        raise ContentError(faults)
    return found


def read_duty(tables: Path, family: str, size: str) -> Duty:
    """Read the duty point of one size.

    Raises:
        RefusalError: nothing says what builds of this family run at. ContentError: the table is wrong, or lacks the size.
    """
    shown = f"duty/{family}.csv"
    if not (tables / shown).exists():
        raise RefusalError(
            f"nothing says what {family}/{size} runs at: choose a whole pump, or add the table {shown}"
        )
    duties = read_duties(tables, family)
    if size not in duties:
        raise ContentError([Fault(shown, 1, 0, f"has no row for the size {size}", "add one")])
    return duties[size]


def read_duty_source(tables: Path, family: str) -> str:
    """Read who says what the pumps of a family run at."""
    name = f"duty/{family}.toml"
    return str(read_settings(tables / name, name).get("source", ""))


def change_duty(duty: Duty, changes: Mapping[str, float]) -> Duty:
    """Give a duty with some values changed.

    Raises:
        RefusalError: an unknown name, with near matches, or a value outside its bounds.
    """
    for name, value in changes.items():
        if name not in BOUNDS:
            raise RefusalError(f"no value of the duty is called {name!r}; {say_near(name, NAMES)}")
        if not _is_inside(name, value):
            low, high = BOUNDS[name]
            raise RefusalError(f"{name} is {value:g}: give a value from {low:g} to {high:g}")
    return Duty(**(asdict(duty) | dict(changes)))


def _is_inside(name: str, value: float) -> bool:
    low, high = BOUNDS[name]
    return math.isfinite(value) and low <= value <= high
