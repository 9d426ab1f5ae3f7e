"""Mark an answer to a drawn question, and record the attempt before the mark is shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID, uuid4

from trainer.lesson.item import (
    Answer,
    Form,
    InOrder,
    Item,
    Number,
    OneOf,
    Pairs,
    Pointed,
    Reply,
    SomeOf,
)
from trainer.lesson.marking import ItemMark, mark_item
from trainer.records import Attempt, Json
from trainer.session.teaching import Learner

FORM_NAMES: Mapping[type[Form], str] = {
    OneOf: "one-of",
    SomeOf: "some-of",
    Pairs: "pairs",
    Number: "number",
    Pointed: "pointed",
    InOrder: "in-order",
}
"""What each form is called in the records."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question as it was asked.

    seed: what it was drawn from. question: its id in the lesson, and the lesson; both "" in practice.
    """

    item: Item
    seed: str
    question: str = ""
    lesson: str = ""


def answer_item(
    asked: Asked,
    answer: Answer,
    learner: Learner | None,
    attempt: UUID | None = None,
    seconds: float | None = None,
) -> ItemMark:
    """Mark an answer and, with a learner, record the attempt before returning.

    Args:
        asked: what was asked.
        answer: replies by the names of the fields.
        learner: who answers and where it is kept; None keeps no record.
        attempt: id made by the caller, so that a retry is never a second attempt.
        seconds: how long it took, where that was measured.

    Raises:
        RefusalError: the answer cannot be read. SurroundingsError: it could not be recorded.
    """
    mark = mark_item(asked.item, answer)
    if learner is not None:
        item = asked.item
        record = Attempt(
            id=attempt or uuid4(),
            person=learner.person,
            when=learner.clock(),
            kind=item.kind,
            build=item.build,
            options=dict(item.options),
            question=asked.question,
            lesson=asked.lesson,
            subject=item.subject,
            seed=asked.seed,
            seconds=seconds,
            answer={name: _describe_reply(reply) for name, reply in answer.items()},
            result=describe_mark(item, mark),
            score=mark.score,
            marks={field.name: field.score for field in mark.fields},
        )
        learner.records.add_attempt(record)
    return mark


def describe_mark(item: Item, mark: ItemMark) -> dict[str, Json]:
    """Describe a mark as plain JSON for the records."""
    fields: dict[str, Json] = {
        marked.name: {"form": FORM_NAMES[type(field.form)], "score": marked.score}
        for field, marked in zip(item.fields, mark.fields, strict=True)
    }
    return {"failed": mark.has_failed, "fields": fields}


def _describe_reply(reply: Reply) -> Json:
    if isinstance(reply, str):
        return reply
    return dict(reply) if isinstance(reply, Mapping) else list(reply)
