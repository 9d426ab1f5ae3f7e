"""Every part of every pump is named and explained, and so is every material."""

from __future__ import annotations

import pytest

from models.builds import FAMILIES
from models.spec.part import Material
from trainer.words import load_words
from trainer.words.telling_part import tell_caution

PLACES = sorted({name for family in FAMILIES.values() for name in family.every_place()})
# Kinds of part that can crush, cut, burn, fly, spurt or fall off a sling are never shown without a caution.
DANGEROUS = [
    "volute",
    "suction-cover",
    "bracket",
    "back-plate",
    "bearing-housing",
    "bearing-cap",
    "impeller",
    "shaft",
    "spool-piece",
    "separation-chamber",
    "check-valve",
    "check-cover",
    "chamber-cover",
    "bell-housing",
    "seal-spring",
    "snap-ring",
    "bearing",
    "angular-contact-bearing",
    "roller-bearing-inner-ring",
    "roller-bearing-outer-ring",
    "coupling-hub",
    "key",
    "set-screw",
    "window-guard",
    "flexible-disc",
    "wear-ring",
    "shim",
    "flat-gasket",
    "packing-ring",
    "plug",
    "sight-glass",
    "seal-seat",
    "seal-face",
    "oil-reservoir",
    "line",
    "grease-nipple",
    "vacuum-pump",
    "vacuum-bracket",
    "sheave",
    "belt",
    "belt-guard",
    "guard-back",
    "self-priming-casing",
    "inspection-cover",
    "companion-flange",
    "fill-cover",
    "hand-knob",
    "flange-shim",
]
LONGEST_NAME = 30
SHORTEST_TEXT = 60


@pytest.mark.parametrize("place", PLACES)
def test_every_part_has_a_name_a_duty_and_its_wear(place: str) -> None:
    words = load_words()
    name = words.say(f"part.{place}.name")
    assert name[:2] == name[:2].lower() or name.startswith("O-ring"), "names stand inside sentences"
    assert len(name) <= LONGEST_NAME, "a label has to fit beside the picture"
    for about in ("duty", "wear"):
        told = words.say(f"part.{place}.{about}")
        assert told.endswith(".")
        assert len(told) >= SHORTEST_TEXT, "say why it is there, and what wear looks like"


def test_no_text_speaks_of_a_part_that_no_pump_has() -> None:
    named = {key.split(".")[1] for key in load_words().texts if key.startswith("part.")}
    assert named <= set(PLACES)


def test_part_names_tell_parts_apart() -> None:
    words = load_words()
    names = [words.say(f"part.{place}.name") for place in PLACES]
    assert len(set(names)) == len(names)


def list_dangerous() -> list[str]:
    """List places of dangerous kinds, and those that critical work comes before, for somebody can be hurt there."""
    found, every = set[str](), set[str]()
    for family in FAMILIES.values():
        kinds = {name: place.part.kind for name, place in family.every_place().items()}
        every |= set(kinds.values())
        found |= {name for name, kind in kinds.items() if kind in DANGEROUS}
        found |= {work.before for work in family.work if work.critical and work.before}
    assert set(DANGEROUS) <= every
    return sorted(found)


@pytest.mark.parametrize("place", list_dangerous())
def test_what_can_hurt_has_a_caution_that_defers_to_the_maker_and_the_law(place: str) -> None:
    words = load_words()
    own, told = words.say(f"part.{place}.caution"), tell_caution(words, place)
    assert told.startswith(own)
    for higher in ("maker's manual", "local codes", "licensed practice"):
        assert higher in told


def test_a_part_without_a_caution_tells_none() -> None:
    assert tell_caution(load_words(), "cover-o-ring") == ""


@pytest.mark.parametrize("material", Material)
def test_every_material_has_a_name(material: Material) -> None:
    assert load_words().say(f"material.{material}.name")
