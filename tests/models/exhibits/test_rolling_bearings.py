"""Rolling bearings on their arbor: what each carries, what stands alone, and each rule broken on purpose."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from models.builds import make_named_build
from models.exhibits.rolling_bearings import FAMILY, STATIONS
from models.parts import bearing
from models.spec.build import Build
from models.spec.loads import find_bearers
from models.spec.part import Load
from models.spec.rule import check_rules
from tests.models.exhibits.changed_tables import change_rows

NAME = "rolling-bearings/bore-50"
ARRANGEMENTS = ("side-by-side", *STATIONS)

ACROSS = {Load.RADIAL}
ONE_WAY = {Load.RADIAL, Load.AXIAL_FORWARD}
BOTH_WAYS = {Load.RADIAL, Load.AXIAL_FORWARD, Load.AXIAL_BACKWARD}
CARRIED = {
    "single-row": BOTH_WAYS,
    "double-row": BOTH_WAYS,
    "roller": ACROSS,
    "angular-contact": ONE_WAY,
    "back-to-back": BOTH_WAYS,
}


def _make(value: str, **more: Any) -> Build:
    return make_named_build(NAME, {"arrangement": value}, **more)


def _find_broken(build: Build) -> list[tuple[int, tuple[str, ...]]]:
    return [(broken.number, broken.pieces) for broken in check_rules(build, FAMILY.rules)]


def _swap_part(build: Build, name: str, part: Any) -> Build:
    piece = build.pieces[name]
    other = replace(piece, place=replace(piece.place, part=part), faces=part.faces(piece.row))
    return replace(build, pieces={**build.pieces, name: other})


@pytest.mark.parametrize("value", ARRANGEMENTS)
def test_every_arrangement_as_drawn_breaks_no_rule(value: str) -> None:
    assert _find_broken(_make(value)) == []


@pytest.mark.parametrize("value", STATIONS)
def test_each_kind_carries_what_the_trade_says(value: str) -> None:
    (bearer,) = find_bearers(_make(value))
    assert bearer.carries == CARRIED[value]


def test_in_a_row_the_kinds_stand_in_order_and_carry_what_they_carry_alone() -> None:
    found = find_bearers(_make("side-by-side"))
    assert [bearer.carries for bearer in found] == list(CARRIED.values())
    assert found[-1].pieces == ("pair-suction", "pair-drive")


@pytest.mark.parametrize("value", STATIONS)
def test_a_kind_alone_has_no_spacer_and_nothing_of_the_others(value: str) -> None:
    alone = set(_make(value).pieces)
    mine = {place.name for place in STATIONS[value](("arbor", "thrust-shoulder"))}
    assert alone == {"arbor", "lock-washer", "lock-nut"} | mine


def test_the_pair_face_to_face_breaks_the_rule_of_the_pair_only() -> None:
    build = _swap_part(_make("back-to-back"), "pair-suction", bearing.BACK_SUCTION)
    build = _swap_part(build, "pair-drive", bearing.BACK_DRIVE)
    assert _find_broken(build) == [(51, ("pair-suction", "pair-drive"))]


def test_an_angular_contact_bearing_said_to_carry_the_wrong_way_breaks_its_rule() -> None:
    wrong = replace(bearing.BACK_DRIVE, carries=bearing.BACK_SUCTION.carries)
    build = _swap_part(_make("side-by-side"), "angular-bearing", wrong)
    assert _find_broken(build) == [(141, ("angular-bearing",))]


def test_an_angular_contact_bearing_said_to_carry_both_ways_breaks_its_rule() -> None:
    wrong = replace(bearing.BACK_DRIVE, carries=bearing.PART.carries)
    build = _swap_part(_make("angular-contact"), "angular-bearing", wrong)
    assert _find_broken(build) == [(141, ("angular-bearing",))]


def test_a_spacer_as_wide_as_the_cage_breaks_its_rule(tmp_path: Path) -> None:
    wide = change_rows(tmp_path, NAME, {"spacer.outside": "66"})
    assert _find_broken(_make("side-by-side", tables=wide)) == [
        (142, ("spacer-1", "spacer-2", "spacer-3", "spacer-4"))
    ]


def test_an_arbor_too_long_for_what_is_on_it_keeps_the_nut_off() -> None:
    term = ("arbor", "outboard-journal-length")
    assert _find_broken(_make("roller", measured={term: 28.4})) == [(52, ("lock-nut",))]


def test_a_tab_wider_than_the_slot_breaks_its_rule() -> None:
    term = ("lock-washer", "tab-width")
    assert _find_broken(_make("roller", measured={term: 6.1})) == [(56, ("lock-washer",))]


def test_the_backs_of_the_pair_lie_one_width_from_the_collar() -> None:
    build = _make("back-to-back")
    backs = [build.position(place, "back") for place in ("pair-suction", "pair-drive")]
    assert [dict(back.terms) for back in backs] == [{("pair-suction", "width"): 1.0}] * 2
