"""The drive end: what each value puts on the shaft, how far the disc reaches, and that each of its rules can break."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from models.builds import make_named_build
from models.pumps import end_suction
from models.spec.build import TABLES, Build
from models.spec.rule import check_rules
from models.spec.standard import read_standard
from models.systems import drive_end

PUMP = "end-suction/100-250"
RULES = end_suction.FAMILY.rules
MakeTables = Callable[[Mapping[str, Mapping[str, str]]], Path]
BELL = {"drive-end": "bell-housing"}

# rule, the row that is written wrong, its wrong nominal, the pieces at fault
WRONG_ROWS = [
    (61, "bell-housing.item", "3", ("bell-housing",)),
    (61, "bell-housing.pilot-diameter", "362.5", ("bell-housing",)),
    (61, "bell-housing.engine-hole", "20", ("bell-housing",)),
    (62, "flexible-disc.rim-diameter", "242", ("flexible-disc",)),
    (62, "clearance.coupling-reach", "62", ("flexible-disc",)),
    (63, "bell-housing.wall", "50", ("flexible-disc",)),
    (64, "bell-housing.window-length", "153", ("window-guard-right", "window-guard-left")),
    (64, "window-guard.slot-width", "9", ("window-guard-right", "window-guard-left")),
    (65, "coupling-hub.set-screw-position", "10", ("set-screw",)),
]


@pytest.fixture(scope="module")
def bell() -> Build:
    return make_named_build(PUMP, BELL)


@pytest.mark.parametrize("value", ["bare-shaft", "coupling-hub", "bell-housing"])
def test_every_drive_end_as_drawn_breaks_no_rule(value: str) -> None:
    assert check_rules(make_named_build(PUMP, {"drive-end": value}), RULES) == ()


@pytest.mark.parametrize(("number", "row", "wrong", "pieces"), WRONG_ROWS)
def test_a_row_written_wrong_breaks_its_rule_and_no_other(
    make_tables: MakeTables, number: int, row: str, wrong: str, pieces: tuple[str, ...]
) -> None:
    build = make_named_build(PUMP, BELL, tables=make_tables({row: {"nominal": wrong}}))
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(number, pieces)]


def test_a_window_without_its_guard_breaks_rule_64_only(bell: Build) -> None:
    pieces = {name: piece for name, piece in bell.pieces.items() if name != "window-guard-left"}
    found = check_rules(replace(bell, pieces=pieces), RULES)
    assert [(b.number, b.pieces) for b in found] == [(64, ("bell-housing",))]


def test_every_rule_of_the_drive_end_is_broken_by_some_test() -> None:
    mine = {rule.number for rule in RULES if 61 <= rule.number <= 65}
    assert mine == {number for number, *_ in WRONG_ROWS}
    assert 69 in {fault.rule for fault in drive_end.SYSTEM.faults}


def test_the_usual_drive_end_is_the_bare_shaft(pump: Build) -> None:
    assert pump.options["drive-end"] == "bare-shaft"
    assert not pump.has("coupling-hub")


def test_each_value_adds_to_the_one_before(pump: Build, bell: Build) -> None:
    hub = make_named_build(PUMP, {"drive-end": "coupling-hub"})
    assert set(hub.pieces) - set(pump.pieces) == {"coupling-hub", "set-screw"}
    added = {bell.pieces[name].place.name for name in set(bell.pieces) - set(hub.pieces)}
    assert added == {
        "bell-housing", "bell-screw", "window-guard-right", "window-guard-left", "guard-screw-right",
        "guard-screw-left", "flexible-disc", "clamp-ring", "disc-screw",
    }  # fmt: skip


def test_the_reach_of_the_disc_is_its_chain_written_out(bell: Build) -> None:
    reach = bell.position("flexible-disc", "flywheel-face") - bell.position(
        "bell-housing", "engine-face"
    )
    signs = {
        ("shaft", "outboard-length"): 1.0,
        ("shaft", "drive-seal-length"): 1.0,
        ("coupling-hub", "length"): 1.0,
        ("flexible-disc", "thickness"): 1.0,
        ("bearing-housing", "outboard-depth"): -1.0,
        ("bell-housing", "length"): -1.0,
    }
    assert dict(reach.terms) == signs
    expected = sum(sign * float(bell.pieces[name].row[key]) for (name, key), sign in signs.items())
    assert float(reach) == pytest.approx(expected, abs=1e-9)
    assert float(reach) == pytest.approx(
        read_standard(TABLES, "flywheels-sae-j620")["7.5"]["reach"].nominal, abs=0.1
    )


def test_the_set_screw_stands_on_the_key(bell: Build) -> None:
    assert float(bell.piece_at("set-screw").pose.origin[2]) == pytest.approx(
        float(bell.position("coupling-key", "top")), abs=1e-9
    )


def test_the_windows_lie_on_both_sides_and_their_guards_look_outwards(bell: Build) -> None:
    right = float(bell.position("window-guard-right", "outside"))
    assert right == pytest.approx(-float(bell.position("window-guard-left", "outside")))
    assert right > float(bell.position("window-guard-right", "inside")) > 0
