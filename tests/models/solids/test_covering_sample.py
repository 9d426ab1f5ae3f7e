"""The builds of the sample are verified: nothing is other than declared, in any size, with any value."""

from __future__ import annotations

import pytest

from models.builds import FAMILIES, list_builds, make_named_build
from models.solids.verify import Problem, Verifier
from tests.covering_sample import NAMES, SAMPLE, Chosen


@pytest.fixture(scope="module")
def verifier() -> Verifier:
    return Verifier()


@pytest.mark.parametrize(("name", "chosen"), SAMPLE, ids=NAMES)
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
