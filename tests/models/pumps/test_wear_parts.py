"""Impeller, wear ring or wear plate, hub ring: what goes with what, and each rule broken by one wrong thing."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from models.builds import make_named_build
from models.parts.impeller import balance_hole_angle_rad, vane_angle_rad
from models.pumps import end_suction
from models.spec.build import Build
from models.spec.errors import ImpossibleChoiceError
from models.spec.rule import check_rules

PUMP = "end-suction/100-250"
RULES = end_suction.FAMILY.rules
SEMI_OPEN = {"impeller": "semi-open"}
BALANCED = {"hub-ring": "balance-holes"}
LED_BACK = {"hub-ring": "balance-line"}
MakeTables = Callable[[Mapping[str, Mapping[str, str]]], Path]

# rule, options, the row that is written wrong, its wrong nominal, the piece at fault
WRONG_ROWS = [
    (22, {}, "wear-ring.bore", "140.3", "wear-ring"),
    (22, BALANCED, "hub-ring.bore", "140.3", "hub-ring"),
    (23, BALANCED, "impeller-balance-holes.balance-hole-circle", "118", "impeller"),
    (23, BALANCED, "impeller-balance-holes.balance-hole-circle", "68", "impeller"),
    # the line opens under the hub ring; beside the chamber; behind the wear ring; and it is too narrow
    (27, LED_BACK, "back-plate-balance-line.line-inlet-radius", "66", "balance-line"),
    (27, LED_BACK, "back-plate-balance-line.line-inlet-radius", "50", "balance-line"),
    (27, LED_BACK, "suction-cover-balance-line.line-port-position", "-20", "balance-line"),
    (27, LED_BACK, "balance-line.bore", "12", "balance-line"),
]


@pytest.mark.parametrize("options", [{}, SEMI_OPEN, BALANCED, LED_BACK])
def test_each_choice_breaks_no_rule(options: Mapping[str, str]) -> None:
    assert check_rules(make_named_build(PUMP, options), RULES) == ()


@pytest.mark.parametrize(("number", "options", "row", "wrong", "piece"), WRONG_ROWS)
def test_a_row_written_wrong_breaks_its_rule_and_no_other(
    make_tables: MakeTables,
    number: int,
    options: Mapping[str, str],
    row: str,
    wrong: str,
    piece: str,
) -> None:
    build = make_named_build(PUMP, options, tables=make_tables({row: {"nominal": wrong}}))
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(number, (piece,))]


def _swap_piece(build: Build, name: str, other: Build) -> Build:
    return replace(build, pieces={**build.pieces, name: other.pieces[name]})


def test_a_semi_open_impeller_in_a_wear_ring_breaks_rule_21() -> None:
    sound, other = make_named_build(PUMP), make_named_build(PUMP, SEMI_OPEN)
    found = check_rules(_swap_piece(sound, "impeller", other), RULES)
    assert [(b.number, b.pieces) for b in found] == [(21, ("impeller",))]


def test_an_enclosed_impeller_on_a_wear_plate_breaks_rule_21() -> None:
    sound, other = make_named_build(PUMP, SEMI_OPEN), make_named_build(PUMP)
    found = check_rules(_swap_piece(sound, "impeller", other), RULES)
    assert [(b.number, b.pieces) for b in found] == [(21, ("impeller",))]


def test_holes_as_wide_as_the_passage_meet_the_vanes(make_tables: MakeTables) -> None:
    wide = make_tables(
        {
            "impeller-balance-holes.balance-hole-diameter": {"nominal": "22"},
            "impeller-balance-holes.balance-hole-circle": {"nominal": "93"},
        }
    )
    build = make_named_build(PUMP, BALANCED, tables=wide)
    assert [b.number for b in check_rules(build, RULES)] == [24]


def test_a_hub_ring_round_an_impeller_without_holes_has_no_way_back_to_suction() -> None:
    build = make_named_build(PUMP, BALANCED)
    impeller = build.pieces["impeller"]
    row = {k: v for k, v in impeller.row.items() if not k.startswith("balance-hole")}
    pieces = {**build.pieces, "impeller": replace(impeller, row=row)}
    found = check_rules(replace(build, pieces=pieces), RULES)
    assert [(b.number, b.pieces) for b in found] == [(25, ("hub-ring",))]


def test_a_screw_head_above_the_running_face_breaks_rule_26(make_tables: MakeTables) -> None:
    shallow = make_tables({"wear-plate.sink-depth": {"nominal": "5.5"}})
    build = make_named_build(PUMP, SEMI_OPEN, tables=shallow)
    found = check_rules(build, RULES)
    assert [b.number for b in found] == [26]
    assert found[0].pieces == build.pieces_at("wear-plate-screw")


def test_a_semi_open_impeller_has_a_wear_plate_and_nothing_of_a_wear_ring() -> None:
    build = make_named_build(PUMP, SEMI_OPEN)
    names = {clearance.name for clearance in build.clearances}
    assert build.has("wear-plate", "wear-plate-screw")
    assert not build.has("wear-ring")
    assert "wear-plate" in names
    assert not names & {"wear-ring", "front-gap", "ring-overlap"}
    assert not {"ring-fit", "ring-running"} & {joint.name for joint in build.joints}


def test_the_plate_gap_and_the_rear_gap_share_the_casing_and_not_the_plate() -> None:
    build = make_named_build(PUMP, SEMI_OPEN)
    gap = build.position("impeller", "vane-edge") - build.position("wear-plate", "running-face")
    aim = build.find_requirement(build.clearance("wear-plate"))
    assert aim.lower <= float(gap) <= aim.upper
    assert gap.terms["wear-plate", "thickness"] == -1
    assert gap.terms["suction-cover", "wet-face-depth"] == -1
    assert gap.terms["impeller", "vane-edge-distance"] == -1
    assert gap.terms["shim-1", "thickness"] == -1


def test_a_line_with_no_piece_in_it_leaves_the_hub_ring_without_a_way_back() -> None:
    build = make_named_build(PUMP, LED_BACK)
    pieces = {name: piece for name, piece in build.pieces.items() if name != "balance-line"}
    found = check_rules(replace(build, pieces=pieces), RULES)
    assert (25, ("hub-ring",)) in [(b.number, b.pieces) for b in found]


def test_the_balance_line_stands_where_both_fittings_point() -> None:
    """The line's far end, added up from its own rows, is the far fitting's end plus one ring."""
    build = make_named_build(PUMP, LED_BACK)
    line, far = build.pieces["balance-line"], build.pieces["balance-fitting-cover"]
    row = {key: float(value) for key, value in line.row.items()}
    # the line's own axes: x along the pump's y, y against the pump's x
    at = [float(value) for value in line.pose.origin]
    end = (at[0] - row["end-y"], at[1] + row["end-x"], at[2] + row["end-z"])
    length = float(far.row["length"]) + float(build.pieces["union-ring-cover"].row["thickness"])
    start = [float(value) for value in far.pose.origin]
    assert end == pytest.approx((start[0], start[1] + length, start[2]))
    assert (row["end-along-x"], row["end-along-y"], row["end-along-z"]) == (1, 0, 0)


@pytest.mark.parametrize(
    ("options", "reason"),
    [
        ({"suction-cover": "cast-in"}, "boss of the suction cover's neck"),
        ({"bracket": "enclosed"}, "bracket's window"),
        ({"shaft-seal": "packed"}, "flushing line"),
    ],
)
def test_what_a_balance_line_cannot_be_had_with_is_refused_with_the_reason(
    options: Mapping[str, str], reason: str
) -> None:
    with pytest.raises(ImpossibleChoiceError, match=reason):
        make_named_build(PUMP, {**LED_BACK, **options})


@pytest.mark.parametrize("relieved", [BALANCED, LED_BACK])
def test_a_hub_ring_with_a_semi_open_impeller_is_refused_with_the_reason(
    relieved: Mapping[str, str],
) -> None:
    with pytest.raises(ImpossibleChoiceError, match="back vanes"):
        make_named_build(PUMP, {**SEMI_OPEN, **relieved})


@pytest.mark.parametrize("options", [{}, SEMI_OPEN])
def test_vane_tips_trail_in_both(options: Mapping[str, str]) -> None:
    row = {k: float(v) for k, v in make_named_build(PUMP, options).pieces["impeller"].row.items()}
    angles = [vane_angle_rad(row, r) for r in (40, 60, 90, 125)]
    assert angles == sorted(angles)


def test_a_balance_hole_lies_midway_between_two_vanes() -> None:
    build = make_named_build(PUMP, BALANCED)
    row = {k: float(v) for k, v in build.pieces["impeller"].row.items()}
    pitch = 2 * math.pi / row["vane-count"]
    before = vane_angle_rad(row, row["balance-hole-circle"] / 2)
    hole = balance_hole_angle_rad(row)
    assert hole - before == pytest.approx(before + pitch - hole)
