"""The vacuum pump and its belt drive: where it may stand, sheaves in line, belt as long as it must be, each rule broken once."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from models.builds import make_named_build
from models.parts import belt_path
from models.parts.belt import FLANK_PLAY_MM
from models.pumps import end_suction
from models.solids.shape import make_shape
from models.spec.build import Build
from models.spec.errors import RefusalError
from models.spec.rule import check_rules
from models.systems import vacuum_pump

PUMP = "end-suction/100-250"
RULES = end_suction.FAMILY.rules
MakeTables = Callable[[Mapping[str, Mapping[str, str]]], Path]
ON, BESIDE = {"vacuum-pump": "on-housing"}, {"vacuum-pump": "beside"}
BEARINGS = end_suction.FAMILY.option_values()["bearings"]

# rule, the row that is written wrong, its wrong nominal, the pieces at fault
WRONG_ROWS = [
    (66, "vacuum-pump.shoulder-distance", "112.5", ("shaft-sheave", "vacuum-sheave")),
    (66, "bearing-housing-belt-drive.vacuum-setback", "72.5", ("shaft-sheave", "vacuum-sheave")),
    (67, "vacuum-belt.item", "SPZ 800", ("vacuum-belt",)),
    (67, "bearing-housing-arms.arm-height", "97", ("vacuum-belt",)),
    (67, "vacuum-pump.slot-length", "30", ("vacuum-belt",)),
    (68, "belt-guard.depth", "37", ("shaft-sheave", "vacuum-sheave")),
    (68, "guard-back.pump-radius", "57", ("vacuum-sheave",)),
    (68, "belt-guard.shaft-hole", "60", ("belt-guard",)),
    (68, "belt-guard.slot-width", "12", ("belt-guard",)),
]


@pytest.fixture(scope="module")
def on() -> Build:
    return make_named_build(PUMP, ON)


@pytest.fixture(scope="module")
def beside() -> Build:
    return make_named_build(PUMP, BESIDE)


@pytest.mark.parametrize("bearings", BEARINGS)
@pytest.mark.parametrize("value", ["on-housing", "beside"])
def test_with_every_bearing_arrangement_it_breaks_no_rule(value: str, bearings: str) -> None:
    build = make_named_build(PUMP, {"vacuum-pump": value, "bearings": bearings})
    assert check_rules(build, RULES) == ()


@pytest.mark.parametrize(("number", "row", "wrong", "pieces"), WRONG_ROWS)
def test_a_row_written_wrong_breaks_its_rule_and_no_other(
    make_tables: MakeTables, number: int, row: str, wrong: str, pieces: tuple[str, ...]
) -> None:
    build = make_named_build(PUMP, ON, tables=make_tables({row: {"nominal": wrong}}))
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(number, pieces)]


@pytest.mark.parametrize("gone", ["belt-guard", "guard-back"])
def test_a_drive_without_its_guard_breaks_rule_68_only(beside: Build, gone: str) -> None:
    pieces = {name: piece for name, piece in beside.pieces.items() if name != gone}
    found = check_rules(replace(beside, pieces=pieces), RULES)
    assert [(b.number, b.pieces) for b in found] == [(68, ("vacuum-belt",))]


def test_it_needs_the_separation_chamber_and_brings_it_along(on: Build) -> None:
    assert on.options["priming"] == "vacuum-assisted"
    with pytest.raises(RefusalError, match="separation chamber"):
        make_named_build(PUMP, ON | {"priming": "none"})
    chamber = make_named_build(PUMP, {"priming": "vacuum-assisted"})
    assert not chamber.has("vacuum-pump")


@pytest.mark.parametrize("where", [ON, BESIDE])
def test_a_belt_cannot_come_out_of_a_bell_housing(where: dict[str, str]) -> None:
    with pytest.raises(RefusalError, match="encloses the shaft end"):
        make_named_build(PUMP, where | {"drive-end": "bell-housing"})


@pytest.mark.parametrize("bearings", BEARINGS)
def test_the_coupling_hub_stands_clear_of_the_guard(bearings: str) -> None:
    build = make_named_build(PUMP, ON | {"drive-end": "coupling-hub", "bearings": bearings})
    room = build.position("coupling-hub", "suction-end") - build.position("belt-guard", "front")
    assert float(room) > 1
    bore = build.diameter("coupling-hub", "bore")
    assert float(bore) == pytest.approx(
        float(build.piece_at("shaft").row["coupling-diameter"]), abs=0.03
    )


def test_the_line_of_the_sheaves_is_its_chain_written_out(on: Build) -> None:
    line = on.position("vacuum-sheave", "suction-end") - on.position("shaft-sheave", "suction-end")
    assert dict(line.terms) == {
        ("bearing-housing", "outboard-depth"): 1.0,
        ("bearing-housing", "vacuum-setback"): -1.0,
        ("vacuum-pump", "shoulder-distance"): 1.0,
        ("shaft", "outboard-length"): -1.0,
        ("shaft", "drive-seal-length"): -1.0,
    }
    assert float(line) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("where", [ON, BESIDE])
def test_the_belt_lies_between_both_grooves(where: dict[str, str]) -> None:
    build = make_named_build(PUMP, where)
    belt = build.piece_at("vacuum-belt")
    _, y, z = (float(value) for value in build.piece_at("vacuum-sheave").pose.origin)
    assert (float(belt.row["sheave-y"]), float(belt.row["sheave-z"])) == pytest.approx((y, z))
    edge = float(build.piece_at("shaft-sheave").row["edge"])
    start = float(build.position("shaft-sheave", "suction-end"))
    assert float(belt.pose.origin[0]) == pytest.approx(start + edge)


def test_the_length_of_an_open_belt_is_that_of_its_lines_and_arcs() -> None:
    one, other, centre = 45.0, 56.0, (110.0, 162.0)
    apart = math.hypot(*centre)
    (left, start, end), (right, _, _) = belt_path.find_tangents((0, 0), one, centre, other)
    straight = math.dist(start, end)
    assert straight == pytest.approx(math.sqrt(apart**2 - (other - one) ** 2))
    # the arc on the far sheave: from the left normal over the far side to the right one
    wrap = 2 * math.pi - math.acos(left[0] * right[0] + left[1] * right[1])
    far = max(wrap, 2 * math.pi - wrap)
    length = 2 * straight + other * far + one * (2 * math.pi - far)
    assert belt_path.find_length_mm(apart, 2 * one, 2 * other) == pytest.approx(length)


def test_equal_sheaves_take_twice_the_distance_and_one_round() -> None:
    found = belt_path.find_length_mm(200.0, 90.0, 90.0)
    assert found == pytest.approx(400.0 + math.pi * 90.0)


def test_the_belt_is_its_section_times_the_way_of_its_middle(on: Build) -> None:
    belt = on.piece_at("vacuum-belt")
    row = {key: float(value) for key, value in belt.row.items()}
    flank = math.tan(math.radians(row["groove-angle"] / 2))
    high, low = row["above-datum"], row["above-datum"] - row["height"]
    top, bottom = (2 * (row["datum-width"] / 2 - FLANK_PLAY_MM + x * flank) for x in (high, low))
    area = (top + bottom) / 2 * row["height"]
    middle = low + row["height"] / 3 * (2 * top + bottom) / (top + bottom)
    apart = math.hypot(row["sheave-y"], row["sheave-z"])
    diameters = (row[f"{which}-datum-diameter"] + 2 * middle for which in ("shaft", "pump"))
    expected = area * belt_path.find_length_mm(apart, *diameters)
    assert make_shape(belt).Volume() == pytest.approx(expected, rel=1e-6)


def test_a_sheave_is_its_rings_less_groove_keyway_and_screw_hole(on: Build) -> None:
    piece = on.piece_at("vacuum-sheave")
    row = {key: float(value) for key, value in piece.row.items()}
    rim = row["datum-diameter"] / 2 + row["above-datum"]
    root = row["datum-diameter"] / 2 - row["below-datum"]
    flank = math.tan(math.radians(row["groove-angle"] / 2))
    wide, narrow = (
        row["datum-width"] / 2 + x * flank for x in (row["above-datum"], -row["below-datum"])
    )
    hole, hub, deep = row["bore"] / 2, row["hub-diameter"] / 2, rim - root
    middle = root + deep / 3 * (2 * 2 * wide + 2 * narrow) / (2 * wide + 2 * narrow)
    groove = (wide + narrow) * deep * 2 * math.pi * middle
    ring = math.pi * (rim**2 - hole**2) * 2 * row["edge"]
    boss = math.pi * (hub**2 - hole**2) * (row["length"] - 2 * row["edge"])
    keyway = row["key-width"] * row["key-depth"] * row["length"]
    volume = make_shape(piece).Volume()
    assert volume == pytest.approx(ring + boss - groove - keyway, rel=0.006)
    assert volume < ring + boss - groove


def test_every_rule_of_the_belt_drive_is_broken_by_some_test() -> None:
    assert {number for number, *_ in WRONG_ROWS} == {66, 67, 68}
    assert 70 in {fault.rule for fault in vacuum_pump.SYSTEM.faults}
