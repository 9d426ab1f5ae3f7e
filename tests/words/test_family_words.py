"""Every family is named in words, no two alike."""

from __future__ import annotations

from models.builds import FAMILIES
from trainer.words import load_words


def test_every_family_has_a_name_of_its_own() -> None:
    words = load_words()
    names = [words.say(f"family.{name}") for name in FAMILIES]
    assert len(set(names)) == len(FAMILIES)
