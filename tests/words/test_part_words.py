"""Every part of every pump is named and explained, and so is every material."""

from __future__ import annotations

import pytest

from models.pumps import FAMILIES
from models.spec.part import Material
from trainer.words import load_words

PLACES = sorted({name for family in FAMILIES.values() for name in family.every_place()})
# What can crush, cut, burn, fly or fall off a sling is never shown without its caution.
DANGEROUS = ["volute", "suction-cover", "impeller", "seal-spring", "shaft", "bearing-housing", "bearing-inboard", "bearing-outboard", "coupling-key", "drain-plug"]  # fmt: skip
LONGEST_NAME = 30


@pytest.mark.parametrize("place", PLACES)
def test_every_part_has_a_name_a_duty_and_its_wear(place: str) -> None:
    words = load_words()
    name = words.say(f"part.{place}.name")
    assert name[:2] == name[:2].lower() or name.startswith("O-ring"), "names stand inside sentences"
    assert len(name) <= LONGEST_NAME, "a label has to fit beside the picture"
    for about in ("duty", "wear"):
        assert words.say(f"part.{place}.{about}").endswith(".")


def test_no_text_speaks_of_a_part_that_no_pump_has() -> None:
    named = {key.split(".")[1] for key in load_words().texts if key.startswith("part.")}
    assert named <= set(PLACES)


def test_part_names_tell_parts_apart() -> None:
    words = load_words()
    names = [words.say(f"part.{place}.name") for place in PLACES]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("place", DANGEROUS)
def test_what_can_hurt_has_a_caution(place: str) -> None:
    assert load_words().has(f"part.{place}.caution")


@pytest.mark.parametrize("material", Material)
def test_every_material_has_a_name(material: Material) -> None:
    assert load_words().say(f"material.{material}.name")
