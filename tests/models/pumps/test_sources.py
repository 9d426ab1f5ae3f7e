"""Every number of a chain leads back to the row of a table that it stands in."""

from __future__ import annotations

from typing import Any

from models.spec.build import Build
from models.spec.dimension import Dimension

PUMP = "end-suction/100-250"


def test_a_dimension_of_a_chain_leads_back_to_its_row(pump: Build) -> None:
    gap: Any = pump.position("back-plate", "wet-face") - pump.position("impeller", "back-vane-tip")
    rows: list[Dimension] = [pump.dimension(term) for term in gap.terms]
    assert {row.source.file for row in rows} == {f"sizes/{PUMP}.csv"}
    assert all(row.source.line > 1 for row in rows)
