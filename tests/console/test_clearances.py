"""The command `clearances`: all of them at a glance, the chain of one, plain values for scripts."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from models.spec.build import TABLES
from models.spec.errors import RefusalError
from trainer.console import make_console
from trainer.console.clearances import FEWEST_SHARE, LONG

PUMP, SELF_PRIMING = "end-suction/100-250", "self-priming/100"
WIDTH = 100


def run(*arguments: str) -> Result:
    return CliRunner(env={"COLUMNS": str(WIDTH)}).invoke(make_console(), list(arguments))


def ask(*arguments: str) -> list[dict[str, Any]]:
    result = run("clearances", *arguments, "--json")
    assert result.exit_code == 0, result.output
    told: list[dict[str, Any]] = json.loads(result.stdout)
    return told


def test_all_clearances_stand_once_under_their_group() -> None:
    text = run("clearances", PUMP).output
    for told in ("Along the shaft", "Where it runs", "Seals", "O-rings", "Bearings"):
        assert told in text
    for told in ("back-vane gap", "cover O-ring, squeeze", "end float of the shaft"):
        assert text.count(told) == 1
    assert "Chain of" not in text


@pytest.mark.parametrize(
    "arguments",
    [(PUMP,), (PUMP, "wear-ring-radial", "end-float"), (SELF_PRIMING, "wear-plate", "ring-overlap")],
)  # fmt: skip
def test_no_line_is_wider_than_the_terminal(arguments: tuple[str, ...]) -> None:
    result = run("clearances", *arguments)
    assert all(len(line) <= WIDTH for line in result.output.splitlines())


def test_a_long_chain_is_cut_short_and_nothing_of_its_spread_is_lost() -> None:
    (one,) = ask(PUMP, "wear-ring-radial")
    assert len(one["chain"]) >= LONG
    assert sum(link["share_of_spread"] for link in one["chain"]) == pytest.approx(1.0, abs=1e-4)
    hidden = [link for link in one["chain"] if link["share_of_spread"] < FEWEST_SHARE]
    text = run("clearances", PUMP, "wear-ring-radial").output
    assert f"and {len(hidden)} more dimensions" in text


def test_a_measured_value_says_so_with_its_gauge() -> None:
    text = run("clearances", PUMP, "back-vane", "--measured", "shaft.overhang=330.02+-0.005").output
    assert "measured ± 0.005" in text
    (one,) = ask(PUMP, "back-vane", "--measured", "shaft.overhang=330.02+-0.005")
    (link,) = (link for link in one["chain"] if link["dimension"] == "overhang")
    assert link["measured"]
    assert link["limits_mm"] == pytest.approx([330.015, 330.025])


def test_shares_have_no_unit_and_lengths_have_one() -> None:
    squeeze, gap = ask(PUMP, "cover-o-ring.squeeze", "back-vane")
    assert {"value", "worst", "required", "aim"} <= squeeze.keys()
    assert not [key for key in squeeze if key.endswith("_mm")]
    assert {"value_mm", "worst_mm", "required_mm", "aim_mm"} <= gap.keys()


def test_wear_plate_says_what_a_turn_of_its_screws_does() -> None:
    """Three screws M12 of pitch 1.75: turned alike, the cover moves by the pitch. Here the vane edges come near by 0.23."""
    (one,) = ask(SELF_PRIMING, "wear-plate", "--measured", "casing.width=249.77")
    turning = one["turning"]
    assert turning["per_turn_mm"] == pytest.approx(1.75)
    assert turning["per_flat_mm"] == pytest.approx(1.75 / 6, abs=1e-6)
    assert turning["turns_to_aim"] == pytest.approx(0.23 / 1.75, abs=1e-5)
    text = run("clearances", SELF_PRIMING, "wear-plate", "--measured", "casing.width=249.77").output
    assert "0.8 flats further in" in text
    assert "leave the screws" in run("clearances", SELF_PRIMING, "wear-plate").output


def test_the_shops_words_stand_as_the_source() -> None:
    limits = TABLES / "shop" / "depot-limits.csv"
    (one,) = ask(PUMP, "back-vane", "--limits", str(limits))
    assert one["required_mm"] == [0.45, 0.7]
    assert one["required_by"] == f"{limits}:2 (depot foreman: sandy water; opens to 0.7 by autumn)"


def test_warmth_is_told_as_an_effect_only_when_there_is_any() -> None:
    assert "warm shaft" not in run("clearances", PUMP, "back-vane").output
    text = run("clearances", PUMP, "back-vane", "--temperature", "shaft=60").output
    assert "warm shaft and casing change it by 0.1" in text


def test_what_lies_outside_is_named() -> None:
    text = run("clearances", PUMP, "--measured", "shaft.overhang=330.5").output
    assert "Outside what is required: back-vane gap" in " ".join(text.split())


def test_an_unknown_name_is_refused_with_near_matches() -> None:
    result = run("clearances", PUMP, "back-van")
    assert isinstance(result.exception, RefusalError)
    assert "back-vane" in str(result.exception)


def test_every_command_that_takes_a_build_takes_the_shops_limits(tmp_path: Path) -> None:
    absent = tmp_path / "none.csv"
    for command in ("clearances", "parts", "mass", "results", "order"):
        result = run(command, PUMP, "--limits", str(absent))
        assert "cannot be read" in str(result.exception), command


def test_spread_of_what_bends_says_who_follows_the_bend() -> None:
    text = " ".join(run("spread", PUMP, "end-float", "--samples", "1000").output.split())
    assert "exact and Monte Carlo follow the bend" in text
    assert "straight line" not in run("spread", PUMP, "back-vane", "--samples", "1000").output


@pytest.mark.parametrize("typed", ["back-vane gap", "Back-vane-gap", " back vane gap "])
def test_a_clearance_is_found_by_the_words_that_the_table_shows(typed: str) -> None:
    assert ask(PUMP, typed) == ask(PUMP, "back-vane")


def test_screws_are_turned_from_the_gap_as_felt() -> None:
    (drawn,) = ask(SELF_PRIMING, "wear-plate")
    (felt,) = ask(SELF_PRIMING, "wear-plate", "--gap", "0.64/0.65/0.66")
    turning = felt["turning"]
    assert turning["turns_to_aim"] == pytest.approx((felt["aim_mm"] - 0.64) / turning["per_turn_mm"], abs=1e-6)  # fmt: skip
    assert {**felt, "turning": 0} == {**drawn, "turning": 0}
    text = run("clearances", SELF_PRIMING, "wear-plate", "--gap", "0.64").output
    assert "Felt as 0.640 mm." in text
    assert f"{abs(turning['flats_to_aim']):.1f} flats" in text


@pytest.mark.parametrize("names", [(), ("back-vane",), ("wear-plate", "back-vane")])
def test_a_felt_gap_needs_one_clearance_with_screws(names: tuple[str, ...]) -> None:
    result = run("clearances", SELF_PRIMING, *names, "--gap", "0.6")
    assert result.exit_code == 2
    assert "name the one clearance that they set" in " ".join(result.output.split())
