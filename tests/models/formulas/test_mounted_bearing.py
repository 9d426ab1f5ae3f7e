"""What mounting leaves of a bearing's clearance, and what heat a seat asks for: limits and senses of every term."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.builds import make_named_build
from models.formulas.bearing_clearance import find_residual_clearance
from models.formulas.mounting import MOST_C, MOST_SEALED_C, Warmth, find_heating
from models.spec.build import TABLES, Build
from models.spec.errors import ContentError, RefusalError
from models.spec.length import Length
from models.spec.table import list_sizes
from models.systems.mounted_bearings import find_mounted, list_mounted
from trainer.core.measure.chain import find_worst, list_links

PUMP = "end-suction/100-250"


@pytest.fixture(scope="module")
def pump() -> Build:
    return make_named_build(PUMP)


def _leave(on_shaft_mm: float, in_housing_mm: float, warmer_k: float = 0.0) -> float:
    return float(
        find_residual_clearance(
            Length(0.024), Length(on_shaft_mm), Length(in_housing_mm),
            inner_share=0.8, outer_share=0.5, outer_raceway_mm=80.0, expansion_per_k=12.5e-6, inner_warmer_k=warmer_k,
        )
    )  # fmt: skip


@given(st.floats(-0.05, 0.05), st.floats(-0.05, 0.05), st.floats(0.0, 30.0))
def test_only_what_is_tight_or_warm_takes_clearance(
    on_shaft_mm: float, in_housing_mm: float, warmer_k: float
) -> None:
    tight = 0.8 * max(on_shaft_mm, 0.0) + 0.5 * max(in_housing_mm, 0.0)
    left = _leave(on_shaft_mm, in_housing_mm, warmer_k)
    assert left == pytest.approx(0.024 - tight - 12.5e-6 * warmer_k * 80.0, abs=1e-12)


def test_the_chain_of_a_mounted_bearing_is_clearance_seat_and_bore(pump: Build) -> None:
    left = find_mounted(pump, "bearing-inboard").find_residual()
    assert set(left.terms) == {
        ("bearing-inboard", "internal-clearance"),
        ("bearing-inboard", "bore"),
        ("shaft", "inboard-diameter"),
    }
    assert left.terms["shaft", "inboard-diameter"] == -left.terms["bearing-inboard", "bore"] < 0.0
    low, high = find_worst(float(left), list_links(pump, left))
    assert low < 0.0 < high  # C3 on k5 may be left without clearance: taught, not hidden


def test_a_bearing_measured_tight_in_its_housing_loses_clearance_there_too() -> None:
    measured = {
        ("bearing-housing", "outboard-bore"): 109.98,
        ("bearing-outboard", "outside"): 110.0,
    }
    tight, loose = (
        float(find_mounted(make_named_build(PUMP, measured=values), "bearing-outboard").find_residual())
        for values in (measured, {})
    )  # fmt: skip
    assert tight < loose


@pytest.mark.parametrize("family", ["end-suction", "self-priming", "rolling-bearings"])
def test_every_bearing_has_the_clearance_of_its_own_bore(family: str) -> None:
    found = 0
    for size in list_sizes(TABLES, family):
        for options in ({}, {"bearings": "double-row-and-roller"}):
            if family == "rolling-bearings" and options:
                continue
            build = make_named_build(f"{family}/{size}", options)
            for place in list_mounted(build):
                found += 1
                assert float(find_mounted(build, place).find_residual()) > 0.0
    assert found >= 2


def test_a_bearing_of_another_step_is_refused(make_tables: Any) -> None:
    tables = make_tables({"bearing-inboard.clearance-class": {"nominal": "50 C3"}})
    build = make_named_build(PUMP, tables=tables)
    with pytest.raises(ContentError, match=r"over 40 up to 50 mm, bearing-inboard has 40 mm"):
        find_mounted(build, "bearing-inboard")


def test_what_has_no_clearance_of_its_own_is_refused_with_near_matches() -> None:
    build = make_named_build(PUMP, {"bearings": "roller-and-angular-pair"})
    with pytest.raises(RefusalError, match="roller-inner-ring"):
        find_mounted(build, "bearing-paired")
    with pytest.raises(RefusalError, match="no deep groove bearing"):
        find_mounted(build, "roller-inner-ring").find_axial_play()


@given(st.floats(10.0, 200.0), st.floats(0.0, 0.08), st.floats(0.0, 0.08))
def test_a_tighter_seat_asks_for_more_heat(bore_mm: float, one_mm: float, other_mm: float) -> None:
    less, more = sorted((one_mm, other_mm))
    assert (
        find_heating(bore_mm, less, 12.5e-6).temperature_c
        <= find_heating(bore_mm, more, 12.5e-6).temperature_c
    )


def test_a_loose_seat_asks_for_no_more_than_the_slack_it_lacks() -> None:
    assert find_heating(50.0, -0.5, 12.5e-6).temperature_c == 20.0


@pytest.mark.parametrize(
    ("interference_mm", "sealed", "warmth"),
    [
        (0.015, False, Warmth.SAFE),
        (0.035, False, Warmth.HOT),
        (0.045, False, Warmth.TOO_HOT),
        (0.015, True, Warmth.TOO_HOT),
    ],
)
def test_too_much_heat_is_warned_of(interference_mm: float, sealed: bool, warmth: Warmth) -> None:
    heating = find_heating(50.0, interference_mm, 12.5e-6, sealed=sealed)
    assert heating.warmth is warmth
    assert heating.most_c == (MOST_SEALED_C if sealed else MOST_C)


def test_what_cannot_be_heated_is_refused() -> None:
    with pytest.raises(ValueError, match="no temperature"):
        find_heating(0.0, 0.02, 12.5e-6)
