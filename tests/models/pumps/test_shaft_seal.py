"""The shaft's sealing: what each kind puts into the build, its chains, and rules that break when it is wrong."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from models.builds import make_named_build
from models.pumps import end_suction
from models.spec.build import Build
from models.spec.errors import ImpossibleChoiceError
from models.spec.joint import JointKind
from models.spec.rule import check_rules
from models.systems import shaft_seal
from trainer.words import load_words

PUMP = "end-suction/100-250"
RULES = end_suction.FAMILY.rules
MakeTables = Callable[[Mapping[str, Mapping[str, str]]], Path]
IN_THE_BOX = ("packing-ring-1", "packing-ring-2", "lantern-ring", "packing-ring-3", "packing-ring-4", "packing-ring-5", "gland")  # fmt: skip

# sealing, rule, the row that is written wrong, its wrong nominal, the piece at fault
WRONG_ROWS = [
    ("mechanical", 41, "seal-face-coil.length", "-3", "seal-face"),
    ("bellows", 41, "seal-face-bellows.length", "-3", "seal-face"),
    ("mechanical", 47, "seal-retainer.length", "21", "seal-face"),
    ("mechanical", 47, "seal-retainer.length", "30", "seal-face"),
    ("mechanical", 47, "seal-retainer.lug-inside", "58", "seal-face"),
    ("mechanical", 47, "seal-face-coil.notch-width", "5", "seal-face"),
    ("bellows", 47, "seal-bellows.carrier-bore", "56.2", "seal-face"),
    ("mechanical", 48, "impeller-seal-drive.drive-notch-depth", "3", "seal-retainer"),
    ("mechanical", 48, "impeller-seal-drive.drive-notch-width", "7", "seal-retainer"),
    ("mechanical", 48, "seal-retainer.dog-inside", "56", "seal-retainer"),
    ("bellows", 48, "seal-bellows.dog-length", "5", "seal-bellows"),
    ("mechanical", 49, "seal-spring.mean-diameter", "57", "seal-spring"),
    ("mechanical", 49, "seal-spring.coils", "6", "seal-spring"),
    ("bellows", 49, "seal-bellows.convolutions", "12", "seal-bellows"),
    ("bellows", 49, "seal-bellows.bellows-bore", "37", "seal-bellows"),
    ("packed", 42, "lantern-ring.width", "5", "lantern-ring"),
    ("packed", 42, "back-plate-packed.lantern-port", "45", "lantern-ring"),
    ("packed", 43, "gland.nose-length", "7", "gland"),
    ("packed", 43, "back-plate-packed.box-length", "61", "gland"),
    ("open", 46, "bracket-open.reservoir-pad-height", "-300", "oil-reservoir"),
    ("mechanical", 45, "bracket-enclosed.level-port-height", "16", "level-hose"),
]


@pytest.fixture(scope="module")
def packed() -> Build:
    return make_named_build(PUMP, {"shaft-seal": "packed"})


def test_a_packed_pump_breaks_no_rule(packed: Build) -> None:
    assert check_rules(packed, RULES) == ()


def test_a_packed_box_takes_the_open_bracket_and_refuses_the_closed_one(packed: Build) -> None:
    assert packed.options["bracket"] == "open"
    with pytest.raises(ImpossibleChoiceError, match="packing drips"):
        make_named_build(PUMP, {"shaft-seal": "packed", "bracket": "enclosed"})


@pytest.mark.parametrize(("sealing", "number", "row", "wrong", "piece"), WRONG_ROWS)
def test_a_row_written_wrong_breaks_its_rule_and_no_other(
    make_tables: MakeTables, sealing: str, number: int, row: str, wrong: str, piece: str
) -> None:
    tables = make_tables({row: {"nominal": wrong}})
    choices = {"open": {"bracket": "open"}, "bellows": {"seal-spring": "bellows"}}
    choice = choices.get(sealing) or {"shaft-seal": sealing}
    build = make_named_build(PUMP, choice, tables=tables)
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(number, (piece,))]


@pytest.mark.parametrize("spring", ["coil", "bellows"])
def test_the_seal_is_as_long_as_hub_and_seat_leave_it_whatever_pushes_the_face(spring: str) -> None:
    build = make_named_build(PUMP, {"seal-spring": spring})
    assert check_rules(build, RULES) == ()
    length = build.read_chain(build.clearance("seal-length"))
    assert not any(piece.startswith(("seal-face", "seal-spring")) for piece, _ in length.terms)
    assert float(length) == pytest.approx(37.5)
    filled = float(
        build.position("seal-face", "lapped-face") - build.position("impeller", "hub-seat")
    )
    assert filled == pytest.approx(float(length))


def test_a_bellows_stands_in_for_retainer_spring_and_sliding_ring() -> None:
    coil, bellows = (
        make_named_build(PUMP, {"seal-spring": value}) for value in ("coil", "bellows")
    )
    assert set(coil.pieces) - set(bellows.pieces) == {"seal-retainer", "seal-spring", "face-o-ring"}
    assert set(bellows.pieces) - set(coil.pieces) == {"seal-bellows", "bellows-o-ring"}
    assert "seal-bellows-pushes" in [work.key for work in bellows.work]


def test_packing_has_no_spring_and_a_mechanical_seal_not_none(packed: Build) -> None:
    assert packed.options["seal-spring"] == "none"
    assert "drive-notch-count" not in packed.pieces["impeller"].row
    for spring in ("coil", "bellows"):
        with pytest.raises(ImpossibleChoiceError, match="packing has no rotating face"):
            make_named_build(PUMP, {"shaft-seal": "packed", "seal-spring": spring})
    with pytest.raises(ImpossibleChoiceError, match="stay shut only because"):
        make_named_build(PUMP, {"shaft-seal": "mechanical", "seal-spring": "none"})


def test_packing_leaves_no_part_of_a_mechanical_seal(packed: Build) -> None:
    assert not any(name.startswith(("seal-", "seat-", "face-")) for name in packed.pieces)
    assert {"seal-length", "seal-line"}.isdisjoint(one.name for one in packed.clearances)
    assert "seal-spring-pushes" not in [work.key for work in packed.work]


def test_what_is_in_the_box_lies_end_to_end(packed: Build) -> None:
    last = float(packed.position("back-plate", "box-bottom"))
    for place in IN_THE_BOX:
        start = "nose-end" if place == "gland" else "suction-end"
        assert float(packed.position(place, start)) == pytest.approx(last)
        if place != "gland":
            last = float(packed.position(place, "drive-end"))


def test_each_packing_joint_stands_a_quarter_turn_from_the_one_before(packed: Build) -> None:
    turns = [packed.pieces[f"packing-ring-{n}"].pose.turn_deg for n in range(1, 6)]
    assert [(b - a) % 360 for a, b in itertools.pairwise(turns)] == pytest.approx([90.0] * 4)


def test_gland_travel_is_what_packing_and_nose_leave_of_the_box(packed: Build) -> None:
    chain = packed.position("gland", "flange-face") - packed.position("back-plate", "box-end")
    terms = {term: round(share, 9) for term, share in chain.terms.items() if round(share, 9)}
    rings = {(f"packing-ring-{n}", "width"): 1.0 for n in range(1, 6)}
    assert terms == rings | {
        ("lantern-ring", "width"): 1.0,
        ("gland", "nose-length"): 1.0,
        ("back-plate", "box-length"): -1.0,
    }
    assert float(chain) == pytest.approx(8.0)


def test_every_packing_ring_seals_between_box_and_shaft(packed: Build) -> None:
    seals = {j.members for j in packed.joints if j.kind is JointKind.SEALED}
    assert {("back-plate", f"packing-ring-{n}", "shaft-sleeve") for n in range(1, 6)} <= seals
    for n in range(1, 6):
        ring = packed.pieces[f"packing-ring-{n}"].row
        assert float(ring["box-bore"]) == float(packed.diameter("back-plate", "box-bore"))
        assert float(ring["shaft-diameter"]) == float(packed.diameter("shaft", "seal-journal"))


def test_the_gland_that_can_catch_a_sleeve_has_its_caution() -> None:
    assert load_words().has("part.gland.caution")


def test_every_rule_of_the_sealing_has_a_test_that_breaks_it() -> None:
    by_faults = {fault.rule for fault in shaft_seal.SYSTEM.faults}
    broken = {row[1] for row in WRONG_ROWS} | {OIL_LIP} | by_faults
    assert {rule.number for rule in RULES if 40 <= rule.number <= 50} <= broken


OIL_LIP = 44
BATH = ("bath-fill-plug", "bath-drain-plug", "level-fitting-lower", "level-fitting-upper", "level-hose", "bath-seal")  # fmt: skip


def test_only_the_enclosed_bracket_is_an_oil_bath() -> None:
    assert all(make_named_build(PUMP).has(place) for place in BATH)
    opened = make_named_build(PUMP, {"bracket": "open"})
    assert not any(opened.has(place) for place in BATH)
    assert check_rules(opened, RULES) == ()


@pytest.mark.parametrize(
    ("bracket", "place"), [("enclosed", "bath-seal"), ("open", "gland-lip-seal")]
)
def test_a_lip_seal_of_the_oil_put_in_the_wrong_way_round_breaks_its_rule_and_no_other(
    bracket: str, place: str
) -> None:
    sound = make_named_build(PUMP, {"bracket": bracket})
    seal = sound.pieces[place]
    turned = replace(seal, pose=replace(seal.pose, sign=-seal.pose.sign))
    build = replace(sound, pieces={**sound.pieces, place: turned})
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(OIL_LIP, (place,))]


FEED = ("seal-gland", "gland-gasket", "gland-lip-seal", "oil-reservoir", "reservoir-cap", "oil-line")  # fmt: skip


def test_only_an_open_bracket_with_a_mechanical_seal_is_fed_by_gravity(packed: Build) -> None:
    opened = make_named_build(PUMP, {"bracket": "open"})
    assert all(opened.has(place) for place in FEED)
    assert not any(packed.has(place) or make_named_build(PUMP).has(place) for place in FEED)


def test_whatever_is_screwed_into_the_bath_stands_on_a_ring_of_its_own() -> None:
    usual = make_named_build(PUMP)
    screwed = [j for j in usual.joints if j.wet and j.kind is JointKind.THREADED]
    wet = {j.members[1]: j.sealed_by for j in screwed if j.members[0] == "bracket"}
    assert wet == {
        place: (place.replace("plug", "ring").replace("fitting", "ring"),) for place in BATH[:4]
    }
