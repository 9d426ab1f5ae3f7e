"""The three ways an impeller is fixed: their chains written out, their rules broken, their pack and their way off."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from models.builds import make_named_build
from models.pumps import end_suction
from models.spec.build import Build
from models.spec.length import Length
from models.spec.rule import check_rules
from models.systems import impeller_fixing
from trainer.core.measure.chain import measure_clearances
from trainer.core.measure.packs import StockShim
from trainer.core.measure.shims import choose_pack

PUMP = "end-suction/100-250"
RULES = end_suction.FAMILY.rules
MakeTables = Callable[[Mapping[str, Mapping[str, str]]], Path]
SHIMS = {("shim-1", "thickness"): 1.0, ("shim-2", "thickness"): 1.0, ("shim-3", "thickness"): 1.0}
BACK_VANE = {
    ("shaft", "overhang"): 1.0, ("impeller", "back-vane-setback"): 1.0, ("back-plate", "wet-face-depth"): -1.0,
    ("bracket", "length"): -1.0, ("bearing-housing", "thrust-shoulder-distance"): -1.0, **SHIMS,
}  # fmt: skip
BETWEEN = {
    "keyed": {},
    "fine-thread": {("thrust-washer", "thickness"): 1.0},
    "acme": {("shaft-sleeve", "length"): 1.0},
}
SCREWED = ["fine-thread", "acme"]


@pytest.mark.parametrize("fixing", BETWEEN)
def test_the_back_vane_gap_counts_all_that_stands_between_shoulder_and_hub(fixing: str) -> None:
    build = make_named_build(PUMP, {"fixing": fixing})
    gap = build.read_chain(build.clearance("back-vane"))
    assert dict(gap.terms) == BACK_VANE | BETWEEN[fixing]
    assert float(gap) == pytest.approx(0.5, abs=1e-9)
    assert check_rules(build, RULES) == ()


@pytest.mark.parametrize("fixing", SCREWED)
def test_the_run_out_of_the_thread_counts_bore_and_pack(fixing: str) -> None:
    build = make_named_build(PUMP, {"fixing": fixing})
    left = build.read_chain(build.clearance("thread-run-out"))
    ends = {("impeller", "bore-depth"): 1.0, ("shaft", "impeller-seat-length"): -1.0}
    assert dict(left.terms) == ends | SHIMS | BETWEEN[fixing]
    assert float(left) == pytest.approx(2.0, abs=1e-9)
    assert "washer-clamp" not in [clearance.name for clearance in build.clearances]


@pytest.mark.parametrize("fixing", BETWEEN)
def test_a_pack_is_chosen_in_every_design(fixing: str) -> None:
    measured = measure_clearances(make_named_build(PUMP, {"fixing": fixing}))
    stock = tuple(StockShim(t, 0.01, 3) for t in (0.1, 0.2, 0.5))
    answer = choose_pack(measured, "back-vane", stock)
    assert answer.fits
    assert answer.ideal_mm == pytest.approx(1.0)
    moved = {one.name for one in answer.best.moved}
    assert ("washer-clamp" if fixing == "keyed" else "thread-run-out") in moved


@pytest.mark.parametrize("fixing", SCREWED)
@pytest.mark.parametrize("row", ["bore-depth", "register-length"])
def test_a_thread_that_would_bottom_breaks_rule_33_only(
    make_tables: MakeTables, fixing: str, row: str
) -> None:
    wrong = {"bore-depth": "46.5", "register-length": "12.5"}[row]
    tables = make_tables({f"impeller-{fixing}.{row}": {"nominal": wrong}})
    build = make_named_build(PUMP, {"fixing": fixing}, tables=tables)
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(33, ("impeller",))]


@pytest.mark.parametrize("fixing", SCREWED)
def test_left_hand_threads_on_both_break_rule_34_only(make_tables: MakeTables, fixing: str) -> None:
    left = {"nominal": "-1"}
    tables = make_tables({f"{p}-{fixing}.thread-hand": left for p in ("shaft", "impeller")})
    build = make_named_build(PUMP, {"fixing": fixing}, tables=tables)
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(34, ("shaft",))]


@pytest.mark.parametrize("fixing", SCREWED)
def test_a_left_hand_hub_on_a_right_hand_shaft_breaks_rule_35_only(
    make_tables: MakeTables, fixing: str
) -> None:
    tables = make_tables({f"impeller-{fixing}.thread-hand": {"nominal": "-1"}})
    build = make_named_build(PUMP, {"fixing": fixing}, tables=tables)
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(35, ("impeller",))]


def test_only_a_screwed_impeller_is_unscrewed() -> None:
    for fixing in BETWEEN:
        work = [one.key for one in make_named_build(PUMP, {"fixing": fixing}).work]
        assert ("unscrew-impeller" in work) == (fixing in SCREWED)
        assert ("bend-tab" in work) == (fixing == "keyed")


def test_the_seal_runs_on_the_sleeve_where_there_is_one() -> None:
    for fixing, carrier in (("keyed", "shaft"), ("fine-thread", "shaft"), ("acme", "shaft-sleeve")):
        build = make_named_build(PUMP, {"fixing": fixing})
        assert build.pieces_at("shaft-sleeve") == (carrier,)
        assert float(build.diameter("shaft-sleeve", "seal-journal")) == pytest.approx(37.992)


@pytest.mark.parametrize(
    ("row", "wrong"), [("tab-length", "1"), ("across-flats", "26"), ("rim-diameter", "46")]
)
def test_a_tab_that_is_not_bent_over_flat_and_rim_breaks_rule_31_only(
    pump: Build, row: str, wrong: str
) -> None:
    piece = pump.pieces["tab-washer"]
    bad = replace(piece, row={**piece.row, row: Length(float(wrong))})
    build = replace(pump, pieces={**pump.pieces, "tab-washer": bad})
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(31, ("tab-washer",))]


@pytest.mark.parametrize("fixing", SCREWED)
def test_a_thread_without_its_o_ring_breaks_rule_1_only(fixing: str) -> None:
    build = make_named_build(PUMP, {"fixing": fixing})
    ring = "impeller-o-ring" if fixing == "fine-thread" else "sleeve-o-ring"
    pieces = {name: piece for name, piece in build.pieces.items() if name != ring}
    assert [b.number for b in check_rules(replace(build, pieces=pieces), RULES)] == [1]


@pytest.mark.parametrize(
    ("row", "wrong"),
    [("outside", "28"), ("thickness", "-3"), ("spigot-diameter", "22"), ("spigot-length", "7")],
)
def test_a_washer_that_is_not_centred_in_the_hub_breaks_rule_32_only(
    make_tables: MakeTables, row: str, wrong: str
) -> None:
    build = make_named_build(
        PUMP, tables=make_tables({f"centring-washer.{row}": {"nominal": wrong}})
    )
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(32, ("centring-washer",))]


def test_the_clamp_gap_counts_what_the_centring_washer_takes_of_it(pump: Build) -> None:
    gap = pump.read_chain(pump.clearance("washer-clamp"))
    hub = {("impeller", "hub-length"): 1.0, ("centring-washer", "thickness"): -1.0}
    assert dict(gap.terms) == hub | {("shaft", "impeller-seat-length"): -1.0} | SHIMS
    assert float(gap) == pytest.approx(1.5, abs=1e-9)


def test_every_rule_of_the_fixing_is_broken_in_a_test() -> None:
    tested_here, tested_with_the_family = {31, 32, 33, 34, 35}, {5}
    tested_by_faults = {fault.rule for fault in impeller_fixing.FAULTS}
    numbers = {rule.number for rule in impeller_fixing.RULES}
    assert numbers <= tested_here | tested_with_the_family | tested_by_faults
