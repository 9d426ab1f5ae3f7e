"""Chains against changing each dimension by itself; a shim moves the gap by its thickness."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.builds import make_named_build
from models.spec.build import Build
from trainer.core.measure.chain import measure_clearances
from trainer.session.typed import make_pack

PUMP = "end-suction/100-250"
BUILD = make_named_build(PUMP)
CLEARANCES = measure_clearances(BUILD)


def value_mm(build: Build, name: str) -> float:
    return float(build.read_chain(build.clearance(name)))


@settings(max_examples=20)  # a sum; each makes two pumps
@given(st.floats(0.01, 2.0), st.floats(0.01, 2.0))
def test_adding_a_shim_moves_the_gap_by_its_thickness(first_mm: float, more_mm: float) -> None:
    one = make_named_build(PUMP, pack=make_pack((first_mm,)))
    two = make_named_build(PUMP, pack=make_pack((first_mm, more_mm)))
    assert value_mm(two, "back-vane") - value_mm(one, "back-vane") == pytest.approx(
        more_mm, abs=1e-9
    )
