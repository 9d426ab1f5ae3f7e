"""The self-priming pump: what its adjusting screws do to the gap, its chains written out, each of its rules broken by a row."""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path
from typing import Protocol

import pytest

from models.builds import list_builds, make_named_build
from models.pumps import self_priming
from models.spec.build import Build
from models.spec.rule import check_rules
from models.systems.inspection_cover import FEELER_SPREAD_MM, find_tilt, plate_tilt
from trainer.core.measure.chain import measure_clearances

SIZES = [name for name, family in list_builds().items() if family is self_priming.FAMILY]
PUMP = "self-priming/100"
RULES = self_priming.FAMILY.rules


class MakeTables(Protocol):
    def __call__(self, changes: Mapping[str, Mapping[str, str]], pump: str = ...) -> Path: ...


@pytest.fixture(scope="module")
def pump() -> Build:
    return make_named_build(PUMP)


def set_screws(*stand_off_mm: float) -> Build:
    """Make the pump with its adjusting screws set to so many mm."""
    terms = {
        (f"adjusting-screw-{i}", "stand-off"): value for i, value in enumerate(stand_off_mm, 1)
    }
    return make_named_build(PUMP, measured=terms)


def front_gap(build: Build) -> float:
    return float(
        build.position("impeller", "vane-edge") - build.position("wear-plate", "running-face")
    )


@pytest.mark.parametrize("name", SIZES)
def test_every_size_breaks_no_rule_and_keeps_its_clearances(name: str) -> None:
    build = make_named_build(name)
    assert check_rules(build, RULES) == ()
    for one in measure_clearances(build):
        low, high = one.required_mm
        assert low <= one.value_mm <= high, one.name


def test_the_front_gap_is_the_chain_from_screws_to_vanes(pump: Build) -> None:
    """Written out: the vanes, less posts and plate, plus what the screws stand off."""
    row = pump.numbers_at
    stands = row("adjusting-screw")["stand-off"]
    face = row("inspection-cover")["post-reach"] - stands + row("wear-plate")["thickness"]
    hub = pump.position("impeller", "hub-seat")
    edge = float(hub) - row("impeller")["vane-edge-distance"]
    assert front_gap(pump) == pytest.approx(edge - face)
    sense = pump.read_chain(pump.clearance("wear-plate")).terms
    assert sense["casing", "width"] == pytest.approx(1.0)
    assert sense["frame-shim", "thickness"] == pytest.approx(1.0)
    assert sense["inspection-cover", "post-reach"] == pytest.approx(-1.0)
    for number in (1, 2, 3):
        assert sense[f"adjusting-screw-{number}", "stand-off"] == pytest.approx(1 / 3)


def test_turning_all_screws_alike_moves_the_plate_by_as_much(pump: Build) -> None:
    out = set_screws(6.2, 6.2, 6.2)
    assert front_gap(out) - front_gap(pump) == pytest.approx(0.2)
    assert float(plate_tilt(out)) == 0.0


def test_turning_one_screw_moves_the_middle_by_its_share_and_tilts_the_plate(pump: Build) -> None:
    tilted = set_screws(6.3, 6.0, 6.0)
    assert front_gap(tilted) - front_gap(pump) == pytest.approx(0.1)
    up, right = (float(slope) for slope in find_tilt(tilted))
    circle = tilted.numbers_at("casing")["cover-stud-circle"]
    # the plane through (0, R, 0.3) and two points 0.3 lower and 1.5 R further down
    assert up == pytest.approx(0.3 / (1.5 * circle / 2))
    assert right == pytest.approx(0.0, abs=1e-12)
    rim = float(tilted.diameter("impeller", "outside")) / 2
    assert float(plate_tilt(tilted)) == pytest.approx(-up * rim)


def test_the_plane_of_three_screws_goes_through_their_ends() -> None:
    stands = (6.4, 5.9, 6.1)
    build = set_screws(*stands)
    up, right = (float(slope) for slope in find_tilt(build))
    radius = build.numbers_at("casing")["cover-stud-circle"] / 2
    for number, stand in enumerate(stands):
        angle = math.radians(90.0 + 120.0 * number)
        y, z = radius * math.cos(angle), radius * math.sin(angle)
        assert sum(stands) / 3 + up * z + right * y == pytest.approx(stand)


def test_a_crooked_plate_is_told_from_a_plate_within_the_feelers_spread() -> None:
    # spread across the impeller = 2 r tilt, tilt = 2 d / (3 R) for one screw that stands d further out
    build = make_named_build(PUMP)
    rim = float(build.diameter("impeller", "outside")) / 2
    radius = build.numbers_at("casing")["cover-stud-circle"] / 2
    limit = FEELER_SPREAD_MM * 3 * radius / (4 * rim)
    assert check_rules(set_screws(6.0 + 0.98 * limit, 6.0, 6.0), RULES) == ()
    broken = check_rules(set_screws(6.0 + 1.02 * limit, 6.0, 6.0), RULES)
    assert [one.number for one in broken] == [85]


# rule, rows that are written wrong, the pieces at fault
WRONG_ROWS = [
    (81, {"casing.suction-height": "120"}, ("casing",)),
    (83, {"flap-weight-inner.thickness": "2"}, ("flap-weight-inner",)),
    (84, {"casing.half-width": "200"}, ("casing",)),
    (86, {"wear-plate.groove-start": "-30"}, ("wear-plate",)),
    (88, {"adjusting-screw.stand-off": "-0.1", "inspection-cover.post-reach": "153.9"}, ("inspection-cover",)),
    (91, {"frame-shim.thickness": "2"}, ("wear-plate",)),
]  # fmt: skip


@pytest.mark.parametrize(("number", "rows", "pieces"), WRONG_ROWS)
def test_a_row_written_wrong_breaks_its_rule_and_no_other(
    make_tables: MakeTables, number: int, rows: Mapping[str, str], pieces: tuple[str, ...]
) -> None:
    tables = make_tables({row: {"nominal": wrong} for row, wrong in rows.items()}, PUMP)
    build = make_named_build(PUMP, tables=tables)
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(number, pieces)]


def test_frame_rows_are_those_of_the_end_suction_pump() -> None:
    """One frame, one table: what the size does not write itself it has from the other family's."""
    mine, theirs = make_named_build(PUMP), make_named_build("end-suction/100-250")
    for place in ("shaft", "bearing-housing", "bearing-outboard", "seal-seat"):
        mine_row, their_row = mine.piece_at(place).dimensions, theirs.piece_at(place).dimensions
        assert mine_row == their_row
        assert mine_row.keys()
