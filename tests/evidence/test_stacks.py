"""Tolerance stacks with known answers, summed with our own Length."""

from __future__ import annotations

import itertools
import math

import pytest

from models.spec.length import Length

Limits = dict[str, tuple[float, float]]
STK_1: Limits = {"a": (1.750, 0.003), "b": (0.750, 0.001), "c": (0.120, 0.005), "d": (0.875, 0.001)}
STK_2: Limits = {"a": (1.500, 0.001), "b": (2.000, 0.003), "c": (3.000, 0.004), "d": (6.520, 0.010)}


def _lengths(limits: Limits) -> dict[str, Length]:
    return {name: Length.of("stack", name, value) for name, (value, _) in limits.items()}


def _worst(chain: Length, limits: Limits) -> float:
    return sum(abs(s) * limits[name][1] for (_, name), s in chain.terms.items())


def _root_sum_square(chain: Length, limits: Limits) -> float:
    return math.sqrt(sum((s * limits[name][1]) ** 2 for (_, name), s in chain.terms.items()))


@pytest.mark.evidence(
    "Shigley, Mechanical Engineering Design; section 1-14, shouldered screw", from_memory=True
)
def test_the_shouldered_screw() -> None:
    part = _lengths(STK_1)
    gap = part["a"] - part["b"] - part["c"] - part["d"]
    assert float(gap) == pytest.approx(0.005, abs=1e-12)
    assert _worst(gap, STK_1) == pytest.approx(0.010, abs=1e-12)
    assert _root_sum_square(gap, STK_1) == pytest.approx(0.006, abs=1e-12)
    # so that the least gap is 0.003, d must be 0.867
    needed = 0.875 + float(gap) - _worst(gap, STK_1) - 0.003
    assert needed == pytest.approx(0.867, abs=1e-12)


@pytest.mark.evidence(
    "Shigley, Mechanical Engineering Design; problem of chapter 1, stack of four, d 6.528"
)
def test_the_published_stack_of_four() -> None:
    part = _lengths(STK_2)
    gap = part["d"] - part["a"] - part["b"] - part["c"]
    assert float(gap) == pytest.approx(0.020, abs=1e-12)
    assert _worst(gap, STK_2) == pytest.approx(0.018, abs=1e-12)
    assert _root_sum_square(gap, STK_2) == pytest.approx(0.01122, abs=5e-6)
    needed = 6.520 + 0.010 - (float(gap) - _worst(gap, STK_2))
    assert needed == pytest.approx(6.528, abs=1e-12)


@pytest.mark.evidence("closed form: every dimension at each end of its limits")
@pytest.mark.parametrize("limits", [STK_1, STK_2])
def test_the_worst_case_is_the_extreme_of_all_corners(limits: Limits) -> None:
    signs = dict(zip("abcd", (1, -1, -1, -1) if limits is STK_1 else (-1, -1, -1, 1), strict=True))
    part = _lengths(limits)
    gap = sum((part[name] * float(sign) for name, sign in signs.items()), Length(0))
    corners = [
        sum(
            sign * (limits[name][0] + end * limits[name][1])
            for (name, sign), end in zip(signs.items(), ends, strict=True)
        )
        for ends in itertools.product((-1, 1), repeat=4)
    ]
    assert max(corners) == pytest.approx(float(gap) + _worst(gap, limits), abs=1e-12)
    assert min(corners) == pytest.approx(float(gap) - _worst(gap, limits), abs=1e-12)


@pytest.mark.evidence(
    "Chase, Basic Tools for Tolerance Analysis; chapter 7, shaft and bearings", from_memory=True
)
def test_the_shaft_and_bearing_stack() -> None:
    halves = (0.0015, 0.008, 0.0025, 0.002, 0.006, 0.002, 0.0025)
    limits = {f"d{i}": (1.0, half) for i, half in enumerate(halves)}
    chain = sum(
        (length * (-1.0) ** i for i, length in enumerate(_lengths(limits).values())), Length(0)
    )
    assert _worst(chain, limits) == pytest.approx(0.0245, abs=1e-12)
    assert _root_sum_square(chain, limits) == pytest.approx(0.01108, abs=5e-6)
