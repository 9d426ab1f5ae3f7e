"""Builds in which every value of every option, and every size, is verified at least once.

`verify --all` walks every combination or the whole covering list, which takes longer than a change
may wait for; this sample of that list is what every change is held against.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping

import pytest

from models.pumps import FAMILIES, list_builds, make_named_build
from models.solids.verify import Problem, Verifier
from models.spec.build import TABLES
from models.spec.covering import read_covering

Chosen = Mapping[str, str]


def choose_sample(covering: list[dict[str, str]]) -> list[Chosen]:
    """Choose few of the combinations so that every value stands in one: always the one with most that none has yet."""
    left = {pair for choice in covering for pair in choice.items()}
    sample: list[Chosen] = []
    while left:
        best = max(covering, key=lambda choice: len(left & choice.items()))
        sample.append(best)
        left -= best.items()
    return sample


def list_sample() -> Iterator[tuple[str, Chosen]]:
    """List the builds: the sizes take turns with the combinations, and every size has one at least."""
    for family in FAMILIES.values():
        sizes = [name for name, of in list_builds().items() if of is family]
        sample = choose_sample(read_covering(TABLES, family))
        turns = max(len(sample), len(sizes))
        yield from itertools.islice(
            zip(itertools.cycle(sizes), itertools.cycle(sample), strict=False), turns
        )


SAMPLE = list(list_sample())


@pytest.fixture(scope="module")
def verifier() -> Verifier:
    return Verifier()


@pytest.mark.parametrize(
    ("name", "chosen"), SAMPLE, ids=[f"{name}-{i}" for i, (name, _) in enumerate(SAMPLE)]
)
def test_nothing_is_other_than_declared(name: str, chosen: Chosen, verifier: Verifier) -> None:
    before = len(verifier.report.problems)
    verifier.check(make_named_build(name, chosen))
    found: list[Problem] = verifier.report.problems[before:]
    assert found == []


def test_the_sample_has_every_size_and_every_value() -> None:
    assert {name for name, _ in SAMPLE} == set(list_builds())
    for family in FAMILIES.values():
        values = {
            pair
            for name, chosen in SAMPLE
            if name.startswith(f"{family.name}/")
            for pair in chosen.items()
        }
        wanted = {(o, v) for o, known in family.option_values().items() for v in known}
        assert values == wanted
