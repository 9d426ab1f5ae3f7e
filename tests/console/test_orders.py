"""Questions about orders at the terminal: for people and as JSON."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from trainer.console.commands import make_group
from trainer.session import ordering
from trainer.session.bench import Bench

BUILD = "end-suction/100-250"


def run(*arguments: str) -> Result:
    return CliRunner().invoke(make_group(), ["order", BUILD, *arguments], env={"COLUMNS": "200"})


def read(*arguments: str) -> Any:
    result = run(*arguments, "--json")
    return json.loads(result.stdout)


@pytest.fixture
def wrong(tmp_path: Path) -> Path:
    file = tmp_path / "order.txt"
    lines = "lock-out cover-nut suction-cover impeller-screw tab-washer impeller retaining-washer"
    file.write_text("\n".join(lines.split()), encoding="utf-8")
    return file


@pytest.fixture
def worked_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let both ways to tell an answer share it: it takes seconds, and the same pump is asked the same."""

    def remember(work_out: Callable[..., Any]) -> Callable[..., Any]:
        kept: dict[tuple[object, ...], Any] = {}

        def ask(bench: Bench, *asked: object) -> Any:
            if asked not in kept:
                kept[asked] = work_out(bench, *asked)
            return kept[asked]

        return ask

    for name in ("count_bench", "find_bench_routes"):
        monkeypatch.setattr(ordering, name, remember(getattr(ordering, name)))


def test_marked_order_says_blocked_the_repair_and_what_was_done_too_late(wrong: Path) -> None:
    result = run("--mark", str(wrong))
    assert result.exit_code == 1
    assert "blocked" in result.stdout
    assert "Move retaining washer before impeller." in result.stdout
    assert "Not done before the first step: Vent, drain" in result.stdout
    assert "Lock out" not in result.stdout.partition("Not done")[2]


def test_marked_order_as_json_has_verdict_until_repair_and_late_work(wrong: Path) -> None:
    told = read("--mark", str(wrong))
    step = next(step for step in told["steps"] if step["piece"] == "impeller")
    assert (step["verdict"], step["until"]) == ("blocked", ["retaining-washer"])
    assert told["repair"] == [{"move": ["retaining-washer"], "before": "impeller"}]
    assert {"work": "sling-cover", "before": "suction-cover", "critical": True} in told["late_work"]


def test_held_piece_is_told_apart_from_a_blocked_one(tmp_path: Path) -> None:
    file = tmp_path / "order.txt"
    file.write_text("suction-cover\n", encoding="utf-8")
    told = read("--mark", str(file))
    assert told["steps"][0]["verdict"] == "held"
    assert set(told["steps"][0]["until"]) == {f"cover-nut-{i}" for i in range(1, 9)}


@pytest.mark.usefixtures("worked_out_once")
def test_both_ways_to_the_seal_are_shown() -> None:
    result = run("--reach", "seal-face")
    assert result.exit_code == 0
    assert "To reach rotating seal face from the suction end" in result.stdout
    front, _, back = result.stdout.partition("from the drive end")
    assert "8 cover nuts" in front
    assert "8 bracket nuts" in back
    assert "as one unit with" in back
    ways = read("--reach", "seal-face")
    assert [way["from"] for way in ways] == ["suction-end", "drive-end"]
    assert all(way["shortest"] for way in ways)


def test_unknown_part_to_reach_is_refused_with_near_matches() -> None:
    result = run("--reach", "seal-fase")
    assert result.exit_code != 0
    assert "seal-face" in str(result.exception or result.output)


def test_work_of_two_fitters_is_shown_round_by_round() -> None:
    result = run("--fitters", "2")
    assert "Fitter 2" in result.stdout
    rounds = read("--fitters", "2")["rounds"]
    assert max(len(steps) for steps in rounds) == 2
    assert len(rounds) < read("--fitters", "2")["steps"]


@pytest.mark.usefixtures("worked_out_once")
def test_number_of_orders_says_that_it_is_an_estimate() -> None:
    told = read("--count")
    assert told["exact"] is None
    assert told["log10"] > 20
    assert "an estimate" in run("--count").stdout


def test_order_together_is_the_teardown_backwards() -> None:
    apart, together = read(), read("--together")
    assert [step["part"] for step in together["steps"]] == [
        step["part"] for step in reversed(apart["steps"])
    ]
    assert "goes on towards the drive end" in run("--together").stdout


def test_two_questions_at_once_are_refused() -> None:
    result = run("--count", "--together")
    assert result.exit_code == 2
    assert "one at a time" in result.output
