"""Bearing arrangements: what is where, what leaves with the shaft, and each bearing rule broken on purpose."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from models.builds import make_named_build
from models.parts import bearing
from models.parts.elements import count_elements, count_filled
from models.spec.build import Build
from models.spec.face import journal
from models.spec.rule import check_rules
from models.systems import bearing_frame
from models.systems.bearing_rules import RULES

PUMP = "end-suction/100-250"
ARRANGEMENTS = ("deep-groove-pair", "roller-and-angular-pair", "double-row-and-roller")
PAIR, DOUBLE = ARRANGEMENTS[1:]

# rule, arrangement, the measured value that breaks it, the pieces at fault
BROKEN_BY_A_VALUE = [
    (52, ARRANGEMENTS[0], ("shaft", "outboard-journal-length"), 30.0, ("lock-nut",)),
    (52, PAIR, ("shaft", "outboard-length"), 60.0, ("lock-nut",)),
    (54, ARRANGEMENTS[0], ("shaft", "bearing-span"), 160.0, ("bearing-inboard",)),
    (55, ARRANGEMENTS[0], ("bearing-housing", "cavity-diameter"), 88.0, ("bearing-inboard",)),
    (55, DOUBLE, ("bearing-housing", "cavity-diameter"), 88.0, ("roller-outer-ring",)),
    (56, ARRANGEMENTS[0], ("lock-washer", "tab-height"), 36.0, ("lock-washer",)),
    (56, PAIR, ("lock-washer", "tab-width"), 6.1, ("lock-washer",)),
    (57, ARRANGEMENTS[0], ("bearing-housing", "sight-depth"), 45.0, ("sight-glass-body",)),
    (57, DOUBLE, ("bearing-housing", "sight-depth"), 27.0, ("sight-glass-body",)),
]


def _make(value: str, **measured: Any) -> Build:
    return make_named_build(PUMP, {"bearings": value}, **measured)


def _find_broken(build: Build) -> list[tuple[int, tuple[str, ...]]]:
    return [(broken.number, broken.pieces) for broken in check_rules(build, RULES)]


@pytest.mark.parametrize("value", ARRANGEMENTS)
def test_every_arrangement_as_drawn_breaks_no_rule(value: str) -> None:
    build = _make(value)
    assert check_rules(build, build.family.rules) == ()


@pytest.mark.parametrize(("number", "value", "term", "mm", "pieces"), BROKEN_BY_A_VALUE)
def test_a_wrong_value_breaks_its_rule_and_no_other(
    number: int, value: str, term: tuple[str, str], mm: float, pieces: tuple[str, ...]
) -> None:
    assert _find_broken(_make(value, measured={term: mm})) == [(number, pieces)]


def _swap_part(build: Build, name: str, part: Any) -> Build:
    piece = build.pieces[name]
    other = replace(piece, place=replace(piece.place, part=part), faces=part.faces(piece.row))
    return replace(build, pieces={**build.pieces, name: other})


def test_a_pair_face_to_face_breaks_the_rule_of_the_pair_only() -> None:
    build = _swap_part(_make(PAIR), "bearing-paired", bearing.BACK_SUCTION)
    build = _swap_part(build, "bearing-outboard", bearing.BACK_DRIVE)
    assert _find_broken(build) == [(51, ("bearing-paired", "bearing-outboard"))]


def test_a_pair_of_deep_groove_bearings_is_no_pair() -> None:
    build = _swap_part(_make(PAIR), "bearing-outboard", bearing.PART)
    assert 51 in [number for number, _ in _find_broken(build)]


@pytest.mark.parametrize("value", ARRANGEMENTS)
@pytest.mark.parametrize(
    ("end", "mm", "at_fault"),
    [
        ("inboard", 45.0, ("grease-nipple-inboard",)),
        ("outboard", 184.0, ("grease-nipple-outboard",)),
        ("inboard", 66.0, ()),
    ],
)
def test_a_nipple_on_an_outer_ring_breaks_its_rule(
    value: str, end: str, mm: float, at_fault: tuple[str, ...]
) -> None:
    term = ("bearing-housing", f"nipple-{end}-position")
    chosen = {"bearings": value, "lubrication": "grease"}
    found = _find_broken(make_named_build(PUMP, chosen, measured={term: mm}))
    assert found == ([(58, at_fault)] if at_fault else [])


def test_oil_and_grease_leave_each_other_out() -> None:
    oil, grease = (make_named_build(PUMP, {"lubrication": value}) for value in ("oil", "grease"))
    bath = {"oil-fill-plug", "drain-plug", "breather", "sight-glass", "sight-glass-ring"}
    assert bath <= set(oil.pieces)
    assert set(grease.pieces) - set(oil.pieces) == {
        "grease-nipple-inboard",
        "grease-nipple-outboard",
        "relief-plug",
    }
    assert not [name for name in grease.pieces if "sight" in name or "plug-seal" in name]
    assert not bath & set(grease.pieces)


def test_a_roller_bearing_behind_the_thrust_shoulder_breaks_its_rule() -> None:
    build = _make(DOUBLE)
    moved = build.pieces["roller-outer-ring"]
    x, y, z = moved.pose.origin
    pose = replace(moved.pose, origin=(x + 150.0, y, z))
    build = replace(build, pieces={**build.pieces, moved.name: replace(moved, pose=pose)})
    assert (53, ("roller-outer-ring",)) in _find_broken(build)


def test_an_inner_ring_wider_than_the_rollers_race_cannot_leave_with_the_shaft() -> None:
    build = _make(DOUBLE)
    ring = build.pieces["roller-inner-ring"]
    wide = replace(ring, faces={**ring.faces, "race": journal(81.0, 1.0)})
    build = replace(build, pieces={**build.pieces, ring.name: wide})
    assert _find_broken(build) == [(55, ("roller-inner-ring",))]


def test_every_bearing_rule_is_broken_by_a_test() -> None:
    by_faults = {fault.rule for fault in bearing_frame.SYSTEM.faults}
    broken = {51, 53, 58} | {row[0] for row in BROKEN_BY_A_VALUE} | by_faults
    assert {rule.number for rule in RULES} <= broken


@pytest.mark.parametrize("value", ARRANGEMENTS)
def test_the_caps_gap_is_its_chain_written_out(value: str) -> None:
    build = _make(value)
    gap = build.position("bearing-cap", "spigot-end") - build.position(
        "bearing-outboard", "outer-drive-end"
    )
    thrust = [name for name in ("bearing-paired", "bearing-outboard") if name in build.pieces]
    expected = {
        ("bearing-housing", "outboard-depth"): 1.0, ("cap-gasket", "thickness"): 1.0,
        ("bearing-cap", "spigot-length"): -1.0, **{(name, "width"): -1.0 for name in thrust},
    }  # fmt: skip
    assert dict(gap.terms) == expected
    assert len(thrust) == (2 if value == PAIR else 1)
    assert 0.0 < float(gap) < 0.05


@pytest.mark.parametrize("value", ARRANGEMENTS)
def test_the_impeller_keeps_its_place_in_every_arrangement(value: str) -> None:
    build, usual = _make(value), _make(ARRANGEMENTS[0])
    for face in ("back-vane-tip", "nose-end"):
        apart = build.position("impeller", face) - usual.position("impeller", face)
        assert float(apart) == pytest.approx(0.0, abs=1e-9)


def _numbers(build: Build, name: str) -> dict[str, float]:
    return {key: float(value) for key, value in build.pieces[name].row.items()}


def test_the_contact_of_an_angular_bearing_lies_on_its_high_shoulders_only() -> None:
    """At 40 degrees the ball touches at pitch radius -+ ball radius x cos 40; low shoulders end short of that."""
    row = _numbers(_make(PAIR), "bearing-paired")
    inner_high, inner_low, outer_high, outer_low = bearing.angular_shoulders_mm(row)
    pitch = (row["bore"] + row["outside"]) / 4
    reach = 0.31 * (row["outside"] - row["bore"]) / 2 * math.cos(math.radians(40.0))
    assert inner_high > pitch - reach > inner_low
    assert outer_high < pitch + reach < outer_low


@pytest.mark.parametrize(
    ("value", "name", "loose"),
    [
        (ARRANGEMENTS[0], "bearing-inboard", 3), (PAIR, "bearing-paired", 3), (PAIR, "bearing-outboard", 3),
        (PAIR, "roller-outer-ring", 2), (DOUBLE, "bearing-outboard", 4),
    ],
)  # fmt: skip
def test_the_elements_of_a_bearing_fit_round_its_pitch_circle_and_touch_nothing(
    value: str, name: str, loose: int
) -> None:
    from models.solids.shape import make_shape

    piece = _make(value).pieces[name]
    solids = make_shape(piece).Solids()
    frame, elements = solids[:loose], solids[loose:]
    rows = 2 if value == DOUBLE and name == "bearing-outboard" else 1
    sides = [one.BoundingBox() for one in elements]
    thick = min(max(box.ylen, 0.0) for box in sides)
    pitch = max(box.zmax for box in sides) * 2 - thick
    assert len(elements) / rows * thick < math.pi * pitch
    count = count_filled if value == ARRANGEMENTS[0] else count_elements
    assert len(elements) == rows * count(pitch, thick)
    for one in frame:
        assert one.distance(elements[0]) > 0
    for other in elements[1:3]:
        assert elements[0].distance(other) > 0.5


def test_the_second_bearing_of_the_pair_is_the_first_turned_round() -> None:
    from models.solids.shape import make_shape

    build = _make(PAIR)
    one, other = (make_shape(build.pieces[name]) for name in ("bearing-paired", "bearing-outboard"))
    width = float(build.pieces["bearing-paired"].row["width"])
    assert one.Volume() == pytest.approx(other.Volume(), rel=1e-9)
    ring, turned = one.Solids()[1], other.Solids()[1]
    assert ring.Center().x > width / 2
    assert turned.Center().x == pytest.approx(width - ring.Center().x, abs=1e-6)
