"""The commands `shims` and `spread` at the terminal: tables, plain values, diagrams, and what no pack can do."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from PIL import Image

from models.spec.errors import RefusalError
from trainer.console import make_console
from trainer.console.shims import arrange_stack
from trainer.session.typed import DEPOT_DRAWER

PUMP = "end-suction/100-250"
SHIMS = ("shims", PUMP, "--clearance", "back-vane", "--stock", str(DEPOT_DRAWER))
SPREAD = ("spread", PUMP, "back-vane", "--samples", "20000")


def run(*arguments: str) -> Result:
    return CliRunner().invoke(make_console(), list(arguments))


def ask(*arguments: str, status: int = 0) -> Any:
    result = run(*arguments, "--json")
    assert result.exit_code == status, result.exception or result.output
    return json.loads(result.output)


def make_drawer(folder: Path, *rows: str) -> str:
    file = folder / "drawer.csv"
    file.write_text("thickness,unit,tolerance,in_drawer\n" + "\n".join(rows) + "\n", "utf-8")
    return str(file)


def test_answer_says_pack_gaps_chance_and_what_to_change() -> None:
    answer = ask(*SHIMS, "--gap", "0.70/0.72/0.74/0.71+-0.02", "--with-pack", "0.5,0.3,0.2")
    assert answer["pack"] == [0.5, 0.3]
    assert answer["remove_mm"] == [0.2]
    assert answer["add_mm"] == []
    assert answer["from_gap"]
    assert 0.99 < answer["chance"] <= answer["chance_alone"] <= 1.0
    assert {one["clearance"] for one in answer["moves"]} >= {
        "ring-overlap",
        "washer-clamp",
        "seal-length",
        "front-gap",
    }
    assert answer["packs_compared"] > 1500


def test_what_was_not_said_is_asked_for_with_what_could_be() -> None:
    without_gap = run("shims", PUMP)
    assert without_gap.exit_code == 2
    moved = {one["clearance"] for one in ask(*SHIMS)["moves"]} | {"back-vane"}
    told = without_gap.output.rpartition("move: ")[2].replace("\n", " ").strip(" .").split(", ")
    assert set(told) == moved
    without_stock = run("shims", PUMP, "--clearance", "back-vane")
    assert without_stock.exit_code == 2
    assert DEPOT_DRAWER.name in without_stock.output


def test_table_shows_the_stack_the_gaps_and_the_cautions() -> None:
    told = run(*SHIMS, "--gap", "0.7", "--with-pack", "0.5,0.3,0.2").output
    lines = told.splitlines()
    at = next(place for place, line in enumerate(lines) if "shaft shoulder" in line)
    assert "0.500 mm" in lines[at + 1]
    assert "impeller hub" in lines[at + 3]
    for hint in ("Take out 0.200 mm", "inside", "micrometer", "maker's manual", "crooked"):
        assert hint in told, hint


def test_more_shims_are_tried_when_the_joint_allows_them() -> None:
    assert ask(*SHIMS, "--most", "6")["packs_compared"] > 18_000
    assert ask(*SHIMS, "--most", "1")["packs_compared"] == 12
    with pytest.raises(RefusalError, match="1 to 6"):
        raise run(*SHIMS, "--most", "7").exception or AssertionError


def test_contradiction_is_told_with_both_gaps_and_thicknesses() -> None:
    gaps = ("--gap", "0.62", "--gap", "seal-length=36.2", "--with-pack", "0.3")
    answer = ask(*SHIMS, *gaps, status=1)
    conflict = answer["conflict"]
    assert (conflict["wants_more"], conflict["wants_less"]) == ("seal-length", "back-vane")
    assert conflict["least_mm"] == pytest.approx(0.9)
    assert conflict["most_mm"] == pytest.approx(0.48)
    told = run(*SHIMS, *gaps)
    assert told.exit_code == 1
    for hint in ("No thickness could", "0.900 mm", "0.480 mm", "OUTSIDE"):
        assert hint in told.output, hint


def test_what_to_order_is_told(tmp_path: Path) -> None:
    stock = make_drawer(tmp_path, "0.05,mm,0.005,1")
    asked = ("shims", PUMP, "--clearance", "back-vane", "--stock", stock)
    answer = ask(*asked, status=1)
    assert answer["order_mm"]
    assert answer["ordered"]["conflicts"] == []
    assert sum(answer["order_mm"]) <= answer["ordered"]["total_mm"] + 1e-9
    told = run(*asked)
    assert "Order 1 × 1.000 mm" in told.output.replace("\n", " ")


def test_gap_too_large_even_without_shims_is_told(tmp_path: Path) -> None:
    stock = make_drawer(tmp_path, "0.5,mm,0.02,4")
    asked = ("shims", PUMP, "--clearance", "back-vane", "--stock", stock)
    found = ("--gap", "2.0", "--gap", "seal-length=38.9", "--with-pack", "0.9")
    told = run(*asked, *found)
    assert told.exit_code == 1
    assert "even without shims" in told.output.replace("\n", " ")


def test_a_gap_that_has_screws_is_left_to_them() -> None:
    asked = ("--clearance", "wear-plate", "--stock", str(DEPOT_DRAWER))
    told = " ".join(run("shims", "self-priming/100", *asked).output.split())
    assert "clearances self-priming/100 wear-plate --gap VALUE" in told
    assert "adjusting screws" not in run(*SHIMS).output


def test_a_shim_of_whole_thou_says_so_as_its_packet_does(tmp_path: Path) -> None:
    stock = make_drawer(tmp_path, "20,thou,0.8,4", "0.5,mm,0.02,4")
    asked = ("shims", PUMP, "--clearance", "back-vane gap", "--stock", stock)
    text = run(*asked, "--gap", "back-vane gap=0.5", "--with-pack", "0.508,0.5").output
    assert "0.508 mm (20 thou)" in text
    assert "0.500 mm\n" in text
    taken_out = run(*asked, "--gap", "0.9", "--with-pack", "0.5,0.254,0.254").output
    assert "Take out 0.254 mm (10 thou)." in taken_out


@pytest.mark.parametrize(
    ("shims", "stack"),
    [
        ((0.5,), (0.5,)),
        ((0.1, 0.5), (0.5, 0.1)),
        ((0.1, 0.5, 0.4), (0.5, 0.1, 0.4)),
        ((0.1, 0.05, 0.5, 0.4), (0.5, 0.1, 0.05, 0.4)),
    ],
)
def test_thin_shims_lie_between_thick_ones(
    shims: tuple[float, ...], stack: tuple[float, ...]
) -> None:
    assert arrange_stack(shims) == stack


# ------------------------------------------------------------------ spread
def test_four_methods_stand_side_by_side() -> None:
    answer = ask(*SPREAD)
    told = {one["method"]: one for one in answer["methods"]}
    assert list(told) == ["worst-case", "root-sum-square", "exact", "monte-carlo"]
    assert told["worst-case"]["inside"] is None
    assert told["exact"]["inside"] == pytest.approx(told["root-sum-square"]["inside"], abs=1e-9)
    assert told["monte-carlo"]["inside"] == pytest.approx(told["exact"]["inside"], abs=0.01)
    assert sum(one["share"] for one in answer["shares"]) == pytest.approx(1.0, abs=1e-5)
    table = run(*SPREAD).output
    for hint in ("worst case", "exact", "Monte Carlo", "some", "ppm", "shaft: overhang"):
        assert hint in table, hint


def test_the_same_seed_draws_the_same_builds() -> None:
    assert ask(*SPREAD, "--seed", "4") == ask(*SPREAD, "--seed", "4")
    first, other = (ask(*SPREAD, "--seed", seed)["methods"][3] for seed in ("4", "5"))
    assert first != other


def test_diagrams_are_written_in_each_form(tmp_path: Path) -> None:
    for form, begin in ((".png", b"\x89PNG"), (".svg", b"<?xml"), (".pdf", b"%PDF")):
        file = tmp_path / f"spread{form}"
        assert run(*SPREAD, "--plot", str(file)).exit_code == 0
        assert file.read_bytes().startswith(begin)
    shims = tmp_path / "shims.png"
    assert (
        run(*SHIMS, "--gap", "0.6+-0.02", "--with-pack", "1.0", "--plot", str(shims)).exit_code == 0
    )
    with Image.open(shims) as picture:
        assert picture.size == (2560, 1440)


@pytest.mark.parametrize(
    ("arguments", "hint"),
    [
        ((*SPREAD, "--plot", "gap.gif"), r"\.png, \.svg, \.pdf"),
        (("spread", PUMP, "back-vain"), "back-vane"),
        ((*SPREAD[:3], "--samples", "1"), "samples: 1 builds cannot be drawn"),
        ((*SHIMS, "--gap", "24", "--with-pack", "0.5"), "is it in thou"),
    ],
)
def test_what_cannot_be_is_refused(arguments: tuple[str, ...], hint: str) -> None:
    with pytest.raises(RefusalError, match=hint):
        raise run(*arguments).exception or AssertionError
