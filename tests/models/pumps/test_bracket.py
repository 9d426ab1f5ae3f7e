"""The bracket's own small parts: the slinger of an open one."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from models.pumps import end_suction, make_named_build
from models.solids.shape import find_face, make_shape
from models.spec.rule import check_rules

PUMP = "end-suction/100-250"
RULES = end_suction.FAMILY.rules
MakeTables = Callable[[Mapping[str, Mapping[str, str]]], Path]
OPEN, PACKED = {"bracket": "open"}, {"shaft-seal": "packed"}

# option, rule, the row that is written wrong, its wrong nominal, the piece at fault
WRONG_ROWS = [
    (OPEN, 12, "slinger.length", "12", "slinger"),
    (PACKED, 12, "slinger.length", "20", "slinger"),
    (OPEN, 13, "slinger.outside", "60", "slinger"),
]


@pytest.mark.parametrize(("choice", "number", "row", "wrong", "piece"), WRONG_ROWS)
def test_a_row_written_wrong_breaks_its_rule_and_no_other(
    make_tables: MakeTables, choice: dict[str, str], number: int, row: str, wrong: str, piece: str
) -> None:
    tables = make_tables({row: {"nominal": wrong}})
    build = make_named_build(PUMP, choice, tables=tables)
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(number, (piece,))]


def test_every_rule_of_the_bracket_has_a_row_here_that_breaks_it() -> None:
    assert {rule.number for rule in RULES if 12 <= rule.number <= 16} == {
        row[1] for row in WRONG_ROWS
    }


@pytest.mark.parametrize("fixing", ["keyed", "fine-thread", "acme"])
def test_the_slinger_stands_against_the_step_of_the_shaft_whatever_holds_the_impeller(
    fixing: str,
) -> None:
    build = make_named_build(PUMP, {**OPEN, "fixing": fixing})
    shaft = build.piece_at("shaft")
    assert float(build.position("slinger", "drive-end")) == pytest.approx(
        float(build.position("shaft", "seal-end"))
    )
    assert float(build.diameter("slinger", "bore")) == float(shaft.row["seal-diameter"])
    assert find_face(make_shape(shaft), shaft.faces["seal-end"]) is not None


def test_an_oil_bath_has_no_slinger() -> None:
    assert not make_named_build(PUMP).has("slinger")


def test_the_slinger_is_a_hub_a_cone_and_a_disc() -> None:
    piece = make_named_build(PUMP, OPEN).piece_at("slinger")
    row, solid = {key: float(value) for key, value in piece.row.items()}, make_shape(piece)
    hub, rim, disc = row["hub-diameter"] / 2, row["outside"] / 2, row["disc-thickness"]
    full = (
        (row["length"] - 2 * disc) * hub**2
        + disc * (hub**2 + hub * rim + rim**2) / 3
        + disc * rim**2
    )
    hole = row["length"] * row["shaft-diameter"] ** 2 / 4
    assert solid.Volume() == pytest.approx(math.pi * (full - hole), rel=1e-6)
    assert solid.isValid()
    assert [name for name, face in piece.faces.items() if find_face(solid, face) is None] == []
