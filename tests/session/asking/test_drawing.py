"""Questions are drawn from builds, the same again from the same seed."""

from __future__ import annotations

import pytest

from trainer.lesson.kinds import QuestionKind
from trainer.lesson.marking import mark_item
from trainer.lesson.wanted import Wanted
from trainer.session.asking import Benches, draw_item
from trainer.session.asking.kinds import KINDS
from trainer.words import load_words
from trainer.words.telling_item import tell_said

PUMP = "end-suction/100-250"
BENCHES = Benches()


@pytest.mark.parametrize("kind", KINDS)
def test_same_seed_same_question(kind: QuestionKind) -> None:
    bench = BENCHES.open(PUMP)
    one, again, other = (draw_item(bench, BENCHES, Wanted(kind), seed) for seed in ("1", "1", "2"))
    assert one == again
    assert one.key.startswith(f"{kind}/")
    assert other.kind is one.kind


@pytest.mark.parametrize("kind", KINDS)
def test_every_text_of_a_question_can_be_told(kind: QuestionKind) -> None:
    bench, words = BENCHES.open(PUMP), load_words()
    item = draw_item(bench, BENCHES, Wanted(kind), "told")
    mark = mark_item(item, {})
    assert mark.score == 0.0
    for said in (*item.stem, *(field.asks for field in item.fields), item.basis.said):
        assert tell_said(words, bench.build, said)
