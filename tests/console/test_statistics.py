"""The command `statistics`: of a simulated class, and of the answers in the records."""

from __future__ import annotations

import json
from collections import Counter
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import uuid4

import pytest
from click.testing import CliRunner, Result

from models.spec.errors import RefusalError
from trainer.console import make_console
from trainer.lesson.item import InOrder
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.marking import mark_item, reply_rightly
from trainer.lesson.outcome import Help
from trainer.lesson.wanted import Wanted
from trainer.records import open_records
from trainer.session.asking import Benches, draw_item
from trainer.session.attempting import Answered, make_attempt

SEAL = "mechanical-seal/38"
MORNING = datetime(2026, 12, 1, 8, tzinfo=UTC)


@pytest.fixture(autouse=True)
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    where = tmp_path / "records.sqlite3"
    monkeypatch.setenv("PUMPWRIGHT_RECORDS", str(where))
    return where


def run(*arguments: str) -> Result:
    return CliRunner().invoke(
        make_console(), ["statistics", *arguments], catch_exceptions=False, color=False
    )


def test_a_simulated_class_of_five_hundred_gives_back_how_hard_the_questions_were_made() -> None:
    arguments = ("--simulate", "500", "--items", "14", "--build", SEAL, "--seed", "5", "--json")
    told = json.loads(run(*arguments).stdout)
    assert told["simulated"] is True
    assert told["persons"] == 500
    assert len(told["items"]) == 14
    assert told["agreement"] >= 0.9
    # Worked out anew from what is told: the order of the shares that had it all right is that of the difficulties.
    right = {one["item"]: one["all_right"] for one in told["items"]}
    ranked = sorted(right, key=lambda item: -right[item])
    easy_first = sorted(told["difficulties"], key=lambda item: told["difficulties"][item])
    off = [abs(ranked.index(item) - easy_first.index(item)) for item in ranked]
    rho = 1 - 6 * sum(d * d for d in off) / (14 * (14**2 - 1))
    assert rho == pytest.approx(told["agreement"], abs=0.02)
    assert all(one["discrimination"] > 0 for one in told["items"])
    wrong = [one for one in told["choices"] if not one["right"]]
    assert any(one["taken"] for one in wrong)
    assert all(one["taken"] <= one["offered"] <= 500 for one in told["choices"])


def test_the_same_seed_makes_the_same_class_and_it_is_told_as_simulated() -> None:
    arguments = ("--simulate", "12", "--items", "5", "--build", SEAL)
    first, again, other = (run(*arguments, "--seed", seed) for seed in ("1", "1", "2"))
    assert first.output == again.output != other.output
    assert first.output.startswith("SIMULATED CLASS: 12 learners that do not exist, seed 1.")
    assert "few answers" in first.output
    assert "too few to part" in first.output


def test_the_records_tell_which_precedence_is_broken_most(place: Path) -> None:
    benches = Benches()
    bench = benches.open("end-suction/100-250")
    wanted = Wanted(QuestionKind.PUT_IN_ORDER, given={"way": "teardown"})
    item = draw_item(bench, benches, wanted, "class")
    form = item.fields[0].form
    assert isinstance(form, InOrder)
    right = form.judge.find_order()
    orders = [(line, *(one for one in right if one != line)) for line in right]
    wrong = next(one for one in orders if not mark_item(item, {"order": one}).is_right)
    expected: Counter[tuple[str, str]] = Counter()
    with open_records(place) as records:
        for number, person in enumerate(("Ann", "Bob", "Cid", "Dee")):
            reply = right if number == 3 else wrong
            mark = mark_item(item, {"order": reply})
            answered = Answered(uuid4(), person, MORNING + timedelta(minutes=number), "class")
            attempt = make_attempt(item, {"order": reply}, mark, answered)
            records.add_attempt(attempt)
            assert isinstance(attempt.result, dict)
            broken = attempt.result["fields"]["order"].get("broken", [])
            expected.update((first, then) for first, then in broken)
    assert expected
    told = json.loads(run("--json").stdout)
    assert told["simulated"] is False
    found = {(one["first"], one["then"]): (one["broken"], one["asked"]) for one in told["broken"]}
    assert found == {pair: (times, 4) for pair, times in expected.items()}
    assert all(times == 3 and then == wrong[0] for (_, then), times in expected.items())
    shown = run().output
    assert "Where orders go astray" in shown
    assert "4 persons, 1 question" in shown
    assert "few answers" in shown
    assert "It takes two questions at least" in shown


def test_without_answers_it_says_so() -> None:
    assert "no answers to count" in run().output
    assert json.loads(run("--json").stdout)["items"] == []


def test_answers_that_were_all_given_with_help_tell_nothing_of_questions(place: Path) -> None:
    benches = Benches()
    bench = benches.open("end-suction/100-250")
    item = draw_item(bench, benches, Wanted(QuestionKind.NAME_IT), "class")
    answer = {field.name: reply_rightly(field.form) for field in item.fields}
    answered = Answered(uuid4(), "Ann", MORNING, "class", help=Help.HINTED)
    with open_records(place) as records:
        records.add_attempt(make_attempt(item, answer, mark_item(item, answer), answered))
    assert "no answers to count" in run().output
    assert json.loads(run("--json").stdout)["items"] == []


def test_only_one_lesson_is_counted_where_it_is_named(place: Path) -> None:
    benches = Benches()
    bench = benches.open(SEAL)
    with open_records(place) as records:
        for lesson, seed in (("one", "1"), ("two", "2")):
            item = draw_item(bench, benches, Wanted(QuestionKind.NAME_IT), seed)
            answer = {field.name: reply_rightly(field.form) for field in item.fields}
            answered = Answered(uuid4(), "Ann", MORNING, seed, question="q", lesson=lesson)
            records.add_attempt(make_attempt(item, answer, mark_item(item, answer), answered))
    assert len(json.loads(run("--json").stdout)["items"]) == 2
    (only,) = json.loads(run("--lesson", "two", "--json").stdout)["items"]
    assert only["count"] == 1


@pytest.mark.parametrize(
    "arguments", [("--seed", "1"), ("--simulate", "9", "--lesson", "x"), ("--simulate", "1")]
)
def test_what_does_not_go_together_is_said(arguments: tuple[str, ...]) -> None:
    assert run(*arguments).exit_code == 2


def test_a_pump_that_there_is_not_is_refused() -> None:
    with pytest.raises(RefusalError):
        run("--simulate", "5", "--build", "no/such")
