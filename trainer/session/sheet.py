"""A bench sheet: what was found, what was decided, what was left, and whether it passes.

It is filed as it was judged, limits included, so that a later change of a table does not change an old sheet.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from trainer.records import Json

PLACES = 4
"""Places at which a gap is measured: the impeller is turned by a quarter between them (common practice)."""
PASSES = (0.3, 0.7, 1.0)
"""Shares of the full torque, each once round the joint before the next (common practice)."""
CROSS_FROM = 4
"""Fasteners of a joint from which on they are tightened crosswise (common practice)."""
TEST_FACTOR = 1.5
"""Test pressure by most working pressure (common practice)."""
TEST_MINUTES = 10
"""How long the pressure is held (common practice)."""
SIGNED = ("lock-out", "vent", "drain")
"""What is signed for before anything is touched."""


class Verdict(StrEnum):
    """What a reading, a test or a whole sheet comes to.

    NEAR: too near to a limit to call with this gauge. OPEN: not there yet.
    """

    PASS = "pass"  # noqa: S105 - no password
    FAIL = "fail"
    NEAR = "near"
    OPEN = "open"


class Condition(StrEnum):
    """What becomes of a part."""

    REUSE = "reuse"
    REWORK = "rework"
    RENEW = "renew"


class Outcome(StrEnum):
    """What became of a test."""

    PASS = "pass"  # noqa: S105 - no password
    FAIL = "fail"
    NOT_DONE = "not-done"


class Group(StrEnum):
    """Kinds of reading: gaps at four places, end float, run-out, and what else is measured."""

    GAPS = "gaps"
    END_FLOAT = "end-float"
    RUN_OUT = "run-out"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Gauge:
    """What was measured with: its name, and by how much in mm it may be off, either way."""

    name: str
    off_mm: float


@dataclass(frozen=True, slots=True)
class Taken:
    """What was read at one line of the sheet.

    values_mm, typed: each reading, and how it was written. counts_mm: what is held against the limits: of
    gaps the least reading, of others that and the largest, of end float pull less push, of run-out the reading.
    spread_mm: most less least reading. gauge: its name; off_mm: by how much it may be off.
    """

    values_mm: tuple[float, ...]
    typed: tuple[str, ...]
    counts_mm: float
    spread_mm: float
    gauge: str
    off_mm: float
    verdict: Verdict
    is_crooked: bool


@dataclass(frozen=True, slots=True)
class Line:
    """One thing measured as found and as left, with its limits in mm and who says so.

    is_needed: the sheet does not pass until it has been measured as left.
    """

    group: Group
    name: str
    low_mm: float
    aim_mm: float
    high_mm: float
    required_by: str
    is_needed: bool
    found: Taken | None
    left: Taken | None


@dataclass(frozen=True, slots=True)
class PackAdvice:
    """Which pack follows from the gap measured with a known pack.

    gap_mm, with_pack_mm: what it follows from. is_trial: measured at a trial fit, with the parts that stay.
    chance: that every gap which the pack moves lands inside. outside: names of those the best pack leaves outside.
    order_mm: shims to order, where the drawer has no pack that fits. old_parts: places of renewed parts that the
    gap depends on, where it was measured with the old ones. by_screws: names of gaps that adjusting screws set after.
    """

    clearance: str
    gap_mm: float
    with_pack_mm: tuple[float, ...]
    is_trial: bool
    aim_mm: float
    ideal_mm: float
    best_mm: tuple[float, ...]
    gives_mm: float
    chance: float
    fits: bool
    outside: tuple[str, ...]
    order_mm: tuple[float, ...]
    old_parts: tuple[str, ...]
    by_screws: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PackLine:
    """The shims: what was in, what was fitted, why, and what follows from the gap. Shaft shoulder first."""

    found_mm: tuple[float, ...]
    fitted_mm: tuple[float, ...]
    why: str
    advice: PackAdvice | None


@dataclass(frozen=True, slots=True)
class PartLine:
    """What becomes of a part (a place, with how many pieces), and why; None where nobody has looked yet."""

    place: str
    count: int
    condition: Condition | None
    why: str


@dataclass(frozen=True, slots=True)
class TorqueLine:
    """A bolted joint: its fasteners, their thread, the torque that follows from it, and what the wrench was set to.

    taught_nm: computed for teaching. The maker's value goes before it.
    """

    joint: str
    fastener: str
    count: int
    thread_mm: float
    taught_nm: float
    set_nm: float | None

    @property
    def is_crosswise(self) -> bool:
        """Are there enough fasteners to tighten them crosswise?"""
        return self.count >= CROSS_FROM

    @property
    def passes(self) -> tuple[float, ...]:
        """Shares of the full torque."""
        return PASSES if self.count > 1 else (1.0,)


@dataclass(frozen=True, slots=True)
class TestLine:
    """A go/no-go test with its outcome; asked_bar and minutes of a pressure test."""

    __test__ = False  # for pytest: a test of a pump

    name: str
    outcome: Outcome
    note: str
    asked_bar: float | None = None
    minutes: int = 0


@dataclass(frozen=True, slots=True)
class Missing:
    """Something the sheet still waits for: which kind (head, signed, line, part, torque, test, pack) and its name."""

    kind: str
    name: str


@dataclass(frozen=True, slots=True)
class BenchSheet:
    """All of it.

    `date` is ISO 8601; `options` what was chosen other than usual; `signed` by key who signed; `as_found` how it
    turned, its oil, leakage and match marks before stripping.
    """

    shop: str
    assembler: str
    serial: str
    date: str
    build: str
    options: Mapping[str, str]
    signed: Mapping[str, str]
    gauges: tuple[Gauge, ...]
    lines: tuple[Line, ...]
    pack: PackLine
    parts: tuple[PartLine, ...]
    torques: tuple[TorqueLine, ...]
    tests: tuple[TestLine, ...]
    run_in: tuple[str, ...]
    remarks: str
    verdict: Verdict
    missing: tuple[Missing, ...]
    as_found: str = ""

    def list_parts(self, condition: Condition) -> tuple[PartLine, ...]:
        """List the parts of which this becomes; those to be renewed are the ones to order."""
        return tuple(part for part in self.parts if part.condition is condition)

    def list_failing(self) -> tuple[Line, ...]:
        """List what is outside its limits, or crooked, as left."""
        return tuple(line for line in self.lines if line.left and line.left.verdict is Verdict.FAIL)


def describe_sheet(sheet: BenchSheet) -> Json:
    """Describe a sheet as plain values, to be filed or printed for scripts."""
    from pydantic import TypeAdapter

    described: Json = TypeAdapter(BenchSheet).dump_python(sheet, mode="json")
    return described


def read_sheet(content: Json) -> BenchSheet:
    """Read a sheet from the plain values it was filed as. Raises ValueError when they are no sheet."""
    from pydantic import TypeAdapter

    sheet: BenchSheet = TypeAdapter(BenchSheet).validate_python(content)
    return sheet
