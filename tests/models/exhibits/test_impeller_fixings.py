"""Impeller fixings on the shaft's end: what each is made of, the same distances as in the pump, rules broken on purpose."""

from __future__ import annotations

from typing import Any

import pytest

from models.builds import make_named_build
from models.exhibits.impeller_fixings import FAMILY
from models.spec.build import Build
from models.spec.rule import check_rules

NAME, PUMP = "impeller-fixings/100-250", "end-suction/100-250"
MADE_OF = {
    "keyed": {
        "impeller-key",
        "retaining-washer",
        "centring-washer",
        "tab-washer",
        "impeller-screw",
    },
    "fine-thread": {"thrust-washer", "impeller-o-ring"},
    "acme": {"shaft-sleeve", "sleeve-o-ring"},
}
# rule, fixing, what is measured wrong, the piece at fault
WRONG = [
    (5, "keyed", ("centring-washer", "thickness"), 5.8, "retaining-washer"),
    (31, "keyed", ("tab-washer", "across-flats"), 23.0, "tab-washer"),
    (32, "keyed", ("centring-washer", "outside"), 29.5, "centring-washer"),
    (33, "fine-thread", ("impeller", "bore-depth"), 46.0, "impeller"),
    (34, "acme", ("shaft", "thread-hand"), -0.2, "shaft"),
    (143, "keyed", ("impeller-key", "height"), 8.0, "impeller-key"),
]


def _make(fixing: str, **more: Any) -> Build:
    return make_named_build(NAME, {"fixing": fixing}, **more)


@pytest.mark.parametrize("fixing", MADE_OF)
def test_every_fixing_as_drawn_breaks_no_rule_and_is_made_of_its_own_parts(fixing: str) -> None:
    build = _make(fixing)
    assert check_rules(build, FAMILY.rules) == ()
    assert set(build.places) == {"shaft", "shim", "impeller"} | MADE_OF[fixing]


@pytest.mark.parametrize(("number", "fixing", "term", "mm", "piece"), WRONG)
def test_a_wrong_value_breaks_its_rule(
    number: int, fixing: str, term: tuple[str, str], mm: float, piece: str
) -> None:
    found = check_rules(_make(fixing, measured={term: mm}), FAMILY.rules)
    assert (number, (piece,)) in [(broken.number, broken.pieces) for broken in found]


@pytest.mark.parametrize("fixing", MADE_OF)
def test_the_impeller_stands_to_the_thrust_shoulder_as_it_does_in_the_pump(fixing: str) -> None:
    build, pump = _make(fixing), make_named_build(PUMP, {"fixing": fixing})
    here = build.position("impeller", "back-vane-tip") - build.position("shaft", "drive-end")
    there = pump.position("impeller", "back-vane-tip") - pump.position("shaft", "thrust-shoulder")
    cut = float(build.piece_at("shaft").row["cut-position"])
    assert float(here) - cut == pytest.approx(float(there))


@pytest.mark.parametrize(
    ("fixing", "names"), [("keyed", {"washer-clamp"}), ("fine-thread", {"thread-run-out"})]
)
def test_each_fixing_has_its_clearance_inside_its_limits(fixing: str, names: set[str]) -> None:
    build = _make(fixing)
    plain = [one for one in build.clearances if one.is_plain]
    assert {one.name for one in plain} == names
    for one in plain:
        gap, asked = (
            build.position(*one.high) - build.position(*one.low),
            build.find_requirement(one),
        )
        assert asked.lower <= float(gap) <= asked.upper


def test_nothing_is_asked_of_a_back_plate_that_is_not_there() -> None:
    assert {work.key for work in _make("keyed").work} == {"bend-tab"}
    assert {work.key for work in _make("acme").work} == {"unscrew-impeller"}
