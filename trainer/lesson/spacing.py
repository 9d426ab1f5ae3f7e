"""When a question comes back: a scheduling library behind our own words, graded by mark and time, with no buttons.

What was learnt is forgotten along a curve; a question comes back when the chance that it is still known has fallen to
AIM. The curve is the library's (`fsrs`, MIT), which is loaded with the first answer: a window shows its pump before
that. Its state is folded anew from the answers and stored nowhere.

| answer | counts as |
|---|---|
| less than HALF the marks | lost |
| part of the marks, or all of them with hints, or in more than SLOW times the usual time | halting |
| all marks, unaided | sure |
| all marks, unaided, in less than QUICK of the usual time | quick |
| beside a worked example | nothing: what has just been read was not recalled |

The usual time is the middle of the learner's own earlier right and unaided ones in the same form; with fewer than
FEWEST_TIMES of them time does not count.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from functools import cache
from typing import TYPE_CHECKING

from trainer.lesson.marking import FULL, ROUNDING
from trainer.lesson.outcome import Help, Outcome

if TYPE_CHECKING:
    from fsrs import Card, Scheduler

AIM = 0.9
"""Chance of recall at which a question comes back; what the library takes if nothing is said."""
AGAIN_AFTER = timedelta(minutes=10)
"""What was lost comes back the same day."""
LONGEST_DAYS = 365
"""Nobody who works on pumps should go more than a year without being asked again."""
HALF, SLOW, QUICK = 0.5, 2.0, 0.5
FEWEST_TIMES = 5


class Recall(StrEnum):
    """How an answer was recalled."""

    LOST = "lost"
    HALTING = "halting"
    SURE = "sure"
    QUICK = "quick"


@dataclass(frozen=True, slots=True)
class Memory:
    """How well something is remembered.

    stability_days: after so long the chance of recall has fallen to AIM. hardness: 1 to 10, of this thing for
    this learner. step: place among the short first repeats, nothing once past them.
    """

    stability_days: float
    hardness: float
    due: datetime
    last: datetime
    step: int | None


def judge_recall(outcome: Outcome, usual_s: float | None) -> Recall | None:
    """Judge how an answer was recalled; nothing where it was given beside a worked example.

    usual_s: the learner's usual time for its form, in seconds; nothing where it is not known.
    """
    if outcome.help is Help.EXAMPLE:
        return None
    if outcome.score < HALF:
        return Recall.LOST
    if outcome.score < FULL - ROUNDING or outcome.help is Help.HINTED:
        return Recall.HALTING
    if usual_s is None or outcome.seconds is None:
        return Recall.SURE
    if outcome.seconds > SLOW * usual_s:
        return Recall.HALTING
    return Recall.QUICK if outcome.seconds < QUICK * usual_s else Recall.SURE


def find_usual_s(rising_s: Sequence[float]) -> float | None:
    """Find the usual time of right answers, their middle, in seconds; nothing where there are too few of them.

    rising_s: the times, the shortest first.
    """
    count = len(rising_s)
    if count < FEWEST_TIMES:
        return None
    return (rising_s[(count - 1) // 2] + rising_s[count // 2]) / 2.0


def remember(memory: Memory | None, recall: Recall, when: datetime) -> Memory:
    """Take in that something was recalled, or lost, at a moment; `memory` is nothing the first time."""
    moment = when.astimezone(UTC)
    if memory is not None:
        moment = max(
            moment, memory.last
        )  # clocks may be set back; nothing is forgotten before it was learnt
    from fsrs import Rating

    rating = {
        Recall.LOST: Rating.Again,
        Recall.HALTING: Rating.Hard,
        Recall.SURE: Rating.Good,
        Recall.QUICK: Rating.Easy,
    }[recall]
    card, _ = _make_scheduler().review_card(_make_card(memory, moment), rating, moment)
    assert card.stability is not None
    assert card.difficulty is not None
    return Memory(card.stability, card.difficulty, card.due, moment, card.step)


def find_chance(memory: Memory, now: datetime) -> float:
    """Find the chance that something would be recalled now, 0 to 1; it falls from one whole day to the next."""
    moment = now.astimezone(UTC)
    return float(_make_scheduler().get_card_retrievability(_make_card(memory, moment), moment))


def _make_card(memory: Memory | None, moment: datetime) -> Card:
    from fsrs import Card, State

    # With an id and a due time of our own: the library would ask its clock for both, and wait.
    if memory is None:
        return Card(card_id=0, due=moment)
    # What was lost is learnt again as it was at first: the steps are the same.
    state = State.Review if memory.step is None else State.Learning
    return Card(0, state, memory.step, memory.stability_days, memory.hardness, memory.due, memory.last)  # fmt: skip


@cache
def _make_scheduler() -> Scheduler:
    from fsrs import Scheduler

    # Without its chance of some days more or less: the same answers always give the same day.
    return Scheduler(
        desired_retention=AIM,
        learning_steps=(AGAIN_AFTER,),
        relearning_steps=(AGAIN_AFTER,),
        maximum_interval=LONGEST_DAYS,
        enable_fuzzing=False,
    )
