"""Mark an answer to a drawn question, and record the attempt before the mark is shown."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID, uuid4

from trainer.lesson.item import Answer, Item
from trainer.lesson.marking import ItemMark, mark_item
from trainer.lesson.outcome import Help
from trainer.session.attempting import Answered, make_attempt
from trainer.session.teaching import Learner


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
        answered = Answered(
            attempt or uuid4(),
            learner.person,
            learner.clock(),
            asked.seed,
            seconds,
            asked.help,
            asked.question,
            asked.lesson,
        )
        learner.records.add_attempt(make_attempt(asked.item, answer, mark, answered))
    return mark
