"""What an assembler entered for a bench sheet, read but not judged yet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from trainer.session.sheet import Condition, Group, Outcome


@dataclass(frozen=True, slots=True)
class Reading:
    """One measured value in mm, and how it was typed."""

    value_mm: float
    typed: str


@dataclass(frozen=True, slots=True)
class Round:
    """All that was measured once round the pump: readings by group and name, and the gauge of each group.

    End float has two readings, pushed and pulled; run-out one; gaps one at each of four places.
    """

    readings: Mapping[Group, Mapping[str, tuple[Reading, ...]]] = field(default_factory=dict)
    gauges: Mapping[Group, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Entries:
    """A form as filled in; "" and nothing where the assembler has not written yet."""

    shop: str
    assembler: str
    serial: str
    date: str
    gauges_mm: Mapping[str, float]
    signed: Mapping[str, str]
    found: Round
    left: Round
    pack_found_mm: tuple[float, ...]
    trial_gap: tuple[Reading, ...]
    trial_pack_mm: tuple[float, ...]
    pack_fitted_mm: tuple[float, ...]
    pack_why: str
    parts: Mapping[str, tuple[Condition, str]]
    others: Condition | None
    torques_nm: Mapping[str, float]
    working_bar: float | None
    seal_limit_bar: float | None
    tests: Mapping[str, tuple[Outcome, str]]
    run_in: tuple[str, ...]
    as_found: str
    remarks: str
