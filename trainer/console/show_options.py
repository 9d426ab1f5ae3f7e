"""Show every option of every family: its values, and what requires or excludes what, with the reason."""

from __future__ import annotations

from typing import Any

from models.builds import FAMILIES
from models.spec.seat import Option
from trainer.words import Words


def describe_options() -> list[dict[str, Any]]:
    """Describe the options of every family as JSON; the usual value comes first."""
    return [
        {"family": family.name, "options": [_describe_option(one) for one in family.options]}
        for family in FAMILIES.values()
    ]


def _describe_option(option: Option) -> dict[str, Any]:
    columns = ("value", "option", "of", "because")
    return {
        "option": option.name,
        "values": list(option.values),
        "requires": [dict(zip(columns, row, strict=True)) for row in option.requires],
        "excludes": [dict(zip(columns, row, strict=True)) for row in option.excludes],
    }


def tell_options(words: Words) -> list[str]:
    """Tell of the options of every family, a line each, and a line for each reason that bars or asks."""
    told = []
    for family in describe_options():
        told.append(words.say("options.title", family=family["family"]))
        for option in family["options"]:
            values = words.say("options.usual", value=option["values"][0])
            others = ", ".join(option["values"][1:])
            told.append(
                words.say("options.line", option=option["option"], usual=values, others=others)
            )
            told += [
                words.say(
                    f"options.{kind}", option=option["option"], value=row["value"],
                    other=row["option"], of=row["of"], because=row["because"],
                )
                for kind in ("requires", "excludes")
                for row in option[kind]
            ]  # fmt: skip
    return told
