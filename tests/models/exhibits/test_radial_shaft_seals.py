"""Lip seal, bearing isolator and cassette seal: sound as they stand, and every rule breaks when its row is written wrong."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from models.builds import make_named_build
from models.exhibits import radial_shaft_seals
from models.spec.build import Build
from models.spec.rule import check_rules
from tests.models.exhibits.changed_tables import change_rows

EXHIBIT = "radial-shaft-seals/45"
RULES = radial_shaft_seals.FAMILY.rules

# rule, the row that is written wrong, its wrong nominal, the piece at fault
WRONG_ROWS = [
    (102, "hardened-track.length", "8", "hardened-track"),
    (103, "isolator-rotor.tooth-2-outside", "67", "isolator-rotor"),
    (103, "isolator-rotor.hub-diameter", "49.1", "isolator-rotor"),
    (103, "isolator-rotor.ring-groove-start", "9.8", "isolator-rotor"),
    (104, "isolator-rotor.tooth-length", "1", "isolator-rotor"),
    (105, "unitising-ring.bore", "48.6", "unitising-ring"),
    (105, "unitising-ring.width", "2.6", "unitising-ring"),
    (106, "isolator-rotor.groove-diameter", "46", "isolator-rotor"),
    (106, "isolator-stator.outside", "64.9", "isolator-stator"),
    (107, "cassette-sleeve.bore", "45.2", "cassette-sleeve"),
    (107, "cassette-case.outside", "74.8", "cassette-case"),
    (108, "cassette-sleeve.flange-outside", "64", "cassette-lips"),
    (109, "cassette-sleeve.rim-outside", "47", "cassette-sleeve"),
    (109, "cassette-sleeve.length", "16", "cassette-sleeve"),
]


@pytest.fixture(scope="module")
def exhibit() -> Build:
    return make_named_build(EXHIBIT)


def find_broken(build: Build) -> list[tuple[int, tuple[str, ...]]]:
    return [(broken.number, broken.pieces) for broken in check_rules(build, RULES)]


def turn_round(build: Build, place: str) -> Build:
    """Put a piece in the wrong way round."""
    piece = build.pieces[place]
    turned = replace(piece, pose=replace(piece.pose, sign=-piece.pose.sign))
    return replace(build, pieces={**build.pieces, place: turned})


def test_the_exhibit_breaks_no_rule(exhibit: Build) -> None:
    assert find_broken(exhibit) == []


@pytest.mark.parametrize(("number", "row", "wrong", "piece"), WRONG_ROWS)
def test_a_row_written_wrong_breaks_its_rule_and_no_other(
    tmp_path: Path, number: int, row: str, wrong: str, piece: str
) -> None:
    build = make_named_build(EXHIBIT, tables=change_rows(tmp_path, EXHIBIT, {row: wrong}))
    assert find_broken(build) == [(number, (piece,))]


@pytest.mark.parametrize("place", ["track-lip-seal", "cassette-lips"])
def test_a_lip_that_looks_away_from_the_fluid_breaks_its_rule_and_no_other(
    exhibit: Build, place: str
) -> None:
    assert find_broken(turn_round(exhibit, place)) == [(101, (place,))]


def test_every_rule_has_a_test_that_breaks_it() -> None:
    by_faults = {fault.rule for fault in radial_shaft_seals.FAMILY.faults}
    assert {rule.number for rule in RULES} == by_faults | {101} | {row[0] for row in WRONG_ROWS}


def test_the_labyrinth_stays_open_wherever_the_ring_lets_the_rotor_go(exhibit: Build) -> None:
    face = exhibit.read_chain(exhibit.clearance("labyrinth-face"))
    rotor, stator = (exhibit.numbers_at(name) for name in ("isolator-rotor", "isolator-stator"))
    free = rotor["ring-groove-width"] + stator["ring-groove-width"]
    float_mm = free - 2 * exhibit.numbers_at("unitising-ring")["width"]
    assert 0 < float_mm < float(face)
    assert {piece for piece, _ in face.terms} == {"isolator-rotor", "isolator-stator", "unitising-ring"}  # fmt: skip


def test_the_cassette_is_bought_as_one_so_only_its_lead_follows_shaft_and_housing(
    exhibit: Build,
) -> None:
    lead = exhibit.read_chain(exhibit.clearance("cassette-lead"))
    assert {piece for piece, _ in lead.terms} == {
        "stub-shaft", "seal-stand", "cassette-sleeve", "cassette-case",
    }  # fmt: skip
    assert exhibit.numbers_at("cassette-lips")["flange-reach"] == pytest.approx(float(lead))


def test_no_lip_of_the_cassette_runs_on_the_shaft_itself(exhibit: Build) -> None:
    lips = float(exhibit.diameter("cassette-lips", "lip"))
    assert lips == float(exhibit.diameter("cassette-sleeve", "track"))
    assert lips > float(exhibit.diameter("stub-shaft", "journal-2"))
