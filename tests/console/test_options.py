"""`builds --options` tells every value, and every reason why two do not go together."""

from __future__ import annotations

from models.builds import FAMILIES
from trainer.console.show_options import describe_options, tell_options
from trainer.words import load_words


def test_every_value_and_every_reason_is_told() -> None:
    told = "\n".join(tell_options(load_words()))
    for family in FAMILIES.values():
        for option in family.options:
            assert all(value in told for value in option.values)
            for value, other, of, because in (*option.requires, *option.excludes):
                lines = [line for line in told.splitlines() if because in line]
                assert any(value in line and f"{other} {of}" in line for line in lines)


def test_as_json_the_usual_value_comes_first() -> None:
    described = {family["family"]: family["options"] for family in describe_options()}
    for name, family in FAMILIES.items():
        assert {one["option"]: one["values"] for one in described[name]} == family.option_values()
