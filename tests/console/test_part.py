"""The command that tells of one part: for people, and as JSON held against the order and the weights."""

from __future__ import annotations

import json
from typing import Any

import pytest
from click.testing import CliRunner, Result

from models.spec.errors import RefusalError
from trainer.console import make_console

BUILD = "end-suction/100-250"


def run(*arguments: str) -> Result:
    return CliRunner().invoke(make_console(), ["part", BUILD, *arguments], env={"COLUMNS": "200"})


def read(*arguments: str) -> Any:
    result = run(*arguments, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_a_part_is_told_with_all_that_is_known_of_it() -> None:
    told = read("suction-cover")
    assert (told["name"], told["title"], told["quantity"]) == ("suction-cover", "suction cover", 1)
    assert told["materials"][0]["material"] == told["material"] == "cast-iron"
    assert {"bronze", "ductile-iron"} <= {one["material"] for one in told["materials"]}
    assert "wear ring and the impeller can be reached" in told["duty"]
    assert "pits" in told["wear"]
    assert "sling" in told["caution"]
    assert told["leaves"]["after"] == [f"cover-nut-{n}" for n in range(1, 9)]
    assert told["leaves"]["along"] == ["cover-o-ring", "wear-ring"]
    (held,) = told["held_by"]
    assert (held["joint"], held["told"]) == ("cover-joint", "clamped to volute by 8 cover nuts")


def test_mass_and_step_are_those_of_the_other_commands() -> None:
    told = read("volute")
    everything = CliRunner().invoke(make_console(), ["mass", BUILD, "--json"])
    masses = {one["name"]: one["mass_kg"] for one in json.loads(everything.stdout)["pieces"]}
    assert told["mass_kg"] == pytest.approx(masses["volute"])
    assert told["needs_hoist"]
    order = json.loads(CliRunner().invoke(make_console(), ["order", BUILD, "--json"]).stdout)
    step = order["steps"][told["leaves"]["step"] - 1]
    assert step["part"] == "volute"
    assert sorted(told["leaves"]["along"]) == step["along"]


def test_a_person_reads_it_under_headings() -> None:
    told = run("volute").stdout
    for heading in (
        "Why it is there", "May be had in", "Weighs", "How it wears", "CAUTION", "Held",
        "Comes off", "Comes off with it",
    ):  # fmt: skip
        assert heading in told
    assert "Cast iron, as a rule" in told
    assert "lifted with a hoist" in told
    assert "local codes" in told


def test_a_piece_stands_for_its_part() -> None:
    told = read("cover-nut-3")
    assert (told["name"], told["quantity"]) == ("cover-nut", 8)
    assert told["caution"] is not None
    assert told["leaves"]["after"] == []


def test_what_the_options_change_is_told_of_that_build() -> None:
    told = read("gland", "--with", "shaft-seal=packed", "--with", "bracket=open")
    assert told["held_by"][0]["by"] == ["gland-nut"]
    assert isinstance(run("gland").exception, RefusalError)
