"""Units of the bench sheet against another table of units, which the test reads itself."""

from __future__ import annotations

import pytest
from fluids import constants

from trainer.session.quantities import LENGTH_MM, PRESSURE_BAR, TORQUE_NM, Kind, read_quantity

FLUIDS = "the package fluids, module constants, run in this test"


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        pytest.param(text, kind, value, marks=pytest.mark.evidence(FLUIDS))
        for text, kind, value in (
            ("116 psi", PRESSURE_BAR, 116.0 * constants.psi / constants.bar),
            ("40 lbf ft", TORQUE_NM, 40.0 * constants.pound_force * constants.foot),
            ("19 thou", LENGTH_MM, 19.0 * constants.mil * 1000.0),
            ("0.02 in", LENGTH_MM, 0.02 * constants.inch * 1000.0),
        )
    ],
)
def test_typed_unit_is_as_large_as_another_table_has_it(
    text: str, kind: Kind, value: float
) -> None:
    assert read_quantity(text, kind) == pytest.approx(value, rel=1e-8)
