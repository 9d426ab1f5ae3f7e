"""What the order engine finds, told in a fitter's words."""

from __future__ import annotations

import pytest

from models.builds import FAMILIES, make_named_build
from models.spec.build import Build
from models.spec.joint import JointKind
from trainer.core.order.directions import SIX, Direction
from trainer.core.order.marking import MarkedStep, Verdict
from trainer.core.order.state import Held, Refused, TakenOff, Way
from trainer.words import Words, load_words
from trainer.words.telling import (
    tell_clearance,
    tell_direction,
    tell_part,
    tell_piece,
    tell_pieces,
    tell_refused,
    tell_step,
    tell_taken,
)

NUTS = tuple(f"cover-nut-{i}" for i in range(1, 9))
COVER = frozenset({"suction-cover", "wear-ring", "cover-o-ring"})
SUCTION, UP = Direction.SUCTION, Direction.UP


@pytest.fixture(scope="module")
def build() -> Build:
    return make_named_build("end-suction/100-250")


@pytest.fixture(scope="module")
def words() -> Words:
    return load_words()


def test_every_part_of_the_build_has_a_name_and_a_plural_where_there_are_several(
    words: Words, build: Build
) -> None:
    told = [tell_part(words, place) for place in build.places]
    assert len(set(told)) == len(told)
    for place, names in build.places.items():
        if len(names) > 1:
            every = tell_pieces(words, build, names)
            assert str(len(names)) in every
            assert every != f"{len(names)} {tell_part(words, place)}"


def test_every_way_has_words_of_its_own(words: Words) -> None:
    assert len({tell_direction(words, direction) for direction in SIX}) == len(SIX)


def test_piece_of_a_set_is_numbered_and_a_single_one_is_not(words: Words, build: Build) -> None:
    assert tell_piece(words, build, "impeller") == "impeller"
    assert tell_piece(words, build, "cover-nut-3") == "cover nut 3"


def test_pieces_of_one_set_are_counted_and_others_named(words: Words, build: Build) -> None:
    assert tell_pieces(words, build, [*NUTS[:3], "impeller"]) == "3 cover nuts and impeller"
    assert tell_pieces(words, build, [NUTS[4]]) == "cover nut 5"
    mixed = ["cover-nut-1", "impeller", "cover-nut-2"]
    assert tell_pieces(words, build, mixed) == "2 cover nuts and impeller"


def test_piece_coming_off_says_which_way_and_what_goes_along(words: Words, build: Build) -> None:
    alone = TakenOff("impeller", SUCTION, frozenset({"impeller"}))
    assert tell_taken(words, build, alone) == "comes off towards the suction end"
    along = tell_taken(words, build, TakenOff("suction-cover", SUCTION, COVER))
    assert along.startswith("comes off towards the suction end and takes along ")
    assert "wear ring" in along
    assert tell_piece(words, build, "suction-cover") not in along


def test_tool_is_named(words: Words, build: Build) -> None:
    told = TakenOff("wear-ring", Direction.DRIVE, frozenset({"wear-ring"}), "ring-puller")
    assert "with a ring puller" in tell_taken(words, build, told)


def test_every_tool_of_the_family_has_words(words: Words, build: Build) -> None:
    tools = {joint.tool for joint in build.joints} - {""}
    assert tools
    assert all(words.has(f"tool.{tool}") for tool in tools)


def test_unit_is_said_to_be_still_joined(words: Words, build: Build) -> None:
    told = tell_taken(words, build, TakenOff("volute", SUCTION, COVER | {"volute"}, as_unit=True))
    assert "as one unit" in told
    assert "still joined" in told


def test_held_piece_names_its_fasteners(words: Words, build: Build) -> None:
    told = tell_refused(words, build, Refused("suction-cover", (Held("cover-joint", NUTS),), None))
    assert told == "suction cover is still held by 8 cover nuts"


def test_every_joint_that_can_hold_can_be_told(words: Words, build: Build) -> None:
    for joint in build.joints:
        piece = build.pieces_at(joint.members[-1])[0]
        by = build.pieces_at((joint.fasteners or joint.members)[0])
        told = tell_refused(words, build, Refused(piece, (Held(joint.name, by),), None))
        assert told.startswith(tell_piece(words, build, piece))
        assert ("trapped" in told) is (joint.kind is JointKind.SEALED)


def blocked(travel_mm: float, direction: Direction = SUCTION) -> Refused:
    return Refused("impeller", (), Way(direction, ("tab-washer", "retaining-washer"), travel_mm))


def test_barred_piece_names_the_nearest_blocker_the_way_and_the_travel(
    words: Words, build: Build
) -> None:
    told = tell_refused(words, build, blocked(12.34))
    assert "tab washer is in the way" in told
    assert "towards the suction end" in told
    assert "12.3 mm" in told
    assert "about" not in told
    assert "retaining" not in told


def test_travel_across_the_shaft_is_only_about(words: Words, build: Build) -> None:
    assert "about 12.3 mm" in tell_refused(words, build, blocked(12.34, UP))


@pytest.mark.parametrize("direction", [SUCTION, UP])
def test_contact_is_said_without_a_travel(words: Words, build: Build, direction: Direction) -> None:
    told = tell_refused(words, build, blocked(0.0, direction))
    assert "already bears on it" in told
    assert " mm" not in told


def test_holding_and_barring_are_told_in_that_order(words: Words, build: Build) -> None:
    both = Refused("impeller", (Held("impeller-fixing", ("impeller-screw",)),),
                   Way(SUCTION, ("suction-cover",), 40.0))  # fmt: skip
    held, barred = tell_refused(words, build, both).split("; and ")
    assert "impeller screw" in held
    assert "suction cover is in the way" in barred


def test_fasteners_that_hold_and_bar_at_once_are_told_once(words: Words, build: Build) -> None:
    held = (Held("cover-joint", NUTS),)
    told = tell_refused(words, build, Refused("suction-cover", held, Way(SUCTION, NUTS, 0.0)))
    assert told == tell_refused(words, build, Refused("suction-cover", held, None))


def test_each_verdict_of_a_marked_step_is_told(words: Words, build: Build) -> None:
    off = TakenOff("impeller", SUCTION, frozenset({"impeller"}))
    free = tell_step(words, build, MarkedStep("impeller", Verdict.FREE, off))
    assert free == tell_taken(words, build, off)
    refused = blocked(5.0)
    why = tell_step(words, build, MarkedStep("impeller", Verdict.REFUSED, refused))
    assert why == tell_refused(words, build, refused)
    follows = tell_step(words, build, MarkedStep("impeller", Verdict.CONSEQUENCE, refused))
    assert why in follows
    assert "not counted" in follows
    again = tell_step(words, build, MarkedStep("impeller", Verdict.REPEATED, None))
    assert again == "is off already"


def test_every_clearance_of_every_pump_has_a_name_and_every_effect_too() -> None:
    words = load_words("en")
    for family in FAMILIES.values():
        for name, clearance in family.every_clearance().items():
            assert len(tell_clearance(words, name)) > len("gap"), name
            assert words.has(f"clearances.group-{clearance.group}")
            assert all(words.has(f"effect.{effect.key}") for effect in clearance.effects), name
