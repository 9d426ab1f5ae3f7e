"""Which component is the one to fit, by a second way: the tables read by hand."""

from __future__ import annotations

import csv

from models.spec.build import TABLES
from trainer.lesson.item import OneOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.wanted import Wanted
from trainer.session.asking import Benches, draw_item

PUMP = "end-suction/100-250"
BENCHES = Benches()


def test_what_suits_a_duty_is_what_the_table_says_read_by_hand() -> None:
    with (TABLES / "fitting" / "suits.csv").open(encoding="utf-8") as stream:
        takes = {tuple(row["suits"].split(".")): row["takes"] for row in csv.DictReader(stream)}
    with (TABLES / "fitting" / "duties.csv").open(encoding="utf-8") as stream:
        asked = {tuple(row["asked"].split(".", 2)): row["is"] for row in csv.DictReader(stream)}
    rest = set[frozenset[str]]()
    for seed in range(60):
        item = draw_item(BENCHES.open(PUMP), BENCHES, Wanted(QuestionKind.WHICH_TO_FIT), str(seed))
        form = item.fields[0].form
        assert isinstance(form, OneOf)
        wants = {key[2]: (key[0], one) for key, one in asked.items() if key[1] == item.subject}
        offered = {
            choice.id: all(
                _is_taken(takes.get((of, choice.id, criterion)), wanted)
                for criterion, (of, wanted) in wants.items()
            )
            for choice in form.choices
            if not choice.id.endswith("of-these")
        }
        named = {one.id for one in form.choices} - offered.keys()
        rest |= {form.right & named}
        if all(offered.values()):
            assert form.right == {"any-of-these"}, item.key
        elif not any(offered.values()):
            assert form.right == {"none-of-these"}, item.key
        else:
            assert form.right == {one for one, suits in offered.items() if suits}, item.key
    assert rest == {frozenset(), frozenset({"any-of-these"}), frozenset({"none-of-these"})}


def _is_taken(takes: str | None, wanted: str) -> bool:
    if takes is None:
        return True
    if ".." in takes:
        low, high = (float(one) for one in takes.split(".."))
        return all(low <= float(one) <= high for one in wanted.split(".."))
    return wanted in takes.split()
