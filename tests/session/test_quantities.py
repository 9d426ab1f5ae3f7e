from __future__ import annotations

import contextlib
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.spec.errors import RefusalError
from trainer.session.quantities import LENGTH_MM, PRESSURE_BAR, TORQUE_NM, Kind, read_quantity


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("0.48 mm", LENGTH_MM, 0.48),
        ("0.48mm", LENGTH_MM, 0.48),
        ("0,48 mm", LENGTH_MM, 0.48),
        (" 480 um ", LENGTH_MM, 0.48),
        ("20 thou", LENGTH_MM, 0.508),
        ("0.02 in", LENGTH_MM, 0.508),
        ("-.05 mm", LENGTH_MM, -0.05),
        ("55 N m", TORQUE_NM, 55.0),
        ("55 Nm", TORQUE_NM, 55.0),
        ("40 lbf  ft", TORQUE_NM, 54.2327),
        ("8 bar", PRESSURE_BAR, 8.0),
        ("800 kPa", PRESSURE_BAR, 8.0),
        ("0.8 MPa", PRESSURE_BAR, 8.0),
        ("116 psi", PRESSURE_BAR, 7.9979),
    ],
)
def test_number_with_its_unit_is_read(text: str, kind: Kind, value: float) -> None:
    assert read_quantity(text, kind) == pytest.approx(value, abs=1e-4)


@pytest.mark.parametrize(
    ("text", "kind", "message"),
    [
        ("0.48", LENGTH_MM, "carries no unit; write it like"),
        ("1,480 mm", LENGTH_MM, "write 1.480 or 1480"),
        ("wide", LENGTH_MM, "is no number with a unit"),
        ("0.48 furlong", LENGTH_MM, "unknown unit 'furlong'; known are mm"),
        ("nan mm", LENGTH_MM, "is no number"),
        ("inf mm", LENGTH_MM, "is no number"),
        ("1e400 mm", LENGTH_MM, "unknown unit"),
        ("0 N m", TORQUE_NM, "cannot be"),
        ("-5 bar", PRESSURE_BAR, "cannot be"),
        ("5 mm", TORQUE_NM, "unknown unit 'mm'; known are N m"),
        ("9" * 400 + " mm", LENGTH_MM, "cannot be"),
    ],
)
def test_anything_else_is_refused_with_its_remedy(text: str, kind: Kind, message: str) -> None:
    with pytest.raises(RefusalError, match=re.escape(message)):
        read_quantity(text, kind)


@given(st.floats(-99.0, 99.0), st.sampled_from(sorted(LENGTH_MM.units)))
def test_unit_round_trips(value: float, unit: str) -> None:
    read = read_quantity(f"{value:.9f} {unit}", LENGTH_MM)
    assert read / LENGTH_MM.units[unit] == pytest.approx(value, abs=1e-8)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    value = 0.0
    with contextlib.suppress(RefusalError):
        value = read_quantity(text, LENGTH_MM)
    assert LENGTH_MM.least <= value <= LENGTH_MM.most
