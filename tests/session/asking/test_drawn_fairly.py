"""Nobody gets far by habit: every choice is right at times, and where there are few verdicts none is right too often."""

from __future__ import annotations

import math
from collections import Counter

import pytest

from tests.drawn_choices import Pump, count_drawn, draw_items
from trainer.lesson.item import Item, OneOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.said import Amount
from trainer.session.asking import Benches

PUMPS: tuple[Pump, ...] = (
    ("end-suction/100-250", {"fixing": "acme"}),
    ("end-suction/100-250", {"discharge": "top-horizontal"}),
    ("end-suction/80-200", {"discharge": "bottom-horizontal"}),
    ("self-priming/100", {}),
    ("impellers/100-250", {}),
)
BENCHES = Benches()
CHEAP = (
    QuestionKind.WHICH_TO_FIT,
    QuestionKind.READ_GAP,
    QuestionKind.WHAT_IF,
    QuestionKind.REUSE_OR_RENEW,
    QuestionKind.READ_GAUGE,
    QuestionKind.WHERE_TO_MEASURE,
    QuestionKind.SYMPTOM,
    QuestionKind.SET_HAND,
)
"""Kinds with a closed set of choices, whose questions take a millisecond each; of the others `tests.drawn_choices` tells."""
COUNT = 1_200


def draw(kind: QuestionKind) -> list[Item]:
    return list(draw_items(kind, COUNT, PUMPS, BENCHES))


@pytest.mark.parametrize("kind", CHEAP)
def test_no_choice_is_shown_often_and_never_right(kind: QuestionKind) -> None:
    found = count_drawn(draw(kind))
    assert found
    for name, drawn in found.items():
        assert max(drawn.shown.values()) > 20, name
        assert drawn.list_never_right() == [], name


@pytest.mark.parametrize("kind", [QuestionKind.REUSE_OR_RENEW, QuestionKind.READ_GAP])
def test_each_verdict_is_right_in_about_a_third(kind: QuestionKind) -> None:
    right = count_drawn(draw(kind))["verdict"].right
    many = sum(right.values())
    # Four times the deviation that even draws have, and what single subjects add that have two verdicts, or one.
    off = 4.0 * math.sqrt(many * 2.0 / 9.0) + 0.03 * many
    assert len(right) == 3
    assert all(abs(times - many / 3.0) < off for times in right.values()), right


def test_a_size_as_it_was_before_is_right_at_times() -> None:
    """The question what something comes to names what it was: whoever strikes that out has to look, too."""
    seen = Counter[bool]()
    for item in draw(QuestionKind.WHAT_IF):
        form, was = item.fields[1].form, item.fields[1].asks.fields["was"]
        assert isinstance(form, OneOf)
        assert isinstance(was, Amount)
        for choice in form.choices:
            value = choice.said.fields["value"]
            assert isinstance(value, Amount)
            if math.isclose(value.value, was.value, rel_tol=0.021):
                seen[choice.id in form.right] += 1
    assert min(seen[True], seen[False]) > 0, seen
