"""Zero wrong relations: every family with known blocking, every pair, every direction."""

from __future__ import annotations

import pytest
from hypothesis import given, note, settings
from hypothesis import strategies as st

from tests.core.order.ground_truth.case import Case, find_wrong
from tests.core.order.ground_truth.families import FAMILIES


def check(case: Case, turns: int) -> None:
    rolled = case.roll(turns)
    wrong = find_wrong(rolled)
    note("\n".join(f"{name}: {body}" for name, body in rolled.bodies.items()))
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("family", FAMILIES)
@settings(max_examples=12)
@given(data=st.data())
def test_no_relation_is_wrong(family: str, data: st.DataObject) -> None:
    check(data.draw(FAMILIES[family]), data.draw(st.integers(0, 2)))


@pytest.mark.long
@pytest.mark.parametrize("family", FAMILIES)
@settings(max_examples=400)
@given(data=st.data())
def test_no_relation_of_many_is_wrong(family: str, data: st.DataObject) -> None:
    check(data.draw(FAMILIES[family]), data.draw(st.integers(0, 2)))
