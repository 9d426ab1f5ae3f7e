"""The board of materials: each once, equal slabs, told by use; the caption's figure is that of the densities."""

from __future__ import annotations

from dataclasses import replace

import pytest

from models.builds import make_named_build
from models.exhibits import materials
from models.spec.build import TABLES, Build
from models.spec.materials import read_densities
from models.spec.rule import check_rules
from trainer.words import load_words

EXHIBIT = "materials/board"
RULES = materials.FAMILY.rules


@pytest.fixture(scope="module")
def board() -> Build:
    return make_named_build(EXHIBIT)


def test_the_board_breaks_no_rule(board: Build) -> None:
    assert check_rules(board, RULES) == ()


def test_each_pocket_holds_one_slab_from_the_upper_left(board: Build) -> None:
    spots = [board.piece_at(place).pose.origin for place in materials.SWATCHES]
    middles = [(round(float(x), 6), round(float(z), 6)) for x, _, z in spots]
    assert len(set(middles)) == 12
    assert middles == sorted(middles, key=lambda spot: (-spot[1], spot[0]))


def test_a_material_shown_twice_breaks_its_rule_and_no_other(board: Build) -> None:
    bronze, steel = board.pieces["swatch-bronze"], board.pieces["swatch-stainless"]
    twice = replace(bronze, place=replace(bronze.place, part=steel.part))
    build = replace(board, pieces={**board.pieces, "swatch-bronze": twice})
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(131, ("swatch-bronze",))]


def test_a_slab_of_another_size_breaks_its_rule_and_no_other() -> None:
    build = make_named_build(EXHIBIT, measured={("swatch-carbon", "thickness"): 11.0})
    assert [(b.number, b.pieces) for b in check_rules(build, RULES)] == [(132, ("swatch-carbon",))]


def test_every_rule_has_a_test_that_breaks_it() -> None:
    assert {rule.number for rule in RULES} == {131, 132}


def test_the_heaviest_slab_is_twelve_times_the_lightest_as_the_caption_says() -> None:
    assert "twelve times" in load_words().say("view.materials.caption")
    densities = [read_densities(TABLES)[material] for material in materials.MATERIALS]
    assert round(max(densities) / min(densities)) == 12
