"""Packing as cut and squeezed: its volume is kept, the gland travels by what it loses, and rules break on a wrong row."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from models.builds import make_named_build
from models.exhibits import packing
from models.spec.build import Build
from models.spec.rule import check_rules
from tests.models.exhibits.changed_tables import change_rows

EXHIBIT = "packing/38"
RULES = packing.FAMILY.rules

# rule, the row that is written wrong, its wrong nominal, the pieces at fault
WRONG_ROWS = [
    (42, "lantern-ring.width", "5", ("lantern-ring",)),
    (42, "back-plate-packed.lantern-port", "45", ("lantern-ring",)),
    (43, "gland.nose-length", "2", ("gland",)),
    (121, "gland.bore", "37.5", ("gland",)),
    (121, "gland.bore", "38.3", ("gland",)),
    (122, "gland-stud.length", "48", ("gland-nut-1", "gland-nut-2")),
    (123, "packing-ring.free-outside", "50", packing.RINGS),
]


@pytest.fixture(scope="module")
def touching() -> Build:
    return make_named_build(EXHIBIT, {"gland": "just-touching"})


@pytest.fixture(scope="module")
def pulled_up() -> Build:
    return make_named_build(EXHIBIT, {"gland": "pulled-up"})


def find_broken(build: Build) -> list[tuple[int, tuple[str, ...]]]:
    return [(broken.number, broken.pieces) for broken in check_rules(build, RULES)]


def test_the_exhibit_breaks_no_rule(touching: Build, pulled_up: Build) -> None:
    assert find_broken(touching) == find_broken(pulled_up) == []


@pytest.mark.parametrize(("number", "row", "wrong", "pieces"), WRONG_ROWS)
def test_a_row_written_wrong_breaks_its_rule_and_no_other(
    tmp_path: Path, number: int, row: str, wrong: str, pieces: tuple[str, ...]
) -> None:
    build = make_named_build(EXHIBIT, tables=change_rows(tmp_path, EXHIBIT, {row: wrong}))
    assert find_broken(build) == [(number, pieces)]


def test_joints_in_line_break_their_rule_and_no_other(touching: Build) -> None:
    before, after = (touching.pieces[f"packing-ring-{n}"] for n in (3, 4))
    turned = replace(after, pose=replace(after.pose, turn_deg=before.pose.turn_deg))
    build = replace(touching, pieces={**touching.pieces, after.name: turned})
    assert find_broken(build) == [(50, (after.name,))]


def test_every_rule_has_a_test_that_breaks_it() -> None:
    assert {rule.number for rule in RULES} == {50} | {row[0] for row in WRONG_ROWS}


def _volume(build: Build, ring: str) -> float:
    inside, outside = (float(build.diameter(ring, face)) for face in ("inside", "outside"))
    width = float(build.position(ring, "drive-end") - build.position(ring, "suction-end"))
    return (outside**2 - inside**2) * width


@pytest.mark.parametrize("ring", packing.RINGS)
def test_a_squeezed_ring_fills_the_box_and_keeps_its_volume(
    touching: Build, pulled_up: Build, ring: str
) -> None:
    bore = float(pulled_up.diameter("stuffing-box", "box-bore"))
    shaft = float(pulled_up.diameter("stub-shaft", "journal-1"))
    assert float(pulled_up.diameter(ring, "outside")) == bore
    assert float(pulled_up.diameter(ring, "inside")) == shaft
    assert shaft < float(touching.diameter(ring, "inside"))
    assert float(touching.diameter(ring, "outside")) < bore
    assert _volume(pulled_up, ring) == pytest.approx(_volume(touching, ring))


def test_the_gland_travels_by_what_five_rings_lose(touching: Build, pulled_up: Build) -> None:
    left = [
        float(b.position("gland", "flange-face") - b.position("stuffing-box", "box-end"))
        for b in (touching, pulled_up)
    ]
    share = float(pulled_up.results["packing-shortened"]) / 100
    free = touching.numbers_at("packing-ring-1")["free-width"]
    assert left[0] - left[1] == pytest.approx(5 * free * share)
    assert float(touching.results["packing-shortened"]) == pytest.approx(0.0)
    assert 0.05 < share < 0.15


def test_lantern_and_nuts_follow_the_gland(touching: Build, pulled_up: Build) -> None:
    lantern, nut = (
        [float(b.position(*face)) for b in (touching, pulled_up)]
        for face in (("lantern-ring", "suction-end"), ("gland-nut", "bearing-face"))
    )
    assert 0 < lantern[0] - lantern[1] < nut[0] - nut[1]


@pytest.mark.parametrize("name", [EXHIBIT, "end-suction/100-250"])
def test_the_glands_ears_stand_where_its_studs_are(name: str) -> None:
    options = {} if name == EXHIBIT else {"shaft-seal": "packed"}
    build = make_named_build(name, options)
    # the ears lie sideways in the part's own frame, so it may not be turned like a packing ring
    assert build.pieces["gland"].pose.turn_deg == 0.0
    for stud in build.pieces_at("gland-stud"):
        assert float(build.pieces[stud].pose.origin[2]) == pytest.approx(0.0, abs=1e-9)
