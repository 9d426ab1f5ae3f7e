"""Turn an answer to an item into an attempt for the records, and attempts into what practice and statistics count.

What an attempt's `result` holds: `help` (what stood beside the question), `failed` (a critical line), and by field
`form`, `score`, and what of `offered`, `taken`, `right`, `lines` and `broken` its form has.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any
from uuid import UUID

from trainer.lesson.astray import find_broken
from trainer.lesson.item import Answer, Field, InOrder, Item, OneOf, Pairs, Reply, SomeOf
from trainer.lesson.marking import ItemMark
from trainer.lesson.outcome import FORMS, FieldOutcome, Help, Outcome
from trainer.records import Attempt

if TYPE_CHECKING:
    from trainer.records import Json

_LISTS = ("offered", "taken", "right", "lines")


@dataclass(frozen=True, slots=True)
class Answered:
    """Who answered, when, drawn from what seed, after how long, and with what help.

    id: made before the first try at recording, so that a retry is never a second attempt. question, lesson: ids
    where it was asked in a lesson, "" in practice.
    """

    id: UUID
    person: str
    when: datetime
    seed: str
    seconds: float | None = None
    help: Help = Help.UNAIDED
    question: str = ""
    lesson: str = ""


def make_attempt(item: Item, answer: Answer, mark: ItemMark, answered: Answered) -> Attempt:
    """Make the attempt that an answer is, to be handed to `Records.add_attempt`.

    Raises:
        RefusalError: the person's name cannot be used.
    """
    outcomes = describe_fields(item, answer, mark)
    fields: dict[str, Json] = {one.name: _write_field(one) for one in outcomes}
    return Attempt(
        id=answered.id,
        person=answered.person,
        when=answered.when,
        kind=item.kind,
        subject=item.subject,
        build=item.build,
        options=dict(item.options),
        question=answered.question,
        lesson=answered.lesson,
        answer={name: _write_reply(reply) for name, reply in answer.items()},
        result={"help": str(answered.help), "failed": mark.has_failed, "fields": fields},
        score=mark.score,
        seed=answered.seed,
        seconds=answered.seconds,
        marks={field.name: field.score for field in mark.fields},
    )


def describe_fields(item: Item, answer: Answer, mark: ItemMark) -> tuple[FieldOutcome, ...]:
    """Describe what became of each field of an item."""
    return tuple(
        _describe_field(field, answer.get(field.name, ""), one.score)
        for field, one in zip(item.fields, mark.fields, strict=True)
    )


def _describe_field(field: Field, reply: Reply, score: float) -> FieldOutcome:
    form, name = field.form, FORMS[type(field.form)]
    match form:
        case OneOf() | SomeOf():
            offered = tuple(sorted(choice.id for choice in form.choices))
            right = tuple(sorted(form.right))
            return FieldOutcome(field.name, name, score, offered, _list_taken(reply), right)
        case Pairs():
            # Which was paired with which is what goes astray: LEFT=CHOICE is counted as a choice.
            offered = tuple(f"{one.id}={c.id}" for one in form.left for c in form.choices)
            right = tuple(f"{one}={other}" for one, other in form.right.items())
            return FieldOutcome(field.name, name, score, offered, _list_taken(reply), right)
        case InOrder():
            lines = _list_taken(reply)
            broken = find_broken(form.judge, lines)
            return FieldOutcome(field.name, name, score, lines=lines, broken=broken)
        case _:
            return FieldOutcome(field.name, name, score, taken=_list_taken(reply))


def _list_taken(reply: Reply) -> tuple[str, ...]:
    if isinstance(reply, Mapping):
        return tuple(f"{left}={choice}" for left, choice in reply.items())
    if isinstance(reply, str):
        return (reply,) if reply else ()
    return tuple(reply)


def _write_reply(reply: Reply) -> Json:
    if isinstance(reply, Mapping):
        return dict(reply)
    return reply if isinstance(reply, str) else list(reply)


def _write_field(one: FieldOutcome) -> Json:
    lists: dict[str, Json] = {
        name: list(getattr(one, name)) for name in _LISTS if getattr(one, name)
    }
    pairs: dict[str, Json] = {"broken": [list(pair) for pair in one.broken]} if one.broken else {}
    return {"form": one.form, "score": one.score, **lists, **pairs}


def read_outcomes(attempts: Iterable[Attempt]) -> list[Outcome]:
    """Read what came of attempts; those that are not of an item, or not scored, are left out."""
    return [_read_outcome(one) for one in attempts if one.item and one.score is not None]


def _read_outcome(attempt: Attempt) -> Outcome:
    assert attempt.score is not None
    result: Any = attempt.result if isinstance(attempt.result, Mapping) else {}
    fields: Any = result.get("fields", {})
    return Outcome(
        attempt.person,
        attempt.item,
        attempt.when,
        attempt.score,
        tuple(_read_field(name, told) for name, told in fields.items()),
        Help(result.get("help", Help.UNAIDED)),
        attempt.seconds,
    )


def _read_field(name: str, told: Mapping[str, Any]) -> FieldOutcome:
    offered, taken, right, lines = (tuple(told.get(one, ())) for one in _LISTS)
    broken = tuple((first, then) for first, then in told.get("broken", ()))
    return FieldOutcome(name, told["form"], told["score"], offered, taken, right, lines, broken)
