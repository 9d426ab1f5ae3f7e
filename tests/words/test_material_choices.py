"""Every part can be had in something, the usual first; the table refuses what it does not mean."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.builds import FAMILIES
from models.spec.build import TABLES
from models.spec.errors import ContentError
from models.spec.material_choices import find_choices, read_material_choices
from models.spec.part import Part
from models.spec.seat import Place
from trainer.words import load_words

CHOICES = read_material_choices(TABLES)


def list_parts() -> list[tuple[str, Part]]:
    """List every place of every family with each part that may fill it."""
    found = {}
    for family in FAMILIES.values():
        values = [value for option in family.options for value in option.values.values()]
        fills = [
            fill for value in (family.always, *values) for fill in value if isinstance(fill, Place)
        ]
        for place in (*family.places, *fills):
            found[place.name, place.part.kind] = place.part
    return [(name, part) for (name, _), part in found.items()]


@pytest.mark.parametrize(("place", "part"), list_parts(), ids=lambda one: getattr(one, "kind", one))
def test_every_part_can_be_had_in_what_it_is_drawn_in_and_in_something_else(
    place: str, part: Part
) -> None:
    usual, *others = find_choices(CHOICES, place, part.kind)
    assert usual.material == part.material.value
    assert others != []


def test_every_choice_is_named_and_reasoned_in_words() -> None:
    words = load_words()
    for choices in CHOICES.values():
        for choice in choices:
            assert words.say(f"material.{choice.material}.name")
            assert words.say(f"material-when.{choice.when}")


def test_no_row_and_no_reason_stands_unused() -> None:
    parts = list_parts()
    known = {place for place, _ in parts} | {part.kind for _, part in parts}
    assert set(CHOICES) <= known
    used = {choice.when for choices in CHOICES.values() for choice in choices}
    heads = "material-when."
    assert {key.removeprefix(heads) for key in load_words().texts if key.startswith(heads)} == used


def test_a_place_of_its_own_goes_before_its_kind() -> None:
    assert find_choices(CHOICES, "casing-gasket", "flat-gasket") == CHOICES["casing-gasket"]
    assert find_choices(CHOICES, "suction-gasket", "flat-gasket") == CHOICES["flat-gasket"]
    assert find_choices(CHOICES, "no-place", "no-kind") == ()


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ("gland.bronze,sea-water", "gland, and no other"),
        ("gland.bronze,usual\ngland.steel,usual-too", "material-choices.csv:3"),
        ("gland.bronze,usual\ngland.bronze,wet", "stands twice"),
        ("gland,usual", "names no part"),
        ("gland.bronze,", "no reason"),
    ],
)
def test_a_wrong_table_is_refused_with_its_line(tmp_path: Path, rows: str, told: str) -> None:
    (tmp_path / "material-choices.csv").write_text(f"choice,when\n{rows}\n", encoding="utf-8")
    with pytest.raises(ContentError, match=told):
        read_material_choices(tmp_path)


def test_another_heading_is_refused(tmp_path: Path) -> None:
    (tmp_path / "material-choices.csv").write_text("part,when\n", encoding="utf-8")
    with pytest.raises(ContentError, match="another heading"):
        read_material_choices(tmp_path)
