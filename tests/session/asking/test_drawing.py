"""Questions are drawn from builds, the same again from the same seed, and every one of them is well made."""

from __future__ import annotations

import random

import pytest

from models.builds import list_builds
from models.spec.build import TABLES
from models.spec.covering import find_covering
from models.spec.errors import RefusalError
from tests.answering import check_answers, check_well_made
from trainer.lesson.asked import ASKED
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.marking import mark_item
from trainer.lesson.wanted import Wanted
from trainer.session.asking import Benches, draw_item, list_subjects
from trainer.session.asking.kinds import KINDS
from trainer.words import load_words
from trainer.words.telling_item import tell_said

PUMP, PRIMING = "end-suction/100-250", "self-priming/100"
EXHIBITS = (
    "rolling-bearings/bore-50",
    "impeller-fixings/100-250",
    "impellers/100-250",
    "radial-shaft-seals/45",
    "mechanical-seal/38",
    "packing/38",
    "flanges/100",
)
BENCHES, WORDS = Benches(), load_words()
SEEDS = 6


@pytest.mark.parametrize("kind", KINDS)
def test_same_seed_same_question(kind: QuestionKind) -> None:
    bench = BENCHES.open(PUMP if list_subjects(BENCHES.open(PUMP), kind) else PRIMING)
    one, again, other = (draw_item(bench, BENCHES, Wanted(kind), seed) for seed in ("1", "1", "2"))
    assert one == again
    assert one.key.startswith(f"{kind}/")
    assert other.kind is one.kind


@pytest.mark.parametrize("kind", KINDS)
def test_every_text_of_a_question_can_be_told(kind: QuestionKind) -> None:
    bench = BENCHES.open(PUMP if list_subjects(BENCHES.open(PUMP), kind) else PRIMING)
    item = draw_item(bench, BENCHES, Wanted(kind), "told")
    mark = mark_item(item, {})
    assert mark.score == 0.0
    for said in (*item.stem, *(field.asks for field in item.fields), item.basis.said):
        assert tell_said(WORDS, bench.build, said)


@pytest.mark.parametrize("name", [PUMP, PRIMING])
@pytest.mark.parametrize("kind", KINDS)
def test_questions_of_a_pump_are_well_made_and_marked(kind: QuestionKind, name: str) -> None:
    bench, chance = BENCHES.open(name), random.Random(name)
    if not list_subjects(bench, kind):
        with pytest.raises(RefusalError):
            draw_item(bench, BENCHES, Wanted(kind), "none")
        return
    for seed in range(SEEDS):
        item = draw_item(bench, BENCHES, Wanted(kind), str(seed))
        check_well_made(item, bench.build, WORDS)
        check_answers(item, bench.build, WORDS, chance)


@pytest.mark.parametrize("name", EXHIBITS)
def test_questions_of_an_exhibit_are_well_made_and_marked(name: str) -> None:
    bench, chance = BENCHES.open(name), random.Random(name)
    asked = [kind for kind in KINDS if list_subjects(bench, kind)]
    assert len(asked) > 5
    for kind in asked:
        for seed in range(3):
            item = draw_item(bench, BENCHES, Wanted(kind), str(seed))
            check_well_made(item, bench.build, WORDS)
            check_answers(item, bench.build, WORDS, chance)


@pytest.mark.parametrize("kind", KINDS)
def test_a_lesson_can_narrow_a_kind_down_by_its_own_name(kind: QuestionKind) -> None:
    narrows = KINDS[kind].narrows
    assert not narrows or narrows in ASKED[kind].model_fields


@pytest.mark.parametrize("kind", [kind for kind in KINDS if KINDS[kind].narrows])
def test_a_subject_that_is_given_is_asked_about(kind: QuestionKind) -> None:
    bench = BENCHES.open(PUMP if list_subjects(BENCHES.open(PUMP), kind) else PRIMING)
    for subject in list_subjects(bench, kind)[-3:]:
        wanted = Wanted(kind, given={KINDS[kind].narrows: subject})
        assert draw_item(bench, BENCHES, wanted, "given").subject == subject


def test_a_subject_that_the_build_lacks_is_refused_with_near_ones() -> None:
    bench = BENCHES.open(PUMP)
    with pytest.raises(RefusalError, match="impeller"):
        draw_item(bench, BENCHES, Wanted(QuestionKind.REACH, given={"part": "impeler"}), "")


def test_a_clearance_narrows_down_to_its_effects() -> None:
    bench = BENCHES.open(PUMP)
    wanted = Wanted(QuestionKind.WHAT_IF, given={"clearance": "back-vane"})
    found = {draw_item(bench, BENCHES, wanted, str(seed)).subject for seed in range(20)}
    assert found == {"back-vane.thrust", "back-vane.chamber", "back-vane.life", "back-vane.leakage"}


@pytest.mark.long
@pytest.mark.parametrize("name", [PUMP, PRIMING, *EXHIBITS])
def test_questions_of_every_choice_of_options_are_well_made_and_marked(name: str) -> None:
    """In every combination of a covering list; what needs solids only where they lie in the cache."""
    chance = random.Random(name)
    for options in find_covering(TABLES, list_builds()[name]):
        benches = Benches()
        bench = benches.open(name, options)
        for kind, brings in KINDS.items():
            if brings.needs_solids and not bench.has_relations:
                continue
            subjects = list_subjects(bench, kind)
            for subject in chance.sample(subjects, min(6, len(subjects))):
                given = {brings.narrows: subject} if brings.narrows else {}
                item = draw_item(bench, benches, Wanted(kind, given=given), subject)
                check_well_made(item, bench.build, WORDS)
                check_answers(item, bench.build, WORDS, chance)
