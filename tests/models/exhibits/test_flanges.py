"""A flanged joint, both drillings and facings: against the standards as they are told, and rules that break on a wrong row."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import pytest

from models.builds import make_named_build
from models.exhibits import flanges
from models.spec.build import TABLES
from models.spec.rule import check_rules
from models.spec.standard import read_standard
from tests.models.exhibits.changed_tables import change_rows

EXHIBIT = "flanges/100"
RULES = flanges.FAMILY.rules
EVERY = list(itertools.product(("pn16", "class-150"), ("raised", "flat")))
BOLTS = tuple(f"flange-bolt-{n}" for n in range(1, 9))

# facing, rule, the row that is written wrong, its wrong nominal, the pieces at fault
WRONG_ROWS = [
    ("raised", 126, "flange-bolt-pn16.length", "55", BOLTS),
    ("flat", 126, "flange-bolt-pn16.length", "90", BOLTS),
    ("raised", 127, "flange-gasket.gasket-bore", "96", ("flange-gasket",)),
    ("raised", 127, "flange-gasket.gasket-play", "8", ("flange-gasket",)),
]


@pytest.mark.parametrize(("drilling", "facing"), EVERY)
def test_the_exhibit_breaks_no_rule(drilling: str, facing: str) -> None:
    build = make_named_build(EXHIBIT, {"flanges": drilling, "facing": facing})
    assert check_rules(build, RULES) == ()


@pytest.mark.parametrize(("facing", "number", "row", "wrong", "pieces"), WRONG_ROWS)
def test_a_row_written_wrong_breaks_its_rule_and_no_other(
    tmp_path: Path, facing: str, number: int, row: str, wrong: str, pieces: tuple[str, ...]
) -> None:
    tables = change_rows(tmp_path, EXHIBIT, {row: wrong})
    build = make_named_build(EXHIBIT, {"facing": facing}, tables=tables)
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(number, pieces)]


@pytest.mark.parametrize(
    ("number", "dimension", "value"),
    [(125, "raise-height", 1.5), (128, "bolt-circle", 190.5), (128, "hole", 21.0)],
)
def test_a_mate_measured_otherwise_breaks_its_rule_and_no_other(
    number: int, dimension: str, value: float
) -> None:
    build = make_named_build(EXHIBIT, measured={("downstream-flange", dimension): value})
    broken = [(b.number, b.pieces) for b in check_rules(build, RULES)]
    assert broken == [(number, ("downstream-flange",))]


def test_every_rule_has_a_test_that_breaks_it() -> None:
    by_faults = {fault.rule for fault in flanges.FAMILY.faults}
    assert {rule.number for rule in RULES} == by_faults | {125, 128} | {
        row[1] for row in WRONG_ROWS
    }


@pytest.mark.parametrize(
    ("drilling", "table", "item"),
    [("pn16", "flanges-pn16", "100"), ("class-150", "flanges-class-150", "4")],
)
def test_flanges_are_drilled_as_the_standard_table_says(
    drilling: str, table: str, item: str
) -> None:
    build = make_named_build(EXHIBIT, {"flanges": drilling})
    wanted = {key: row.nominal for key, row in read_standard(TABLES, table)[item].items()}
    for place in flanges.FLANGES:
        row = build.numbers_at(place)
        assert {key: row[key] for key in wanted} == wanted
    assert len(build.pieces_at("flange-bolt")) == len(build.pieces_at("flange-nut")) == 8


@pytest.mark.parametrize(("drilling", "facing"), EVERY)
def test_no_bolt_stands_on_the_centre_line_and_each_takes_its_own_nut(
    drilling: str, facing: str
) -> None:
    build = make_named_build(EXHIBIT, {"flanges": drilling, "facing": facing})
    for bolt, nut in zip(
        build.pieces_at("flange-bolt"), build.pieces_at("flange-nut"), strict=True
    ):
        spots = [build.pieces[name].pose.origin for name in (bolt, nut)]
        y, z = (float(value) for value in spots[0][1:])
        assert (float(spots[1][1]), float(spots[1][2])) == pytest.approx((y, z))
        assert abs(y) > 1
        assert abs(z) > 1
        assert math.hypot(y, z) == pytest.approx(
            build.numbers_at("upstream-flange")["bolt-circle"] / 2
        )


def test_a_ring_gasket_lies_inside_the_bolts_and_a_full_one_reaches_the_rim() -> None:
    ring, full = (make_named_build(EXHIBIT, {"facing": facing}) for facing in ("raised", "flat"))
    row = ring.numbers_at("flange-gasket")
    inside_bolts = row["bolt-circle"] - row["bolt-thread"]
    assert float(ring.diameter("flange-gasket", "outside")) < inside_bolts
    rim = float(full.diameter("upstream-flange", "rim"))
    assert float(full.diameter("flange-gasket", "outside")) == rim
