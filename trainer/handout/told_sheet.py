"""What stands on a bench sheet, as plain texts and numbers that paper, terminal and window each lay out."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ToldVerdict:
    """A verdict as its sign, its word, and what it rests on."""

    kind: str
    sign: str
    word: str
    why: str = ""


@dataclass(frozen=True, slots=True)
class ToldLine:
    """One measured line: what, its limits, as found, as left, and what that comes to."""

    what: str
    limits: str
    found: str
    left: str
    verdict: ToldVerdict


@dataclass(frozen=True, slots=True)
class ToldGap:
    """A gap at four places, as found and as left: the numbers in mm, what is said of them, which is least (-1: none)."""

    name: str
    found: tuple[str, ...]
    found_note: str
    found_least: int
    left: tuple[str, ...]
    left_note: str
    left_least: int


@dataclass(frozen=True, slots=True)
class ToldPack:
    """A pack of shims to be drawn as a stack: its heading, thicknesses in mm and as text, and the total."""

    heading: str
    shims_mm: tuple[float, ...]
    shims: tuple[str, ...]
    total: str


@dataclass(frozen=True, slots=True)
class ToldSheet:
    """All that stands on a sheet, in words."""

    title: str
    verdict: ToldVerdict
    head: tuple[tuple[str, str], ...]
    signed_title: str
    signed: tuple[tuple[str, str], ...]
    measured_title: str
    measured_columns: tuple[str, ...]
    measured: tuple[ToldLine, ...]
    measured_note: str
    limits_note: str
    gaps: tuple[ToldGap, ...]
    gap_headings: tuple[str, str]
    pack_title: str
    packs: tuple[ToldPack, ...]
    pack_notes: tuple[str, ...]
    torque_title: str
    torque_columns: tuple[str, ...]
    torques: tuple[tuple[str, ...], ...]
    torque_note: str
    tests_title: str
    tests_columns: tuple[str, ...]
    tests: tuple[tuple[str, ...], ...]
    tests_note: str
    order_title: str
    part_columns: tuple[str, ...]
    order: tuple[tuple[str, ...], ...]
    order_alike: tuple[tuple[str, tuple[str, ...]], ...]
    order_none: str
    rework_title: str
    rework: tuple[tuple[str, ...], ...]
    parts_notes: tuple[str, ...]
    run_in_title: str
    run_in: tuple[str, ...]
    as_found_title: str
    as_found: str
    remarks_title: str
    remarks: str
    missing_title: str
    missing: tuple[str, ...]
    signatures: tuple[tuple[str, str], ...]
    safety: str
    foot: tuple[str, ...]
    hashes: tuple[str, ...]
    is_replaced: bool
    drawing_title: str = ""
