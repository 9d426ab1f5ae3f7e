"""Where each number of a clearance comes from: its chain, the faces between which it lies, the row behind each number."""

from __future__ import annotations

from dataclasses import dataclass

from models.spec.clearance import Clearance
from models.spec.dimension import Source
from trainer.core.measure.chain import Link, MeasuredClearance
from trainer.session.bench import Bench

TABLES_FOLDER = "models/tables"
"""Where the files that a source names lie, from the top of the project."""


@dataclass(frozen=True, slots=True)
class ProofLine:
    """One dimension of a chain with the row that says it. is_effect: it comes in by an effect alone, not by the faces."""

    link: Link
    source: Source
    is_effect: bool = False

    @property
    def change_mm(self) -> float:
        """What this dimension brings to the clearance: its value times its sensitivity."""
        return self.link.sensitivity * self.link.value_mm


@dataclass(frozen=True, slots=True)
class ClearanceProof:
    """All that stands behind a clearance.

    pieces: whose faces it lies between, low and high, by (piece, face). limits: who says what it must be.
    """

    clearance: Clearance
    measured: MeasuredClearance
    lines: tuple[ProofLine, ...]
    pieces: tuple[tuple[str, str], tuple[str, str]]
    limits: Source


def prove_clearance(bench: Bench, name: str) -> ClearanceProof:
    """Gather what stands behind a clearance. Raises RefusalError with near matches for an unknown name."""
    build = bench.build
    clearance, measured = build.clearance(name), bench.clearance(name)
    geometric = {(link.piece, link.dimension) for link in measured.chain}
    more = [one for one in measured.service_chain if (one.piece, one.dimension) not in geometric]
    lines = [
        ProofLine(link, build.dimension((link.piece, link.dimension)).source, is_effect)
        for links, is_effect in ((measured.chain, False), (more, True))
        for link in links
    ]
    low, high = (
        (build.piece_at(place).name, face) for place, face in (clearance.low, clearance.high)
    )
    return ClearanceProof(
        clearance, measured, tuple(lines), (low, high), build.find_requirement(clearance).source
    )


def say_place(source: Source) -> str:
    """Say where a number is written as editors open it: file from the top of the project, and line."""
    return f"{TABLES_FOLDER}/{source.file}:{source.line}"
