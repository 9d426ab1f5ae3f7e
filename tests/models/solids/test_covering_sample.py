"""The builds of the sample are verified: nothing is other than declared, in any size, with any value.

What `verify` measured before is remembered here as in the program: by the content of both solids, how they lie, the
code that measures and the kernel's version, so that whatever changed is measured anew. The judging is done each time.
"""

from __future__ import annotations

import pytest

from models.builds import FAMILIES, list_builds, make_named_build
from models.exhibits import EXHIBITS
from models.solids.memory import FactMemory
from models.solids.verify import Problem, Verifier
from tests.covering_sample import NAMES, SAMPLE, Chosen

pytestmark = pytest.mark.xdist_group(
    "verified"
)  # builds share most of their pairs: one process measures them once


@pytest.fixture(scope="module")
def verifier() -> Verifier:
    return Verifier(memory=FactMemory())


@pytest.mark.parametrize(("name", "chosen"), SAMPLE, ids=NAMES)
def test_nothing_is_other_than_declared(name: str, chosen: Chosen, verifier: Verifier) -> None:
    before = len(verifier.report.problems)
    verifier.check(make_named_build(name, chosen))
    found: list[Problem] = verifier.report.problems[before:]
    assert found == []


def test_the_sample_has_every_size_and_every_value_of_a_pump() -> None:
    assert {name for name, _ in SAMPLE} == set(list_builds())
    pumps = [family for family in FAMILIES.values() if family not in EXHIBITS]
    wanted = {
        (option, value)
        for family in pumps
        for option, known in family.option_values().items()
        for value in known
    }
    stood = {pair for _, chosen in SAMPLE for pair in chosen.items()}
    assert wanted <= stood
