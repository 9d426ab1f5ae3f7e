"""A Length against the `uncertainties` package: two independent ways to carry first derivatives."""

from __future__ import annotations

import math
import operator
import pickle
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from models.spec.length import Length

NAMES = ("bore", "nose", "shim", "hub")
SIZES = st.floats(0.5, 400.0)
VALUES = st.tuples(SIZES, SIZES, SIZES, SIZES)
OPERATIONS: dict[str, Callable[[Any, Any], Any]] = {
    "+": operator.add,
    "-": operator.sub,
    "*": operator.mul,
    "/": operator.truediv,
}
STEPS = st.lists(
    st.tuples(st.sampled_from(sorted(OPERATIONS)), st.integers(0, len(NAMES) - 1)), max_size=6
)


def _oracle_terms(result: Any, variables: list[Any]) -> dict[tuple[str, str], float]:
    derivatives = getattr(result, "derivatives", {})
    return {
        ("piece", name): float(derivatives.get(variable, 0.0))
        for name, variable in zip(NAMES, variables, strict=True)
    }


def _assert_same(mine: Length, theirs: Any, variables: list[Any], scale: float = 1.0) -> None:
    value = float(getattr(theirs, "nominal_value", theirs))
    assert float(mine) == pytest.approx(value, rel=1e-9, abs=1e-9 * scale)
    for term, derivative in _oracle_terms(theirs, variables).items():
        expected = pytest.approx(derivative, rel=1e-9, abs=1e-9 * scale)
        assert mine.terms.get(term, 0.0) == expected


@given(VALUES, STEPS)
def test_any_chain_of_operations_agrees_with_uncertainties(
    values: tuple[float, ...], steps: list[tuple[str, int]]
) -> None:
    mine = [Length.of("piece", name, value) for name, value in zip(NAMES, values, strict=True)]
    theirs = [ufloat(value, 0.01) for value in values]
    result, oracle = mine[0], theirs[0]
    largest = 1.0
    for sign, which in steps:
        result = OPERATIONS[sign](result, mine[which])
        oracle = OPERATIONS[sign](oracle, theirs[which])
        # what cancels later leaves rounding in proportion to the largest number on the way
        sizes = [abs(float(result)), *(abs(s) for s in result.terms.values())]
        largest = max(largest, *sizes) * (400.0 if sign == "*" else 1.0)
    _assert_same(result, oracle, theirs, scale=largest)


@given(VALUES, st.floats(0.5, 50.0))
def test_plain_numbers_on_either_side_agree_with_uncertainties(
    values: tuple[float, ...], number: float
) -> None:
    mine, theirs = Length.of("piece", "bore", values[0]), ufloat(values[0], 0.01)
    for operation in OPERATIONS.values():
        for result, oracle in (
            (operation(mine, number), operation(theirs, number)),
            (operation(number, mine), operation(number, theirs)),
        ):
            assert float(result) == pytest.approx(oracle.nominal_value, rel=1e-12, abs=1e-9)
            expected = pytest.approx(oracle.derivatives[theirs], rel=1e-12)
            assert result.terms["piece", "bore"] == expected


@given(SIZES, SIZES)
def test_a_root_agrees_with_uncertainties(one: float, other: float) -> None:
    a, b = Length.of("piece", "bore", one), Length.of("piece", "nose", other)
    x, y = ufloat(one, 0.01), ufloat(other, 0.01)
    root, oracle = (a * b + a).sqrt(), (x * y + x) ** 0.5
    assert float(root) == pytest.approx(oracle.nominal_value, rel=1e-12)
    assert root.terms["piece", "bore"] == pytest.approx(oracle.derivatives[x], rel=1e-9)
    assert root.terms["piece", "nose"] == pytest.approx(oracle.derivatives[y], rel=1e-9)


@given(VALUES)
def test_what_two_sums_share_cancels_and_leaves_the_chain(values: tuple[float, ...]) -> None:
    bore, nose, shim, hub = (
        Length.of("piece", name, value) for name, value in zip(NAMES, values, strict=True)
    )
    gap = (bore + nose + shim) - (nose + hub)
    assert dict(gap.terms) == {
        ("piece", "bore"): 1.0,
        ("piece", "shim"): 1.0,
        ("piece", "hub"): -1.0,
    }
    assert float(gap) == pytest.approx(values[0] + values[2] - values[3], abs=1e-9)


def test_equal_dimensions_of_two_pieces_do_not_cancel() -> None:
    gap = Length.of("shim-1", "thickness", 0.5) - Length.of("shim-2", "thickness", 0.5)
    assert float(gap) == 0.0
    assert dict(gap.terms) == {("shim-1", "thickness"): 1.0, ("shim-2", "thickness"): -1.0}


def test_a_length_less_itself_has_no_chain() -> None:
    bore = Length.of("ring", "bore", 140.0)
    assert float(bore - bore) == 0.0
    assert dict((bore - bore).terms) == {}


@pytest.mark.parametrize("value", [0.0, -4.0])
def test_a_root_at_or_below_zero_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="no usable root"):
        Length.of("ring", "bore", value).sqrt()


def test_pickling_keeps_value_and_chain() -> None:
    gap = Length.of("ring", "bore", 140.5) - Length.of("impeller", "nose", 140.0) * 0.5
    back = pickle.loads(pickle.dumps(gap))
    assert (float(back), dict(back.terms)) == (float(gap), dict(gap.terms))
    assert dict((back - gap).terms) == {}, "what was one before pickling still cancels after it"


@pytest.mark.parametrize(
    "compare", [operator.lt, operator.le, operator.gt, operator.ge, operator.eq, operator.ne]
)
@pytest.mark.parametrize("other", [Length(2.0), 2.0])
def test_comparing_is_refused_and_says_what_to_do(
    compare: Callable[[Any, Any], Any], other: object
) -> None:
    with pytest.raises(TypeError, match="compare float"):
        compare(Length(1.0), other)


def test_a_length_is_neither_true_nor_a_key() -> None:
    with pytest.raises(TypeError, match="neither true nor false"):
        bool(Length(1.0))
    with pytest.raises(TypeError, match="unhashable"):
        hash(Length(1.0))


def test_terms_cannot_be_changed_from_outside() -> None:
    given_terms = {("ring", "bore"): 1.0}
    length = Length(1.0, given_terms)
    given_terms["ring", "bore"] = 5.0
    assert length.terms["ring", "bore"] == 1.0
    with pytest.raises(TypeError):
        length.terms["ring", "bore"] = 2.0  # type: ignore[index]  # refusing this is what is tested


def test_a_length_is_a_float_to_the_mathematics_library() -> None:
    assert math.isclose(Length(2.0), 2.0)
