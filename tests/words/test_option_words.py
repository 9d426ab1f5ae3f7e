"""Every option of every family, and every value of it, has its words."""

from __future__ import annotations

from models.builds import FAMILIES
from trainer.words import load_words


def test_every_option_and_value_has_words() -> None:
    texts = load_words().texts
    wanted = {
        key
        for family in FAMILIES.values()
        for option in family.options
        for key in (
            f"option.{option.name}",
            *(f"option.{option.name}.{value}" for value in option.values),
        )
    }
    assert wanted
    assert wanted - texts.keys() == set()


def test_no_two_values_of_an_option_read_alike() -> None:
    words = load_words()
    for family in FAMILIES.values():
        for option in family.options:
            told = [words.say(f"option.{option.name}.{value}") for value in option.values]
            assert len(set(told)) == len(told), option.name
