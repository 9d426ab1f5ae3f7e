"""Mark an answer to a drawn question, and record the attempt before the mark is shown."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import TYPE_CHECKING
from uuid import UUID, uuid4

from trainer.lesson.item import Answer, Form, InOrder, Item, Reply
from trainer.lesson.marking import FieldMark, ItemMark, mark_item
from trainer.lesson.outcome import Help
from trainer.session.attempting import Answered, make_attempt
from trainer.session.teaching import Learner

if TYPE_CHECKING:
    from trainer.records import Attempt


@dataclass(frozen=True, slots=True)
class Asked:
    """A question as it was asked.

    seed: what it was drawn from. question: its id in the lesson, and the lesson; both "" in practice. help: what
    stands beside it.
    """

    item: Item
    seed: str
    question: str = ""
    lesson: str = ""
    help: Help = Help.UNAIDED


@dataclass(frozen=True, slots=True)
class HandIn:
    """What an answer keeps however often it is handed in, so that a retry is never a second attempt.

    seconds: how long it took, where that was measured. when: None for now.
    """

    attempt: UUID = field(default_factory=uuid4)
    seconds: float | None = None
    when: datetime | None = None


@dataclass(frozen=True, slots=True)
class MarkedAnswer:
    """An answer that was marked; attempt: what is recorded of it, None where nobody gave a name."""

    mark: ItemMark
    attempt: Attempt | None


def make_seed(*parts: str) -> str:
    """Make a seed of parts, of which none can be read in it: it is kept with the answer, and one may be a name.

    With a part that is drawn by chance, and kept nowhere, nobody can try names against it either.
    """
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()[:16]


def answer_item(
    asked: Asked, answer: Answer, learner: Learner | None, hand_in: HandIn | None = None
) -> ItemMark:
    """Mark an answer and, with a learner, record the attempt before returning.

    A window does the two one after the other, in the background: `mark_answer`, `record`.

    Args:
        asked: what was asked.
        answer: replies by the names of the fields.
        learner: who answers and where it is kept; None keeps no record.
        hand_in: made by a caller who may have to hand in again what could not be recorded.

    Returns:
        The mark; of an order with what the view plays to each line.

    Raises:
        RefusalError: the answer cannot be read. SurroundingsError: it could not be recorded.
    """
    marked = mark_answer(asked, answer, learner, hand_in)
    record(marked, learner)
    return marked.mark


def record(marked: MarkedAnswer, learner: Learner | None) -> None:
    """Record an attempt, where there is one. Raises SurroundingsError: it could not be recorded."""
    if learner is not None and marked.attempt is not None:
        learner.records.add_attempt(marked.attempt)


def mark_answer(
    asked: Asked, answer: Answer, learner: Learner | None, hand_in: HandIn | None = None
) -> MarkedAnswer:
    """Mark an answer and make the attempt that it is; arguments and errors as of `answer_item`, nothing is recorded."""
    mark, attempt = mark_item(asked.item, answer), None
    if learner is not None:
        hand_in = hand_in or HandIn()
        answered = Answered(
            hand_in.attempt,
            learner.person,
            hand_in.when or learner.clock(),
            asked.seed,
            hand_in.seconds,
            asked.help,
            asked.question,
            asked.lesson,
        )
        attempt = make_attempt(asked.item, answer, mark, answered)
    marks = zip(asked.item.fields, mark.fields, strict=True)
    shown = tuple(_find_shown(each.form, answer.get(each.name, ""), one) for each, one in marks)
    return MarkedAnswer(replace(mark, fields=shown), attempt)


def _find_shown(form: Form, reply: Reply, mark: FieldMark) -> FieldMark:
    """Find what the view plays to each line of an order; others have it with them."""
    if not isinstance(form, InOrder) or form.shows is None:
        return mark
    lines, shows = tuple(reply), form.shows
    told = tuple(replace(one, shown=shows(lines, one)) for one in mark.lines)
    return replace(mark, lines=told)
