"""Every kind of question, by its name in lessons."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from trainer.lesson.kinds import QuestionKind
from trainer.session.asking import (
    audit_kind,
    claim_kind,
    damage_kind,
    effect_kind,
    fault_kind,
    fitting_kind,
    gap_kinds,
    gauge_kind,
    hand_kind,
    match_kind,
    measuring_kind,
    order_kinds,
    part_kinds,
    procedure_kind,
    shim_kind,
    symptom_kind,
    tighten_kind,
)
from trainer.session.asking.kind import Kind

KINDS: Mapping[QuestionKind, Kind] = MappingProxyType(
    {
        QuestionKind.POINT_OUT: part_kinds.POINT_OUT,
        QuestionKind.NAME_IT: part_kinds.NAME_IT,
        QuestionKind.WHAT_FOR: part_kinds.WHAT_FOR,
        QuestionKind.PUT_IN_ORDER: order_kinds.PUT_IN_ORDER,
        QuestionKind.NEXT_OFF: order_kinds.NEXT_OFF,
        QuestionKind.REACH: order_kinds.REACH,
        QuestionKind.FIND_FAULT: fault_kind.FIND_FAULT,
        QuestionKind.READ_GAP: gap_kinds.READ_GAP,
        QuestionKind.SHIM_THICKNESS: shim_kind.SHIM_THICKNESS,
        QuestionKind.WHAT_IF: effect_kind.WHAT_IF,
        QuestionKind.WHICH_TO_FIT: fitting_kind.WHICH_TO_FIT,
        QuestionKind.MATCH: match_kind.MATCH,
        QuestionKind.TRUE_OR_FALSE: claim_kind.TRUE_OR_FALSE,
        QuestionKind.SET_HAND: hand_kind.SET_HAND,
        QuestionKind.WHERE_TO_MEASURE: measuring_kind.WHERE_TO_MEASURE,
        QuestionKind.SYMPTOM: symptom_kind.SYMPTOM,
        QuestionKind.TIGHTEN: tighten_kind.TIGHTEN,
        QuestionKind.READ_GAUGE: gauge_kind.READ_GAUGE,
        QuestionKind.REUSE_OR_RENEW: damage_kind.REUSE_OR_RENEW,
        QuestionKind.AUDIT_SHEET: audit_kind.AUDIT_SHEET,
        QuestionKind.PROCEDURE: procedure_kind.PROCEDURE,
    }
)
