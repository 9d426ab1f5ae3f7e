"""What a learner did once, and what came of it."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from datetime import UTC, datetime
from uuid import UUID

from models.spec.errors import RefusalError
from trainer.records.plain_json import Json, make_json_text, make_plain

MOST_NAME_CHARS = 80
MOST_JSON_CHARS = 1_000_000
JSON_FIELDS = ("answer", "result", "options", "marks")
_KIND = re.compile(r"[a-z]+(-[a-z]+)*")


@dataclass(frozen=True, slots=True)
class Attempt:
    """One try at one thing. It is tidied when made, so that it equals what is read back later.

    id: made by the caller before the first try at recording, so that a retry is never a second attempt.
    person: the name the learner typed, tidied by `check_person_name`.
    when: from the caller's clock; any time zone, kept as UTC.
    kind: what kind of question, as `QuestionKind` spells it.
    build: name of the build, such as `end-suction/100-250`, with the options that were chosen.
    question: id of the question in its lesson; "" in practice. lesson: the lesson; "" in practice.
    answer, result: plain JSON values; tuples become lists, NaN and infinities are refused.
    score: 0 to 1; nothing where the attempt is not scored. marks: the score of each field, by its name.
    subject: what it was about; kind and subject are the item. "" where that was not kept (before 2026-12).
    seed: what it was drawn from; "" where that was not kept. seconds: how long it took, if it was kept.

    Raises:
        RefusalError: the name cannot be used, or answer or result is far too long.
        TypeError, ValueError: a field holds what can't be kept; the caller has a bug.
    """

    id: UUID
    person: str
    when: datetime
    kind: str
    build: str
    question: str
    answer: Json
    result: Json
    options: Mapping[str, str] = field(default_factory=dict)
    score: float | None = None
    lesson: str = ""
    subject: str = ""
    seed: str = ""
    seconds: float | None = None
    marks: Mapping[str, float] = field(default_factory=dict)

    @property
    def item(self) -> str:
        """Name what was asked, whoever was asked and however it was drawn: KIND/SUBJECT; "" where it was not kept."""
        return f"{self.kind}/{self.subject}" if self.subject else ""

    def __post_init__(self) -> None:
        if self.when.tzinfo is None:
            raise ValueError("when must carry its time zone")
        _check_names(self)
        tidy: dict[str, object] = {
            "kind": str(self.kind),  # a member of an enum would print as itself
            "person": check_person_name(self.person),
            "when": self.when.astimezone(UTC),
            "score": None if self.score is None else _check_number(self.score, "score"),
            "seconds": None if self.seconds is None else _check_number(self.seconds, "seconds"),
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


def _check_names(attempt: Attempt) -> None:
    if not attempt.build:
        raise ValueError("build must be named")
    if not _KIND.fullmatch(attempt.kind):
        raise ValueError(f"kind must be words in lower case with dashes, not {attempt.kind!r}")
    for name in ("build", "question", "lesson", "subject", "seed"):
        text = getattr(attempt, name)
        if not text.isprintable():
            raise ValueError(f"{name} must be a printable name, not {text!r}")


def _check_number(value: float, name: str) -> float:
    if not math.isfinite(value):
        raise ValueError(f"{name} must be finite, not {value}")
    return float(value)
