"""How each kind of question is written in a lesson: which keys narrow it down, and what they may hold.

What is not given is drawn afresh for each learner. A name is checked against the build by `session`.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Annotated, Literal

from pydantic import Field

from trainer.lesson.fields import ClearanceName, Id, Markdown, Millimetres, Names, Truth, Written
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.wanted import Given, Wanted

FRESH = "true"
"""What `afresh` is given as."""
_PLAIN = frozenset({"kind", "id", "prompt"})


class Asked(Written):
    """What every question may be given."""

    id: Id
    prompt: Markdown = ""
    afresh: Truth = False
    """Whether another size, other options and other measured values are drawn for each learner."""


class PutInOrderText(Asked):
    """How `put-in-order` is written."""

    kind: Literal[QuestionKind.PUT_IN_ORDER]
    parts: Annotated[Names, Field(min_length=2, max_length=60)] | None = None
    way: Literal["teardown", "assembly"] | None = None
    extent: Literal["whole", "few"] | None = None


class NextOffText(Asked):
    """How `next-off` is written."""

    kind: Literal[QuestionKind.NEXT_OFF]
    part: Id | None = None


class ReachText(Asked):
    """How `reach` is written."""

    kind: Literal[QuestionKind.REACH]
    part: Id | None = None


class PointOutText(Asked):
    """How `point-out` is written."""

    kind: Literal[QuestionKind.POINT_OUT]
    part: Id | None = None


class NameItText(Asked):
    """How `name-it` is written."""

    kind: Literal[QuestionKind.NAME_IT]
    part: Id | None = None


class WhatForText(Asked):
    """How `what-for` is written."""

    kind: Literal[QuestionKind.WHAT_FOR]
    part: Id | None = None


class WhichToFitText(Asked):
    """How `which-to-fit` is written."""

    kind: Literal[QuestionKind.WHICH_TO_FIT]
    duty: Id | None = None


class FindFaultText(Asked):
    """How `find-fault` is written."""

    kind: Literal[QuestionKind.FIND_FAULT]
    fault: Id | None = None


class ReadGapText(Asked):
    """How `read-gap` is written."""

    kind: Literal[QuestionKind.READ_GAP]
    clearance: ClearanceName | None = None


class ShimThicknessText(Asked):
    """How `shim-thickness` is written."""

    kind: Literal[QuestionKind.SHIM_THICKNESS]
    clearance: ClearanceName | None = None
    found_gap_mm: Millimetres | None = None
    with_pack_mm: Annotated[tuple[Millimetres, ...], Field(max_length=20)] | None = None


class WhatIfText(Asked):
    """How `what-if` is written."""

    kind: Literal[QuestionKind.WHAT_IF]
    clearance: ClearanceName | None = None


class MatchText(Asked):
    """How `match` is written."""

    kind: Literal[QuestionKind.MATCH]
    parts: Annotated[Names, Field(min_length=2, max_length=12)] | None = None


class TrueOrFalseText(Asked):
    """How `true-or-false` is written."""

    kind: Literal[QuestionKind.TRUE_OR_FALSE]
    about: Id | None = None


class ReuseOrRenewText(Asked):
    """How `reuse-or-renew` is written."""

    kind: Literal[QuestionKind.REUSE_OR_RENEW]
    damage: Id | None = None


class ReadGaugeText(Asked):
    """How `read-gauge` is written."""

    kind: Literal[QuestionKind.READ_GAUGE]
    gauge: Id | None = None


class WhereToMeasureText(Asked):
    """How `where-to-measure` is written."""

    kind: Literal[QuestionKind.WHERE_TO_MEASURE]
    clearance: ClearanceName | None = None


class TightenText(Asked):
    """How `tighten` is written."""

    kind: Literal[QuestionKind.TIGHTEN]
    joint: Id | None = None


class SymptomText(Asked):
    """How `symptom` is written."""

    kind: Literal[QuestionKind.SYMPTOM]
    symptom: Id | None = None


class AuditSheetText(Asked):
    """How `audit-sheet` is written."""

    kind: Literal[QuestionKind.AUDIT_SHEET]


class SetHandText(Asked):
    """How `set-hand` is written."""

    kind: Literal[QuestionKind.SET_HAND]
    about: Id | None = None


class ProcedureText(Asked):
    """How `procedure` is written."""

    kind: Literal[QuestionKind.PROCEDURE]
    procedure: Id | None = None


AnyAsked = (
    PutInOrderText
    | NextOffText
    | ReachText
    | PointOutText
    | NameItText
    | WhatForText
    | WhichToFitText
    | FindFaultText
    | ReadGapText
    | ShimThicknessText
    | WhatIfText
    | MatchText
    | TrueOrFalseText
    | ReuseOrRenewText
    | ReadGaugeText
    | WhereToMeasureText
    | TightenText
    | SymptomText
    | AuditSheetText
    | SetHandText
    | ProcedureText
)

ASKED: Mapping[QuestionKind, type[Asked]] = MappingProxyType(
    {model.model_fields["kind"].annotation.__args__[0]: model for model in AnyAsked.__args__}
)
"""How each kind is written, by its name."""


def make_wanted(asked: AnyAsked) -> Wanted:
    """Make what is wanted of a question as written."""
    given: dict[str, Given] = {
        name: FRESH if value is True else value
        for name, value in asked.model_dump(exclude=set(_PLAIN), exclude_none=True).items()
        if value is not False
    }
    return Wanted(asked.kind, asked.id, asked.prompt, MappingProxyType(given))
