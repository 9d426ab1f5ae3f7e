"""Impellers in the open casing: every gap is the pump's, and each rule is broken on purpose."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from models.builds import make_named_build
from models.exhibits.impellers import FAMILY
from models.spec.build import Build
from models.spec.clearance import Clearance, ClearanceKind
from models.spec.rule import check_rules
from tests.models.exhibits.changed_tables import change_rows

NAME, PUMP = "impellers/100-250", "end-suction/100-250"
KINDS = ("enclosed", "semi-open")
# rule, impeller, the row written wrong and its nominal, the pieces at fault
WRONG = [
    (22, "enclosed", "wear-ring.bore", "140.3", ("wear-ring",)),
    (26, "semi-open", "wear-plate.sink-depth", "5.5", tuple(f"wear-plate-screw-{i}" for i in range(1, 7))),
    (36, "enclosed", "shaft-carrier.floor-distance", "86", ("shim-1", "shim-2", "shim-3")),
]  # fmt: skip


def _make(kind: str, **more: Any) -> Build:
    return make_named_build(NAME, {"impeller": kind}, **more)


def _measure(build: Build, one: Clearance) -> float:
    at = build.diameter if one.kind is ClearanceKind.DIAMETRAL else build.position
    return float(at(*one.high) - at(*one.low))


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_as_drawn_breaks_no_rule(kind: str) -> None:
    assert check_rules(_make(kind), FAMILY.rules) == ()


@pytest.mark.parametrize(
    ("kind", "names"),
    [
        ("enclosed", {"wear-ring", "ring-overlap", "front-gap", "back-vane", "washer-clamp"}),
        ("semi-open", {"wear-plate", "back-vane", "washer-clamp"}),
    ],
)
def test_every_gap_is_as_wide_as_in_the_pump(kind: str, names: set[str]) -> None:
    build, pump = _make(kind), make_named_build(PUMP, {"impeller": kind})
    plain = [one for one in build.clearances if one.is_plain]
    assert {one.name for one in plain} == names
    for one in plain:
        assert _measure(build, one) == pytest.approx(
            _measure(pump, pump.clearance(one.name)), abs=1e-6
        )


def test_the_gap_behind_is_the_chain_over_carrier_and_shaft_and_no_casing_width() -> None:
    build = _make("enclosed")
    gap = build.position("back-plate", "wet-face") - build.position("impeller", "back-vane-tip")
    assert gap.terms["shaft-carrier", "floor-distance"] == -1
    assert gap.terms["shim-1", "thickness"] == 1
    assert ("open-casing", "width") not in gap.terms


@pytest.mark.parametrize(("number", "kind", "row", "wrong", "pieces"), WRONG)
def test_a_row_written_wrong_breaks_its_rule_and_no_other(
    tmp_path: Path, number: int, kind: str, row: str, wrong: str, pieces: tuple[str, ...]
) -> None:
    tables = change_rows(tmp_path, NAME, {row: wrong})
    found = check_rules(_make(kind, tables=tables), FAMILY.rules)
    assert [(broken.number, broken.pieces) for broken in found] == [(number, pieces)]


def test_work_names_nothing_that_the_bench_lacks() -> None:
    assert {work.key for work in _make("enclosed").work} == {
        "match-marks", "sling-cover", "bend-tab", "measure-back-vane",
    }  # fmt: skip
