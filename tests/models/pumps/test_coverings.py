"""The stored covering lists hold only valid combinations, and every two values that go together."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.builds import FAMILIES
from models.spec.build import TABLES
from models.spec.choosing import choose, find_clashes
from models.spec.covering import (
    find_covering,
    has_many,
    list_allowed_pairs,
    list_choices,
    list_pairs,
    make_covering,
    read_covering,
    write_covering,
)
from models.spec.errors import ContentError
from models.spec.family import Family
from models.spec.seat import Option

REMEDY = "make it anew: python -m models.coverings"


MANY = [family for family in FAMILIES.values() if has_many(family)]


@pytest.mark.parametrize("family", MANY, ids=[family.name for family in MANY])
def test_the_stored_list_covers_every_allowed_pair_with_valid_builds(family: Family) -> None:
    stored = read_covering(TABLES, family)
    for choice in stored:
        assert list(find_clashes(family, choice)) == [], REMEDY
    stood = {pair for choice in stored for pair in list_pairs(choice)}
    assert stood == set(list_allowed_pairs(family)), REMEDY
    assert stored[0] == choose(family, {}), "the usual build comes first"


OPTIONS = (
    Option("a", {"a1": (), "a2": (), "a3": ()}, requires=(("a3", "b", "b2", "why"),)),
    Option("b", {"b1": (), "b2": ()}),
    Option("c", {"c1": (), "c2": ()}, excludes=(("c2", "b", "b2", "why"),)),
)
CLASHING = Family("clashing", (), (), OPTIONS)


def test_allowed_pairs_are_those_of_the_valid_combinations() -> None:
    choices = list(list_choices(CLASHING))
    every = [
        {"a": a, "b": b, "c": c}
        for a in ("a1", "a2", "a3")
        for b in ("b1", "b2")
        for c in ("c1", "c2")
    ]
    assert choices == [one for one in every if not list(find_clashes(CLASHING, one))]
    assert len(choices) == 7
    stood = {pair for choice in choices for pair in list_pairs(choice)}
    allowed = list_allowed_pairs(CLASHING)
    assert set(allowed) == stood
    assert frozenset({("a", "a3"), ("c", "c2")}) not in stood, "barred only through b"


def test_a_covering_covers_with_fewer_builds_than_there_are() -> None:
    plain = Family("plain", (), (), tuple(Option(n, {"1": (), "2": (), "3": ()}) for n in "abcde"))
    for family in (CLASHING, plain):
        made = make_covering(family)
        stood = {pair for choice in made for pair in list_pairs(choice)}
        assert stood == set(list_allowed_pairs(family))
    assert 9 <= len(made) < 30, "of 243 combinations"


def test_a_family_with_few_combinations_needs_no_stored_list(tmp_path: Path) -> None:
    assert not has_many(CLASHING)
    assert find_covering(tmp_path, CLASHING) == make_covering(CLASHING)
    lone = Family("lone", (), ())
    assert find_covering(tmp_path, lone) == [{}]


def test_a_list_made_for_other_options_is_refused_with_its_remedy(tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="is missing"):
        read_covering(tmp_path, CLASHING)
    path = write_covering(tmp_path, CLASHING)
    assert read_covering(tmp_path, CLASHING) == make_covering(CLASHING)
    sound = path.read_text(encoding="utf-8")
    path.write_text(sound + "a9,b1,c1\n", encoding="utf-8")
    with pytest.raises(ContentError, match=r"clashing.csv:\d+:1: has a value that no option has"):
        read_covering(tmp_path, CLASHING)
    path.write_text(sound.replace("a,b,c", "a,b,d"), encoding="utf-8")
    with pytest.raises(ContentError, match="names other options"):
        read_covering(tmp_path, CLASHING)
