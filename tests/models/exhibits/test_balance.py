"""Relief of thrust: what each way is made of, and each rule broken on purpose."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from models.builds import make_named_build
from models.exhibits.balance import FAMILY, LINE
from models.spec.build import Build
from models.spec.rule import check_rules
from tests.models.exhibits.changed_tables import change_rows

NAME, PUMP = "balance/100-250", "end-suction/100-250"
WAYS = ("none", "balance-holes", "balance-line")
# rule, way of relief, the row written wrong and its nominal, the piece at fault
WRONG = [
    (22, "balance-holes", "hub-ring.bore", "140.3", "hub-ring"),
    (23, "balance-holes", "impeller-balance-holes.balance-hole-circle", "118", "impeller"),
    (27, "balance-line", "balance-line.bore", "12", "balance-line"),
    (144, "balance-line", "impeller-hub-rim.back-vane-inside", "152", "impeller"),
]


def _make(way: str, **more: Any) -> Build:
    return make_named_build(NAME, {"hub-ring": way}, **more)


@pytest.mark.parametrize("way", WAYS)
def test_each_way_as_drawn_breaks_no_rule(way: str) -> None:
    assert check_rules(_make(way), FAMILY.rules) == ()


def test_back_vanes_alone_need_neither_ring_nor_holes_nor_line() -> None:
    build = _make("none")
    assert "balance-hole-diameter" not in build.piece_at("impeller").row
    assert not any(build.has(place) for place in ("hub-ring", *LINE))


def test_holes_and_line_each_come_with_a_hub_ring_and_not_with_each_other() -> None:
    holes, line = _make("balance-holes"), _make("balance-line")
    assert holes.has("hub-ring")
    assert line.has("hub-ring", *LINE)
    assert "balance-hole-diameter" in holes.piece_at("impeller").row
    assert "balance-hole-diameter" not in line.piece_at("impeller").row
    assert not holes.has("balance-line")


def test_the_hub_ring_runs_as_close_as_in_the_pump() -> None:
    pump = make_named_build(PUMP, {"hub-ring": "balance-holes"})
    for build in (_make("balance-holes"), _make("balance-line")):
        gaps = [
            float(one.diameter("hub-ring", "bore") - one.diameter("impeller", "hub-rim"))
            for one in (build, pump)
        ]
        assert gaps[0] == pytest.approx(gaps[1])


@pytest.mark.parametrize(("number", "way", "row", "wrong", "piece"), WRONG)
def test_a_row_written_wrong_breaks_its_rule_and_no_other(
    tmp_path: Path, number: int, way: str, row: str, wrong: str, piece: str
) -> None:
    tables = change_rows(tmp_path, NAME, {row: wrong})
    found = check_rules(_make(way, tables=tables), FAMILY.rules)
    assert [(broken.number, broken.pieces) for broken in found] == [(number, (piece,))]
