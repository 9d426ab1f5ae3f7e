"""Each rule breaks on a pump made wrong in one way, and only that rule."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from models.builds import make_named_build
from models.pumps import end_suction
from models.spec.build import Build
from models.spec.rule import check_rules

PUMP = "end-suction/100-250"
RULES, FAULTS = end_suction.FAMILY.rules, end_suction.FAMILY.faults
MakeTables = Callable[[Mapping[str, Mapping[str, str]]], Path]

# rule, the row that is written wrong, its wrong nominal, the piece at fault
WRONG_ROWS = [
    (2, "shaft.middle-diameter", "61", "shaft"),
    (3, "impeller.vane-wrap", "-115", "impeller"),
    (4, "volute.tongue-diameter", "90", "volute"),
    (5, "shaft-keyed.impeller-seat-length", "56.5", "retaining-washer"),
    (6, "bearing-housing.oil-seal-shoulder", "130", "oil-seal-inboard"),
]


@pytest.mark.parametrize("discharge", ["top-vertical", "top-horizontal", "bottom-horizontal"])
@pytest.mark.parametrize("bracket", ["enclosed", "open"])
def test_the_pump_as_drawn_breaks_no_rule(bracket: str, discharge: str) -> None:
    build = make_named_build(PUMP, {"bracket": bracket, "discharge": discharge})
    assert check_rules(build, RULES) == ()


@pytest.mark.parametrize(("number", "row", "wrong", "piece"), WRONG_ROWS)
def test_a_row_written_wrong_breaks_its_rule_and_no_other(
    make_tables: MakeTables, number: int, row: str, wrong: str, piece: str
) -> None:
    build = make_named_build(PUMP, tables=make_tables({row: {"nominal": wrong}}))
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(number, (piece,))]


@pytest.mark.parametrize(
    "step", ["shoulder-diameter", "middle-diameter", "inboard-diameter", "seal-diameter"]
)
def test_a_shaft_step_no_larger_than_the_next_breaks_the_rule(pump: Build, step: str) -> None:
    keys = [
        "shoulder-diameter",
        "middle-diameter",
        "inboard-diameter",
        "seal-diameter",
        "impeller-seat-diameter",
    ]
    smaller = float(pump.pieces["shaft"].row[keys[keys.index(step) + 1]])
    broken = make_named_build(PUMP, measured={("shaft", step): smaller})
    assert 2 in [b.number for b in check_rules(broken, RULES)]


@pytest.mark.parametrize(
    "seal", ["cover-seal", "casing-seal", "bracket-seal", "housing-seal", "cap-seal"]
)
def test_a_wet_joint_whose_seal_is_not_declared_breaks_rule_1_only(pump: Build, seal: str) -> None:
    joints = tuple(joint for joint in pump.family.joints if joint.name != seal)
    broken = replace(pump, family=replace(pump.family, joints=joints))
    found = check_rules(broken, RULES)
    assert [b.number for b in found] == [1]
    lost = next(joint for joint in pump.family.joints if joint.name == seal)
    assert {lost.members[0], lost.members[2]} <= set(found[0].pieces)


def test_a_wet_joint_whose_seal_was_left_out_breaks_rule_1_only(pump: Build) -> None:
    pieces = {name: piece for name, piece in pump.pieces.items() if name != "cover-o-ring"}
    found = check_rules(replace(pump, pieces=pieces), RULES)
    assert [b.number for b in found] == [1]
    assert set(found[0].pieces) == {"suction-cover", "volute"}


def test_rules_have_numbers_and_keys_of_their_own() -> None:
    assert len({rule.number for rule in RULES}) == len({rule.key for rule in RULES}) == len(RULES)
    tested = {1} | {number for number, *_ in WRONG_ROWS} | {fault.rule for fault in FAULTS}
    # from 10 up the rules of a system are broken in that system's own tests
    mine = {rule.number for rule in RULES if rule.number < 10}
    assert mine <= tested, "a rule without a test that breaks it"
