"""Whatever is asked and chosen can be told to an instructor in words, by its key alone."""

from __future__ import annotations

import pytest

from trainer.lesson.item import InOrder, OneOf, SomeOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.wanted import Wanted
from trainer.session.asking import Benches, draw_item, list_subjects
from trainer.session.asking.kinds import KINDS
from trainer.words import load_words
from trainer.words.telling_subject import tell_choice_id, tell_item_key

BENCHES, WORDS = Benches(), load_words()
PUMP = "end-suction/100-250"
AS_SPELT = ("bolt-", "torque-")
"""What these begin is told as it is spelt: bolt 3, torque cap joint."""


@pytest.mark.parametrize("kind", KINDS)
def test_every_choice_has_words_of_its_own(kind: QuestionKind) -> None:
    bench, texts = BENCHES.open(PUMP), set(WORDS.texts.values())
    for subject in list_subjects(bench, kind)[:6]:
        narrows = KINDS[kind].narrows
        given = {narrows: subject} if narrows else {}
        item = draw_item(bench, BENCHES, Wanted(kind, given=given), "told")
        assert "/" not in tell_item_key(WORDS, item.key)
        for field in item.fields:
            form = field.form
            found = form.lines if isinstance(form, InOrder) else ()
            found = form.choices if isinstance(form, OneOf | SomeOf) else found
            for choice in found:
                told = tell_choice_id(WORDS, item.key, choice.id)
                assert "{" not in told
                assert choice.id.startswith(AS_SPELT) or told in texts, (item.key, choice.id)
