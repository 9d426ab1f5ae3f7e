"""The kinds of question there are, and which skill each of them shows."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType


class QuestionKind(StrEnum):
    """Kinds of question, as lessons name them."""

    PUT_IN_ORDER = "put-in-order"
    NEXT_OFF = "next-off"
    REACH = "reach"
    POINT_OUT = "point-out"
    NAME_IT = "name-it"
    WHAT_FOR = "what-for"
    WHICH_TO_FIT = "which-to-fit"
    FIND_FAULT = "find-fault"
    READ_GAP = "read-gap"
    SHIM_THICKNESS = "shim-thickness"
    WHAT_IF = "what-if"
    MATCH = "match"
    TRUE_OR_FALSE = "true-or-false"
    REUSE_OR_RENEW = "reuse-or-renew"
    READ_GAUGE = "read-gauge"
    WHERE_TO_MEASURE = "where-to-measure"
    TIGHTEN = "tighten"
    SYMPTOM = "symptom"
    AUDIT_SHEET = "audit-sheet"
    SET_HAND = "set-hand"
    PROCEDURE = "procedure"


class Skill(StrEnum):
    """What a learner gets better at."""

    KNOW_PARTS = "know-parts"
    KNOW_ORDER = "know-order"
    SET_CLEARANCES = "set-clearances"
    CHOOSE_COMPONENTS = "choose-components"
    JUDGE_FAULTS = "judge-faults"


SKILLS: Mapping[QuestionKind, Skill] = MappingProxyType(
    {
        QuestionKind.PUT_IN_ORDER: Skill.KNOW_ORDER,
        QuestionKind.NEXT_OFF: Skill.KNOW_ORDER,
        QuestionKind.REACH: Skill.KNOW_ORDER,
        QuestionKind.POINT_OUT: Skill.KNOW_PARTS,
        QuestionKind.NAME_IT: Skill.KNOW_PARTS,
        QuestionKind.WHAT_FOR: Skill.KNOW_PARTS,
        QuestionKind.WHICH_TO_FIT: Skill.CHOOSE_COMPONENTS,
        QuestionKind.FIND_FAULT: Skill.JUDGE_FAULTS,
        QuestionKind.READ_GAP: Skill.SET_CLEARANCES,
        QuestionKind.SHIM_THICKNESS: Skill.SET_CLEARANCES,
        QuestionKind.WHAT_IF: Skill.SET_CLEARANCES,
        QuestionKind.MATCH: Skill.KNOW_PARTS,
        QuestionKind.TRUE_OR_FALSE: Skill.KNOW_PARTS,
        QuestionKind.REUSE_OR_RENEW: Skill.JUDGE_FAULTS,
        QuestionKind.READ_GAUGE: Skill.SET_CLEARANCES,
        QuestionKind.WHERE_TO_MEASURE: Skill.SET_CLEARANCES,
        QuestionKind.TIGHTEN: Skill.KNOW_ORDER,
        QuestionKind.SYMPTOM: Skill.JUDGE_FAULTS,
        QuestionKind.AUDIT_SHEET: Skill.JUDGE_FAULTS,
        QuestionKind.SET_HAND: Skill.CHOOSE_COMPONENTS,
        QuestionKind.PROCEDURE: Skill.KNOW_ORDER,
    }
)
