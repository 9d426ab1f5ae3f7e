"""Every kind of question, by its name in lessons."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from trainer.lesson.kinds import QuestionKind
from trainer.session.asking import part_kinds
from trainer.session.asking.kind import Kind

KINDS: Mapping[QuestionKind, Kind] = MappingProxyType(
    {
        QuestionKind.POINT_OUT: part_kinds.POINT_OUT,
        QuestionKind.NAME_IT: part_kinds.NAME_IT,
        QuestionKind.WHAT_FOR: part_kinds.WHAT_FOR,
    }
)
