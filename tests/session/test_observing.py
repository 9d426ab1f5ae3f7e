"""A practical while it is held: it outlives the program, is filed once however often that is tried, and nobody signs for himself."""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from uuid import UUID

import pytest

import models
from models.spec.errors import RefusalError
from trainer.lesson.practical import Level
from trainer.records import open_records
from trainer.session.as_left import Plain, StrangeValueError
from trainer.session.bench import open_bench
from trainer.session.observing import (
    Held,
    begin_practical,
    describe_held,
    file_practical,
    read_held,
    sign_off,
)

BEGUN = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
SIGNED = datetime(2026, 3, 2, 12, 40, tzinfo=UTC)


def begin(person: str = "Ann Marsh", observer: str = "Dora Fenn") -> Held:
    bench = open_bench("end-suction/100-250", {"bracket": "open"})
    return begin_practical(bench, "open-pump", person=person, observer=observer, id_=UUID(int=7), now=BEGUN)  # fmt: skip


def mark_all(held: Held, level: Level = Level.ALONE) -> Held:
    observed = held.observed
    for line in observed.rubric.lines:
        observed = observed.mark(line.name, level)
    return replace(held, observed=observed)


def test_it_comes_back_from_plain_values_as_it_was_left() -> None:
    held = begin()
    observed = held.observed.mark("lock-out", Level.PROMPTED, "forgot the tag").note("sling-volute", "late")  # fmt: skip
    held = replace(held, observed=observed, remark="in the rain")
    left = json.loads(json.dumps(describe_held(held)))
    assert read_held(left) == held
    assert held.options["bracket"] == "open"
    assert held.parts["volute-off"] == ("volute",)


def test_what_is_never_done_is_marked_so_in_the_rubric() -> None:
    """Read off the table itself: a step that DOES `never`."""
    table = Path(models.__file__).parent / "tables" / "procedures" / "steps.csv"
    rows = csv.DictReader(table.read_text("utf-8").splitlines())
    never = [row["step"] for row in rows if row["does"] == "never"]
    lines = begin().observed.rubric.lines
    mine = [f"open-pump.{line.name}" for line in lines if line.is_never]
    assert mine == [step for step in never if step.startswith("open-pump.")] != []


@pytest.mark.parametrize(
    "change",
    [
        {"begun": "soon"},
        {"begun": "2026-03-02T12:00:00"},
        {"levels": {"lock-out": "well"}},
        {"build": "end-suction/9"},
        {"procedure": "dance"},
        {"observer": "ann  MARSH"},
        {"remarks": []},
        {"id": "7"},
    ],
)
def test_what_is_no_practical_is_strange(change: dict[str, Plain]) -> None:
    with pytest.raises(StrangeValueError):
        read_held(describe_held(begin()) | change)


def test_a_line_that_is_none_any_more_is_left_out() -> None:
    left = describe_held(mark_all(begin()))
    levels = left["levels"]
    assert isinstance(levels, dict)
    read = read_held(left | {"levels": {"whistle": "alone", **levels}})
    assert read == mark_all(begin())


def test_nobody_watches_himself_however_the_name_is_spelt() -> None:
    with pytest.raises(RefusalError, match="somebody else watches"):
        begin("Ann Marsh", " ann marsh")


def test_it_is_filed_once_and_as_it_was_filed_first(tmp_path: Path) -> None:
    held = mark_all(begin())
    first = sign_off(held, person_signed="ann marsh", observer_signed="Dora Fenn", now=SIGNED)
    assert (first.begun, first.when, first.passed) == (BEGUN, SIGNED, True)
    later = sign_off(
        mark_all(held, Level.NOT_DONE), person_signed="Ann Marsh", observer_signed="Dora Fenn", now=SIGNED
    )  # fmt: skip
    with open_records(tmp_path / "records.db") as records:
        filed = file_practical(records, first)
        assert file_practical(records, later) == filed, "what was signed stays as it was"
        assert records.list_sign_offs() == (first,)
        assert records.find_sign_off(UUID(int=8)) is None
        assert records.check_history().last_hash == filed.hash
