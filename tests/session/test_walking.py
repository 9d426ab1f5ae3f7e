"""What `verify --all` walks: of few combinations every one, of many a list in which every two values meet."""

from __future__ import annotations

import itertools

import pytest

from models.builds import FAMILIES, list_builds
from models.spec.build import TABLES
from models.spec.covering import find_covering, list_allowed_pairs, list_pairs
from models.spec.family import System, join_systems
from models.spec.seat import Option
from trainer.session import walking
from trainer.session.walking import plan_walk, share_out


def test_of_many_combinations_every_two_values_meet_and_every_size_has_every_value() -> None:
    walk = plan_walk()
    assert walk.is_covering
    assert walk.combinations > len(walk.steps)
    assert len(set(map(str, walk.steps))) == len(walk.steps)
    for family in FAMILIES.values():
        names = [name for name, of in list_builds().items() if of is family]
        mine = [(name, choice) for name, choice in walk.steps if name in names]
        met = set().union(*(list_pairs(choice) for _, choice in mine))
        assert met == set(list_allowed_pairs(family))
        values = {(name, pair) for name, choice in mine for pair in choice.items()}
        wanted = {(o, v) for o, known in family.option_values().items() for v in known}
        assert values == set(itertools.product(names, wanted))
        assert len(mine) <= len(names) * len(find_covering(TABLES, family))


def test_of_few_combinations_every_one_is_walked(monkeypatch: pytest.MonkeyPatch) -> None:
    options = (
        Option("a", {"1": (), "2": ()}, excludes=(("2", "b", "2", "there is no room"),)),
        Option("b", {"1": (), "2": (), "3": ()}),
    )
    family = join_systems("small", System(options=options))
    monkeypatch.setattr(
        walking, "list_builds", lambda _tables: {"small/1": family, "small/2": family}
    )
    walk = plan_walk()
    assert not walk.is_covering
    assert len(walk.steps) == walk.combinations == 2 * 5
    assert len(set(map(str, walk.steps))) == 10


def test_one_size_walks_the_whole_list() -> None:
    covering = [{"a": "1", "b": "1"}, {"a": "2", "b": "2"}]
    assert share_out(["x"], covering) == [("x", covering[0]), ("x", covering[1])]
    assert share_out(["x", "y"], covering) == [
        ("x", covering[0]), ("x", covering[1]), ("y", covering[1]), ("y", covering[0]),
    ]  # fmt: skip
