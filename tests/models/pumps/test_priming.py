"""The vacuum-assisted priming front: the float closes the vacuum port, keeps off the wall, and every joint is tight."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from models.builds import make_named_build
from models.pumps import end_suction
from models.spec.build import Build
from models.spec.holding import find_cautions
from models.spec.rule import check_rules
from models.systems import priming
from models.systems.priming import closing_angle_rad

PUMP = "end-suction/100-250"
RULES = end_suction.FAMILY.rules
MakeTables = Callable[[Mapping[str, Mapping[str, str]]], Path]

# rule, the row that is written wrong, its wrong nominal, the pieces at fault
WRONG_ROWS = [
    # valve on the far side of the pivot: the float rises and the valve falls
    (71, "float-arm.port-arm", "-14", ("chamber-float", "vacuum-valve")),
    # a valve so long that it shuts the port while the float hangs down
    (71, "vacuum-valve.length", "22", ("chamber-float", "vacuum-valve")),
    # a stem so long that the float is stopped by the cover first
    (71, "chamber-float.stem-length", "35", ("chamber-float", "vacuum-valve")),
    (72, "chamber-float.outside", "90", ("chamber-float",)),
    # clear while it hangs, but it swings out as it rises
    (72, "separation-chamber.bore", "134", ("chamber-float",)),
    # a seat that reaches past the pin: the flow presses the flap shut above it
    (73, "check-valve.seat-outside", "162", ("check-flap",)),
    # a barrel too narrow, and too wide an angle, for the swinging flap
    (74, "check-valve.cavity-diameter", "130", ("check-flap",)),
    (74, "check-valve.opening-angle", "75", ("check-flap",)),
]


@pytest.fixture(scope="module")
def primed() -> Build:
    return make_named_build(PUMP, {"priming": "vacuum-assisted"})


@pytest.mark.parametrize("discharge", ["top-vertical", "top-horizontal", "bottom-horizontal"])
def test_the_primed_pump_as_drawn_breaks_no_rule(discharge: str) -> None:
    build = make_named_build(PUMP, {"priming": "vacuum-assisted", "discharge": discharge})
    assert check_rules(build, RULES) == ()


@pytest.mark.parametrize(("number", "row", "wrong", "pieces"), WRONG_ROWS)
def test_a_row_written_wrong_breaks_its_rule_and_no_other(
    make_tables: MakeTables, number: int, row: str, wrong: str, pieces: tuple[str, ...]
) -> None:
    tables = make_tables({row: {"nominal": wrong}})
    build = make_named_build(PUMP, {"priming": "vacuum-assisted"}, tables=tables)
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(number, pieces)]


def test_the_arm_turns_until_the_lift_is_used_up(primed: Build) -> None:
    lift = float(primed.position("vacuum-seat", "seat") - primed.position("valve-disc", "front"))
    turn = closing_angle_rad(primed)
    assert turn is not None
    assert float(primed.piece_at("float-arm").row["port-arm"]) * math.sin(turn) == pytest.approx(
        lift
    )
    assert turn > 0


@pytest.mark.parametrize(
    "seal",
    [
        "suction-gasket",
        "chamber-gasket",
        "chamber-cover-gasket",
        "fitting-seal-ring",
        "discharge-gasket",
        "check-cover-gasket",
    ],
)
def test_a_wet_joint_whose_seal_was_left_out_breaks_rule_1_only(primed: Build, seal: str) -> None:
    pieces = {name: piece for name, piece in primed.pieces.items() if name != seal}
    found = check_rules(replace(primed, pieces=pieces), RULES)
    assert [b.number for b in found] == [1]


@pytest.mark.parametrize("discharge", ["top-vertical", "top-horizontal", "bottom-horizontal"])
@pytest.mark.parametrize("piece", ["check-valve", "check-flap"])
def test_a_check_valve_the_wrong_way_round_breaks_rule_73_only(discharge: str, piece: str) -> None:
    build = make_named_build(PUMP, {"priming": "vacuum-assisted", "discharge": discharge})
    placed = build.pieces[piece]
    turned = replace(placed, pose=replace(placed.pose, sign=-placed.pose.sign))
    found = check_rules(replace(build, pieces={**build.pieces, piece: turned}), RULES)
    assert [(b.number, b.pieces) for b in found] == [(73, (piece,))]


def test_the_usual_pump_has_no_priming_front(pump: Build) -> None:
    assert pump.options["priming"] == "none"
    assert not pump.has("spool-piece")
    assert not pump.has("chamber-float")


def test_every_rule_of_the_priming_front_is_broken_here() -> None:
    by_faults = {fault.rule for fault in priming.SYSTEM.faults}
    broken = {number for number, *_ in WRONG_ROWS} | by_faults
    assert {rule.number for rule in priming.SYSTEM.rules} <= broken


@pytest.mark.parametrize(
    ("moving", "there"), [("spool-nut-1", "separation-chamber"), ("cover-nut-1", "spool-piece")]
)
def test_the_front_comes_off_from_its_far_end(primed: Build, moving: str, there: str) -> None:
    cautioned = [c.while_there for c in find_cautions(primed) if moving in c.moving]
    assert frozenset({there}) in cautioned


def test_what_is_lifted_is_slung_first(primed: Build) -> None:
    slung = {work.before for work in primed.work if work.key.startswith("sling-")}
    assert {"spool-piece", "separation-chamber", "check-valve"} <= slung
