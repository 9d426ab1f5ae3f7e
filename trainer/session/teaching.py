"""Ask a lesson's questions on a bench, mark the answers, and record each attempt."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING
from uuid import UUID, uuid4

from models.builds import list_builds
from trainer.core.measure.rests import find_shim_sensitivity
from trainer.core.order.marking import DONE, Marked, MarkedStep, Verdict, mark_order
from trainer.core.order.state import Refused, TakenOff
from trainer.lesson import (
    GapMarked,
    Known,
    PointMarked,
    PointOut,
    PutInOrder,
    Question,
    ShimThickness,
    mark_point_out,
    mark_shim_thickness,
)
from trainer.lesson.kinds import QuestionKind
from trainer.records import Attempt, Json
from trainer.session.bench import Bench

if TYPE_CHECKING:
    from trainer.records import Records

Answer = Sequence[str] | str | float
"""Lines of an order (pieces or part names); the piece picked; or a thickness in mm."""
Outcome = Marked | PointMarked | GapMarked


@dataclass(frozen=True, slots=True)
class Learner:
    """Who answers, where attempts are kept, and the clock that dates them (UTC)."""

    person: str
    records: Records
    clock: Callable[[], datetime]


def find_known() -> Known:
    """Find every name a lesson may refer to, for `check_lesson`."""
    families = list_builds()
    options = {name: family.option_values() for name, family in families.items()}
    parts = {name: frozenset(family.every_place()) for name, family in families.items()}
    clearances = {name: frozenset(family.every_clearance()) for name, family in families.items()}
    faults = {name: frozenset(f.key for f in family.faults) for name, family in families.items()}
    return Known(frozenset(families), options, parts, clearances, faults)


def shuffle_parts(question: PutInOrder, chance: random.Random) -> list[str]:
    """Shuffle the parts of an order question; never hands out an order that stands as the lesson lists it."""
    parts = list(question.parts)
    while len(parts) > 1 and parts == list(question.parts):
        chance.shuffle(parts)
    return parts


def mark_lines(bench: Bench, lines: Sequence[str], among: Sequence[str] | None = None) -> Marked:
    """Mark an order of lines, each a piece or a part name (the whole set at once).

    among: the parts a question asks about. Other parts are not asked: they are taken off, as soon as
    they can be, before each line is judged, so that only the order of the asked ones counts.

    Raises:
        RefusalError: a line names no piece or part; near matches are given.
    """
    groups = [bench.find_pieces(line) for line in lines]
    if among is None:
        return mark_order(bench.assembly, bench.blocking, groups)
    asked = {piece for part in among for piece in bench.find_pieces(part)}
    others = [name for name in bench.assembly.by_name if name not in asked]
    return mark_order(bench.assembly, bench.blocking, groups, helped=others)


def find_shim_truth_mm(bench: Bench, question: ShimThickness) -> float:
    """Find the pack thickness in mm that brings the clearance to its aim, from one measured gap with a known pack.

    t = t0 + (aim - gap) / s, with s how much the clearance moves for each mm of shim.
    """
    clearance = bench.clearance(question.clearance)
    return sum(question.with_pack_mm) + (
        clearance.aim_mm - question.found_gap_mm
    ) / find_shim_sensitivity(clearance)


def answer_question(
    bench: Bench,
    question: Question,
    answer: Answer,
    learner: Learner | None,
    attempt: UUID | None = None,
) -> Outcome:
    """Mark an answer and, with a learner, record the attempt before returning.

    Args:
        bench: the build the question is asked on.
        question: what was asked.
        answer: lines for an order, a piece or part for pointing, mm for a shim thickness.
        learner: who answers and where it is kept; None keeps no record.
        attempt: id made by the caller, so that a retry is never a second attempt.

    Raises:
        RefusalError: the answer names something unknown. SurroundingsError: it could not be recorded.
    """
    outcome, kind = _mark(bench, question, answer)
    if learner is not None:
        record = Attempt(
            id=attempt or uuid4(),
            person=learner.person,
            when=learner.clock(),
            kind=kind,
            build=bench.build.name,
            options=dict(bench.build.options),
            question=question.id,
            answer=list(answer) if not isinstance(answer, (str, int, float)) else answer,
            result=describe_outcome(outcome),
            score=outcome.score,
        )
        learner.records.add_attempt(record)
    return outcome


def _mark(bench: Bench, question: Question, answer: Answer) -> tuple[Outcome, QuestionKind]:
    if isinstance(question, PutInOrder) and not isinstance(answer, (str, int, float)):
        return mark_lines(bench, answer, question.parts), QuestionKind.PUT_IN_ORDER
    if isinstance(question, PointOut) and isinstance(answer, str):
        bench.find_pieces(answer)
        piece = bench.build.pieces.get(answer)
        return mark_point_out(
            question, piece.place.name if piece else answer
        ), QuestionKind.POINT_OUT
    if isinstance(question, ShimThickness) and isinstance(answer, (int, float)):
        return mark_shim_thickness(
            question, find_shim_truth_mm(bench, question), float(answer)
        ), QuestionKind.SHIM_THICKNESS
    raise TypeError(
        f"an answer of type {type(answer).__name__} does not fit a question of kind {question.kind}"
    )


def find_verdict_name(step: MarkedStep) -> str:
    """Name the verdict on a step: of a refused one whether it is held by a joint or blocked by a solid."""
    if step.verdict is not Verdict.REFUSED:
        return step.verdict.value
    return "held" if step.is_held else "blocked"


def describe_step(step: MarkedStep) -> dict[str, Json]:
    """Describe a marked step as plain JSON: free, blocked_by, held_by, travel_mm, consequence."""
    found = step.found
    refused = found if isinstance(found, Refused) else None
    taken = found if isinstance(found, TakenOff) else None
    way = refused.way if refused else None
    return {
        "piece": step.piece,
        "free": step.verdict in DONE,
        "blocked_by": list(way.blocked_by) if way else [],
        "held_by": [by for held in refused.held for by in held.by] if refused else [],
        "verdict": find_verdict_name(step),
        "until": list(refused.until) if refused else [],
        "cautions": list(taken.cautions) if taken else [],
        "joints": [held.joint for held in refused.held] if refused else [],
        "direction": way.direction.name if way else None,
        "travel_mm": round(way.travel_mm, 2) if way else None,
        "consequence": step.verdict is Verdict.CONSEQUENCE,
        "repeated": step.verdict is Verdict.REPEATED,
    }


def describe_outcome(outcome: Outcome) -> dict[str, Json]:
    """Describe an outcome as plain JSON for the records."""
    if isinstance(outcome, Marked):
        return {
            "valid": outcome.is_valid,
            "complete": outcome.complete,
            "score": outcome.score,
            "steps": [describe_step(step) for step in outcome.steps],
        }
    if isinstance(outcome, PointMarked):
        return {"right": outcome.is_right, "wanted": outcome.wanted, "picked": outcome.picked}
    return {"right": outcome.is_right, "truth_mm": outcome.truth_mm, "answer_mm": outcome.answer_mm}
