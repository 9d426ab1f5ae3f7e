"""The bracket's own small parts: the slinger of an open one, and jacking screws."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from models.builds import make_named_build
from models.pumps import end_suction
from models.solids.shape import find_face, make_shape
from models.spec.rule import check_rules
from models.systems import bracket

PUMP = "end-suction/100-250"
RULES = end_suction.FAMILY.rules
MakeTables = Callable[[Mapping[str, Mapping[str, str]]], Path]
OPEN, PACKED, JACKED = {"bracket": "open"}, {"shaft-seal": "packed"}, {"jacking": "screws"}
SMALL_OF_LARGE = 1e-4
"""How nearly two volumes of millions of mm3 tell a hole of thousands."""
SCREWS = ("jacking-screw-1", "jacking-screw-2")

# choice, rule, the row that is written wrong, its wrong nominal, the pieces at fault
WRONG_ROWS = [
    (OPEN, 12, "slinger.length", "12", ("slinger",)),
    (PACKED, 12, "slinger.length", "20", ("slinger",)),
    (OPEN, 13, "slinger.outside", "60", ("slinger",)),
    (JACKED, 14, "jacking-screw.length", "40", SCREWS),
    (JACKED, 14, "jacking-screw.length", "30", SCREWS),
]


@pytest.mark.parametrize(("choice", "number", "row", "wrong", "pieces"), WRONG_ROWS)
def test_a_row_written_wrong_breaks_its_rule_and_no_other(
    make_tables: MakeTables,
    choice: dict[str, str],
    number: int,
    row: str,
    wrong: str,
    pieces: tuple[str, ...],
) -> None:
    tables = make_tables({row: {"nominal": wrong}})
    build = make_named_build(PUMP, choice, tables=tables)
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(number, pieces)]


def test_every_rule_of_the_bracket_has_a_row_here_that_breaks_it() -> None:
    by_faults = {fault.rule for fault in bracket.SYSTEM.faults}
    mine = {rule.number for rule in RULES if 12 <= rule.number <= 16}
    assert mine <= {row[1] for row in WRONG_ROWS} | by_faults


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


@pytest.mark.parametrize("back_plate", ["separate", "one-casting"])
def test_a_jacking_screw_is_tapped_into_the_back_plate_and_free_in_the_bracket(
    back_plate: str,
) -> None:
    plain, jacked = (
        make_named_build(PUMP, {"back-plate": back_plate, "jacking": jacking})
        for jacking in ("none", "screws")
    )
    row = jacked.piece_at("bracket").row
    lost = {}
    for place in dict.fromkeys(jacked.piece_at(one).name for one in ("back-plate", "bracket")):
        solids = [make_shape(build.piece_at(place)) for build in (plain, jacked)]
        assert solids[1].isValid()
        lost[place] = solids[0].Volume() - solids[1].Volume()
    thread = float(jacked.piece_at("jacking-screw").row["thread"])
    thick = float(
        jacked.position("bracket", "nut-face") - jacked.position("back-plate", "casing-face")
    )
    tapped = thick - float(row["flange-thickness"])
    holes = [
        2 * math.pi / 4 * wide**2 * deep
        for wide, deep in ((thread, tapped), (float(row["jacking-hole"]), thick - tapped))
    ]
    expected = [sum(holes)] if back_plate == "one-casting" else holes
    assert list(lost.values()) == pytest.approx(expected, rel=SMALL_OF_LARGE)


def test_the_jacking_screws_stand_opposite_each_other_between_two_studs() -> None:
    build = make_named_build(PUMP, JACKED)
    one, two = (build.pieces[name].pose.origin for name in SCREWS)
    assert [float(a + b) for a, b in zip(one[1:], two[1:], strict=True)] == pytest.approx([0, 0])
    apart = sorted(
        math.dist(
            [float(x) for x in one[1:]], [float(x) for x in build.pieces[name].pose.origin[1:]]
        )
        for name in build.pieces_at("bracket-stud")
    )
    assert apart[0] == pytest.approx(apart[1])
