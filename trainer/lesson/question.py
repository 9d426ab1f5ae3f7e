"""The kinds of question a lesson may ask, and how an answer is marked.

A question holds only what its lesson says. The right answer is computed from a
build by `trainer.session` and handed to the marking, so that no lesson can go
stale when a dimension changes. Orders are marked by `trainer.core.order`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from models.spec.errors import RefusalError
from trainer.lesson.kinds import QuestionKind

if TYPE_CHECKING:
    from trainer.lesson.wanted import Wanted

# Far below what a micrometer shows: it only keeps 0.1 + 0.2 from missing 0.3.
ROUNDING_MM = 1e-9


@dataclass(frozen=True, slots=True)
class PutInOrder:
    """Ask for parts or pieces to be put in teardown order; `parts` as the lesson lists them."""

    kind: ClassVar[QuestionKind] = QuestionKind.PUT_IN_ORDER
    id: str
    prompt: str
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PointOut:
    """Ask for a part to be pointed out in the view."""

    kind: ClassVar[QuestionKind] = QuestionKind.POINT_OUT
    id: str
    prompt: str
    part: str


@dataclass(frozen=True, slots=True)
class ShimThickness:
    """Ask which total thickness of shims brings a clearance to its aim, from one measured gap.

    `found_gap_mm` was measured with the shims `with_pack_mm` in place; an
    answer within `tolerance_mm` of the truth is right.
    """

    kind: ClassVar[QuestionKind] = QuestionKind.SHIM_THICKNESS
    id: str
    prompt: str
    clearance: str
    found_gap_mm: float
    with_pack_mm: tuple[float, ...]
    tolerance_mm: float


Question = PutInOrder | PointOut | ShimThickness

TOLERANCE_MM = 0.05
"""By how much a thickness may miss, until the window marks by the chain."""


def make_question(wanted: Wanted) -> Question | None:
    """Make the question that the window's walk can ask; None for a kind that it cannot ask yet."""
    match wanted.kind:
        case QuestionKind.PUT_IN_ORDER:
            return PutInOrder(wanted.id, wanted.prompt, wanted.names("parts"))
        case QuestionKind.POINT_OUT:
            return PointOut(wanted.id, wanted.prompt, wanted.text("part"))
        case QuestionKind.SHIM_THICKNESS if wanted.numbers("found_gap_mm"):
            pack_mm, (found_mm,) = wanted.numbers("with_pack_mm"), wanted.numbers("found_gap_mm")
            clearance = wanted.text("clearance")
            return ShimThickness(
                wanted.id, wanted.prompt, clearance, found_mm, pack_mm, TOLERANCE_MM
            )
    return None


@dataclass(frozen=True, slots=True)
class PointMarked:
    """Say how a pointing went: what was asked for and what was picked (part names)."""

    question: str
    wanted: str
    picked: str
    is_right: bool

    @property
    def score(self) -> float:
        """1 for a right answer, 0 for a wrong one."""
        return float(self.is_right)


@dataclass(frozen=True, slots=True)
class GapMarked:
    """Say how a thickness was judged; `off_mm` is answer less truth, so its sign says which way."""

    question: str
    truth_mm: float
    answer_mm: float
    off_mm: float
    tolerance_mm: float
    is_right: bool

    @property
    def score(self) -> float:
        """1 for a right answer, 0 for a wrong one."""
        return float(self.is_right)


def mark_point_out(question: PointOut, picked: str) -> PointMarked:
    """Mark the part a learner pointed at.

    Args:
        question: what was asked.
        picked: the name of the part (its place in the build) that was picked;
            for a piece such as `cover-nut-3` the caller gives `cover-nut`.
    """
    return PointMarked(question.id, question.part, picked, picked == question.part)


def mark_shim_thickness(question: ShimThickness, truth_mm: float, answer_mm: float) -> GapMarked:
    """Mark the thickness a learner gave for a shim pack.

    Args:
        question: what was asked, with its tolerance in mm.
        truth_mm: the total thickness that follows from the build, in mm.
        answer_mm: the learner's total thickness, in mm.

    Raises:
        RefusalError: where the answer is not a finite number; it is no attempt then.
    """
    if not math.isfinite(answer_mm):
        raise RefusalError("a thickness has to be a number of millimetres")
    off_mm = answer_mm - truth_mm
    is_right = abs(off_mm) <= question.tolerance_mm + ROUNDING_MM
    return GapMarked(question.id, truth_mm, answer_mm, off_mm, question.tolerance_mm, is_right)
