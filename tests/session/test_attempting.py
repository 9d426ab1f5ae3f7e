"""An answer becomes an attempt, and the attempt tells what came of it."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from datetime import UTC, datetime
from uuid import UUID

import pytest

from tests.answering import answer_rightly, reply_wrongly
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.marking import mark_item
from trainer.lesson.outcome import Help
from trainer.lesson.wanted import Wanted
from trainer.records import Attempt
from trainer.session.asking import Benches, draw_item, list_subjects
from trainer.session.asking.kinds import KINDS
from trainer.session.attempting import (
    Answered,
    describe_fields,
    make_attempt,
    read_outcomes,
)

BENCHES = Benches()
NOON = datetime(2026, 12, 1, 12, tzinfo=UTC)


def answer_wrongly(kind: QuestionKind) -> Attempt:
    bench = BENCHES.open("end-suction/100-250")
    if not list_subjects(bench, kind):
        bench = BENCHES.open("self-priming/100")
    item = draw_item(bench, BENCHES, Wanted(kind), "kept")
    answer = dict(answer_rightly(item))
    last = item.fields[-1]
    answer[last.name] = reply_wrongly(last.form, random.Random(1))
    answered = Answered(UUID(int=1), "Ann", NOON, "kept", 12.5, Help.HINTED)
    attempt = make_attempt(item, answer, mark_item(item, answer), answered)
    (outcome,) = read_outcomes([attempt])
    assert outcome.fields == describe_fields(item, answer, mark_item(item, answer))
    return attempt


@pytest.mark.parametrize("kind", KINDS)
def test_what_came_of_an_answer_is_read_back_from_what_is_kept(kind: QuestionKind) -> None:
    attempt = answer_wrongly(kind)
    # As it comes out of a file: only what JSON holds.
    kept = replace(attempt, result=json.loads(json.dumps(attempt.result)))
    (outcome,) = read_outcomes([kept])
    assert outcome == read_outcomes([attempt])[0]
    assert (outcome.person, outcome.item, outcome.when) == ("Ann", attempt.item, NOON)
    assert (outcome.score, outcome.seconds, outcome.help) == (attempt.score, 12.5, Help.HINTED)
    assert outcome.score < 1.0


def test_attempts_of_which_too_little_was_kept_are_left_out() -> None:
    attempt = answer_wrongly(QuestionKind.NAME_IT)
    before_items = replace(attempt, subject="", result=None)  # as they were kept before 2026-12
    unscored = replace(attempt, score=None)
    assert len(read_outcomes([before_items, attempt, unscored])) == 1
