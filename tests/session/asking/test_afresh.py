"""Another pump of the family is drawn for each learner where that is wanted, always one that there can be."""

from __future__ import annotations

import random

from models.spec.choosing import find_clashes
from tests.answering import check_answers, check_well_made
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.wanted import Wanted
from trainer.session.asking import Benches, draw_item
from trainer.words import load_words

PUMP = "end-suction/100-250"
BENCHES, WORDS = Benches(), load_words()


def test_sizes_and_options_are_drawn_that_go_together_and_the_same_again() -> None:
    bench, chance = BENCHES.open(PUMP), random.Random(1)
    wanted = Wanted(QuestionKind.READ_GAP, given={"afresh": "true", "clearance": "back-vane"})
    items = [draw_item(bench, BENCHES, wanted, str(seed)) for seed in range(6)]
    assert len({item.build for item in items}) > 1
    assert len({tuple(item.options.items()) for item in items}) > 1
    for seed, item in enumerate(items):
        assert item.build.startswith("end-suction/")
        assert next(find_clashes(bench.build.family, item.options), None) is None
        assert item.subject == "back-vane"
        assert item == draw_item(bench, BENCHES, wanted, str(seed))
        build = BENCHES.open(item.build, item.options).build
        check_well_made(item, build, WORDS)
        check_answers(item, build, WORDS, chance)


def test_where_solids_are_asked_only_the_size_is_drawn() -> None:
    bench = BENCHES.open("impeller-fixings/100-250")
    wanted = Wanted(QuestionKind.NEXT_OFF, given={"afresh": "true"})
    item = draw_item(bench, BENCHES, wanted, "1")
    assert item.options == bench.build.options


def test_a_part_that_is_given_is_on_the_pump_that_is_drawn() -> None:
    bench = BENCHES.open(PUMP, {"impeller": "semi-open"})
    wanted = Wanted(QuestionKind.WHAT_FOR, given={"afresh": "true", "part": "wear-plate"})
    for seed in range(2):
        item = draw_item(bench, BENCHES, wanted, str(seed))
        assert item.options["impeller"] == "semi-open"
