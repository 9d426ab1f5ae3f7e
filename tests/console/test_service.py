"""The command `service`: tables for a person, plain values for scripts, a diagram, and refusals that name field and remedy."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from trainer.console.commands import make_group
from trainer.console.service_show import FORMULAS
from trainer.words import load_words

PUMP = "end-suction/100-250"


def run(*asked: str) -> Result:
    return CliRunner().invoke(make_group(), ["service", *asked])


def run_json(*asked: str) -> Any:
    result = run(*asked, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.output)


def test_a_person_reads_consequences_assumptions_sources_and_the_warning() -> None:
    result = run(PUMP)
    assert result.exit_code == 0
    text = " ".join(result.output.split())
    words = load_words()
    assert text.count("no tool for design") == 2
    assert "back-vane gap 0.50 mm, inside its limits" in text
    assert "through the ring, m³/h" in text
    for key in FORMULAS:
        assert " ".join(words.say(f"service.formula-{key}").split()) in text
    assert "Stepanoff" in text
    assert "half the impeller's speed" in text


def test_json_tells_each_place_with_units() -> None:
    told = run_json(PUMP)
    assert told["for_teaching_only"] is True
    assert [one["name"] for one in told["clearances"]] == ["back-vane", "wear-ring"]
    vane, ring = told["clearances"]
    assert [place["place"] for place in vane["places"]] == ["as-set", "least", "aim", "most"]
    pushes = {place["place"]: place["thrust_n"] for place in vane["places"]}
    assert pushes["least"] < pushes["aim"] < pushes["most"]
    lost = {place["place"]: place["lost_percent"] for place in ring["places"]}
    assert lost["least"] < lost["aim"] < lost["most"]
    assert {one["piece"] for one in told["bearings"]} == {"bearing-inboard", "bearing-outboard"}
    assert {one["thread_mm"] for one in told["bolts"]} == {10.0, 12.0, 16.0}


def test_other_shims_measured_values_duty_and_settings_count() -> None:
    as_built = run_json(PUMP)["clearances"][0]["places"][0]
    thicker = run_json(PUMP, "--pack", "0.5,0.3,0.3")["clearances"][0]["places"][0]
    measured = run_json(PUMP, "--measured", "shaft.overhang=330.05")["clearances"][0]["places"][0]
    slower = run_json(PUMP, "--duty", "speed_rpm=2800", "--clearance", "back-vane")["clearances"][0]["places"][0]  # fmt: skip
    wide = run_json(PUMP, "--set", "back-vane=30thou")["clearances"][0]["places"][0]
    assert thicker["gap_mm"] == pytest.approx(0.6)
    assert thicker["thrust_n"] > as_built["thrust_n"]
    assert measured["gap_mm"] == pytest.approx(0.55)
    assert slower["thrust_n"] != pytest.approx(as_built["thrust_n"], rel=1e-3)
    assert wide["gap_mm"] == pytest.approx(0.762)


def test_another_torque_pulls_otherwise() -> None:
    usual, tight = (
        {one["fasteners"]: one for one in run_json(PUMP, *asked)["bolts"]}
        for asked in ((), ("--torque", "cover-nut=90"))
    )
    assert usual["cover-nut"]["share"] == pytest.approx(0.75)
    assert tight["cover-nut"]["share"] == pytest.approx(0.75 * 90 / usual["cover-nut"]["torque_nm"], rel=1e-4)  # fmt: skip
    assert tight["cover-nut"]["yield_share"] > 1.0
    assert tight["cap-screw"] == usual["cap-screw"]


def test_a_self_priming_pump_says_why_its_plate_is_not_worked_out() -> None:
    text = " ".join(run("self-priming/100").output.split())
    assert "no formula with a source is known to us" in text


@pytest.mark.parametrize("clearance", ["back-vane", "wear-ring"])
def test_a_diagram_is_written(tmp_path: Path, clearance: str) -> None:
    file = tmp_path / "plot.png"
    result = run(PUMP, "--clearance", clearance, "--plot", str(file))
    assert result.exit_code == 0
    assert file.read_bytes().startswith(b"\x89PNG")
    assert str(file) in "".join(result.output.split("\n"))


@pytest.mark.parametrize(
    ("asked", "named"),
    [
        ((PUMP, "--clearance", "front-gap"), "nothing is worked out for the clearance 'front-gap'"),
        ((PUMP, "--duty", "speed=3"), "did you mean speed_rpm"),
        ((PUMP, "--duty", "speed_rpm=1,450"), "write 1.450 or 1450"),
        ((PUMP, "--duty", "speed_rpm=9000"), "give a value from 100 to 6000"),
        ((PUMP, "--duty", "head_m=200"), "head_m is 200 m"),
        (("packing/38",), "choose a whole pump"),
        (("self-priming/100", "--clearance", "wear-plate"), "no formula with a source"),
        ((PUMP, "--set", "wear-ring=50"), "ring_clearance_mm is 50 mm"),
        ((PUMP, "--set", "wear-ring=nan"), "not a finite length"),
        ((PUMP, "--set", "weer-ring=0.5"), "did you mean wear-ring"),
        ((PUMP, "--plot", "drawn.gif"), ".png"),
        ((PUMP, "--torque", "cover-nuts=60"), "did you mean cover-nut"),
        ((PUMP, "--torque", "cover-nut=-5"), "torque_nm is -5 N m"),
    ],
)
def test_what_cannot_be_is_refused_before_anything_is_shown(
    asked: tuple[str, ...], named: str
) -> None:
    result = run(*asked)
    assert result.exit_code != 0
    assert named in str(result.exception)
    assert "In service" not in result.output


@pytest.mark.parametrize("build", [PUMP, "self-priming/100"])
def test_no_word_of_a_table_is_broken_on_a_narrow_terminal(build: str) -> None:
    runner = CliRunner(env={"COLUMNS": "80"})
    text = runner.invoke(make_group(), ["service", build]).output
    told = text[text.index("Bolts and") :].split()
    fasteners = [one["fasteners"] for one in run_json(build)["bolts"]]
    names = [load_words().say(f"part.{fastener}.name") for fastener in fasteners]
    assert names
    assert {word for name in names for word in name.split()} <= set(told)


def test_a_clearance_is_set_by_the_words_that_the_table_shows() -> None:
    worded = run_json(PUMP, "--clearance", "back-vane gap", "--set", "back-vane gap=0.86")
    assert worded == run_json(PUMP, "--clearance", "back-vane", "--set", "back-vane=0.86")
