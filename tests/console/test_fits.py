"""The command `fits`: every fit of a build, one in full, one by itself; and what it refuses."""

from __future__ import annotations

import json
from typing import Any

import pytest
from click.testing import CliRunner

from models.spec.errors import RefusalError
from trainer.console import make_console

PUMP = "end-suction/100-250"
C3_INBOARD = "bearing-inboard.internal-clearance=0.033"


def run(*arguments: str) -> str:
    result = CliRunner().invoke(make_console(), ["fits", *arguments])
    assert result.exit_code == 0, result.output
    return result.stdout


def told(*arguments: str) -> Any:
    return json.loads(run(*arguments, "--json"))


def test_every_fit_is_told_with_units_in_its_keys() -> None:
    found = {one["name"]: one for one in told(PUMP)}
    ring = found["ring-fit"]
    assert (ring["bore"]["class"], ring["journal"]["class"]) == ("H7", "p6")
    assert ring["clearance_um"] == [-68, -3]
    assert ring["kind"] == "interference"
    assert ring["chance_of_interference"] == pytest.approx(1.0, abs=1e-4)
    assert ring["pressed"]["bore_closing_um"][1] > 30
    assert ring["mounted"] is None
    assert found["shaft-in-impeller"]["kind"] == "clearance"
    assert found["shaft-in-impeller"]["pressed"] is None
    assert all(one["bore"]["source"].count(":") == 1 for one in found.values())


def test_the_closing_told_is_the_effect_on_the_running_clearance() -> None:
    result = CliRunner().invoke(make_console(), ["clearances", PUMP, "--json"])
    clearances = {one["name"]: one for one in json.loads(result.stdout)}
    (effect,) = clearances["wear-ring"]["effects"]
    ring = told(PUMP, "--fit", "ring-fit")
    least, most = ring["pressed"]["bore_closing_um"]
    assert least < -effect["value_mm"] * 1e3 < most


def test_bearings_are_heated_and_told_what_clearance_is_left() -> None:
    inboard = told(PUMP, "--fit", "inboard-bearing-fit")
    mounted = inboard["mounted"]
    assert inboard["bore"]["class"] is None  # 0/-12 is of the bearings' own standard
    assert 100 < mounted["heat_to_c"] <= mounted["most_c"]
    least, likely, most = mounted["residual"]["clearance_um"]
    assert least < 0 < likely < most
    assert mounted["residual_warm"]["clearance_um"][1] < likely
    assert (
        0 < mounted["residual"]["chance_of_none"] < mounted["residual_warm"]["chance_of_none"] < 0.5
    )
    assert mounted["may_run_tight"]


def test_what_was_measured_counts() -> None:
    drawn, found = (
        told(PUMP, "--fit", "inboard-bearing-fit", *measured)
        for measured in ((), ("--measured", "shaft.inboard-diameter=40.025+-0.001", "--measured", C3_INBOARD))
    )  # fmt: skip
    assert found["journal"]["measured_mm"] == 40.025
    assert found["clearance_um"] == pytest.approx([-38, -24])
    assert found["mounted"]["warmth"] == "too-hot"
    assert found["mounted"]["heat_to_c"] > drawn["mounted"]["heat_to_c"]
    text = run(PUMP, "--fit", "inboard-bearing-fit", "--measured", "shaft.inboard-diameter=40.025")
    assert "measured 40.025 mm" in text
    assert "WARNING" in text
    assert "Never with a flame" in text


def test_a_ring_measured_loose_is_told_loose_and_presses_nothing() -> None:
    found = told(PUMP, "--fit", "ring-fit", "--measured", "wear-ring.outside=155.98")
    assert found["kind"] == "clearance"
    assert found["pressed"] is None


def test_the_list_is_numbered_and_a_number_tells_one_in_full() -> None:
    text, names = run(PUMP), [one["name"] for one in told(PUMP)]
    number = names.index("ring-fit") + 1
    assert "front wear ring in" in text
    assert "3 to 68 µm tight" in text
    assert "For teaching, not for design" in text
    assert run(PUMP, "--fit", str(number)) == run(PUMP, "--fit", "ring-fit")


def test_a_fit_by_itself() -> None:
    found = told("--size", "40", "--hole", "H7", "--shaft", "k6")
    assert (found["hole"]["lower_um"], found["hole"]["upper_um"]) == (0, 25)
    assert found["clearance_um"] == [-18, 23]
    assert found["chance_of_interference"] == pytest.approx(0.3067, abs=5e-5)
    text = run("--size", "40mm", "--hole", "H7", "--shaft", "k6")
    assert "18 µm tight to 23 µm loose (transition fit)" in text
    assert "31 %" in text
    assert run("--size", "40000um", "--hole", "H7", "--shaft", "k6") == text


def test_a_ring_stretched_beyond_its_strength_is_said_to_give_way() -> None:
    asked = ("radial-shaft-seals/45", "--fit", "cassette-sleeve-fit")
    assert "gives way" not in run(*asked)
    assert "gives way" in run(*asked, "--measured", "cassette-sleeve.bore=44.93")


def test_walls_that_no_drawing_tells_are_not_guessed() -> None:
    assert told("radial-shaft-seals/45", "--fit", "stator-fit")["pressed"] is None
    assert "Nothing on the drawings says how thick" in run("radial-shaft-seals/45", "--fit", "stator-fit")  # fmt: skip


def test_a_build_without_fits_says_so() -> None:
    assert told("packing/38") == []
    assert "packing/38 has no fit" in run("packing/38")


@pytest.mark.parametrize(
    "arguments",
    [(), (PUMP, "--size", "40"), ("--size", "40", "--hole", "H7"), ("--size", "40", "--hole", "H7", "--shaft", "k6", "--fit", "1")],
)  # fmt: skip
def test_half_a_question_is_refused(arguments: tuple[str, ...]) -> None:
    result = CliRunner().invoke(make_console(), ["fits", *arguments])
    assert result.exit_code == 2
    assert "Name a build, or give --size, --hole and --shaft together" in result.output


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        ((PUMP, "--fit", "rinf-fit"), "did you mean ring-fit"),
        ((PUMP, "--fit", "99"), "has no fit '99'"),
        ((PUMP, "--measured", "wear-ring.bore=157"), "ring-fit as measured"),
        ((PUMP, "--measured", "shaft.inboard-diameter=1.575"), "is it in inches"),
        (("--size", "600", "--hole", "H7", "--shaft", "k6"), "outside 0 to 500 mm"),
        (("--size=-5", "--hole", "H7", "--shaft", "k6"), "outside 0 to 500 mm"),
        (("--size", "1,250", "--hole", "H7", "--shaft", "k6"), "write 1.250 or 1250"),
        (("--size", "nan", "--hole", "H7", "--shaft", "k6"), "not a finite length"),
        (("--size", "40", "--hole", "k6", "--shaft", "k6"), "'k6' is no class of a hole"),
        (("--size", "40", "--hole", "H7", "--shaft", "H6"), "'H6' is no class of a shaft"),
        (("--size", "40", "--hole", "H17", "--shaft", "k6"), "did you mean H7"),
    ],
)
def test_bad_input_is_named_with_its_remedy(arguments: tuple[str, ...], why: str) -> None:
    with pytest.raises(RefusalError, match=why):
        CliRunner().invoke(make_console(), ["fits", *arguments], catch_exceptions=False)
