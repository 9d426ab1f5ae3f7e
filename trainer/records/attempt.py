"""What a learner did once, and what came of it."""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from datetime import UTC, datetime
from enum import Enum
from uuid import UUID

from models.spec.errors import RefusalError
from trainer.records.plain_json import Json, make_json_text, make_plain

MOST_NAME_CHARS = 80
MOST_JSON_CHARS = 1_000_000
JSON_FIELDS = ("answer", "result", "options")


class AttemptKind(Enum):
    """What was tried."""

    ORDER = "order"
    POINT = "point"
    GAP = "gap"
    LESSON = "lesson"
    SHIMS = "shims"


@dataclass(frozen=True, slots=True)
class Attempt:
    """One try at one thing. It is tidied when made, so that it equals what is read back later.

    id: made by the caller before the first try at recording, so that a retry is never a second attempt.
    person: the name the learner typed, tidied by `check_person_name`.
    when: from the caller's clock; any time zone, kept as UTC.
    build: name of the build, such as `end-suction/100-250`, with the options that were chosen.
    question: id of the question or lesson that was answered.
    answer, result: plain JSON values; tuples become lists, NaN and infinities are refused.
    score: nothing where the attempt is not scored.

    Raises:
        RefusalError: the name cannot be used, or answer or result is far too long.
        TypeError, ValueError: a field holds what can't be kept; the caller has a bug.
    """

    id: UUID
    person: str
    when: datetime
    kind: AttemptKind
    build: str
    question: str
    answer: Json
    result: Json
    options: Mapping[str, str] = field(default_factory=dict)
    score: float | None = None

    def __post_init__(self) -> None:
        if self.when.tzinfo is None:
            raise ValueError("when must carry its time zone")
        for name in ("build", "question"):
            text = getattr(self, name)
            if not text or not text.isprintable():
                raise ValueError(f"{name} must be a printable name, not {text!r}")
        tidy: dict[str, object] = {
            "person": check_person_name(self.person),
            "when": self.when.astimezone(UTC),
            "score": None if self.score is None else _check_score(self.score),
        }
        for name in JSON_FIELDS:
            tidy[name] = value = make_plain(getattr(self, name), name)
            if len(make_json_text(value)) > MOST_JSON_CHARS:
                raise RefusalError(
                    f"The {name} is too long to keep: at most {MOST_JSON_CHARS} characters as JSON."
                )
        for name, tidied in tidy.items():
            object.__setattr__(self, name, tidied)


def check_person_name(typed: str) -> str:
    """Tidy a name as typed, or refuse it.

    Args:
        typed: what the learner typed; any script.

    Returns:
        The name in Unicode's composed form (NFC), with single spaces. Tidying it again changes nothing.

    Raises:
        RefusalError: nothing is left, it is too long, or it holds characters that can't be shown.
    """
    name = " ".join(unicodedata.normalize("NFC", typed).split())
    if not name:
        raise RefusalError("A name is needed to keep the record under.")
    if len(name) > MOST_NAME_CHARS:
        raise RefusalError(
            f"The name is too long: {len(name)} characters, at most {MOST_NAME_CHARS}."
        )
    # Joiners (category Cf) are part of names in several scripts; the rest of category C can't be shown or stored.
    if any(unicodedata.category(sign) in {"Cc", "Cs", "Co", "Cn"} for sign in name):
        raise RefusalError("The name holds characters that cannot be shown.")
    return name


def find_differences(one: Attempt, other: Attempt) -> tuple[str, ...]:
    """Find the names of the fields in which two attempts differ; `1`, `1.0` and `true` are three values."""
    differing = []
    for name in (each.name for each in fields(Attempt)):
        mine, theirs = getattr(one, name), getattr(other, name)
        if name in JSON_FIELDS:
            mine, theirs = make_json_text(mine), make_json_text(theirs)
        if mine != theirs:
            differing.append(name)
    return tuple(differing)


def _check_score(score: float) -> float:
    if not math.isfinite(score):
        raise ValueError(f"score must be finite, not {score}")
    return float(score)
