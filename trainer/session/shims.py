"""Answer the assembler: which shims, how sure, and what else they move."""

from __future__ import annotations

from collections.abc import Sequence

from models.spec.build import TABLES
from trainer.core.measure.shims import MeasuredGap, ShimAnswer, StockShim, choose_pack
from trainer.session.bench import Bench

DEPOT_DRAWER = TABLES / "stock" / "depot-drawer.csv"
"""The demonstration drawer of the Saltmarsh Levels drainage depot (invented)."""


def answer_shims(
    bench: Bench, clearance: str, stock: Sequence[StockShim], found: MeasuredGap | None = None
) -> ShimAnswer:
    """Choose the pack for a clearance of a bench, measured values of the bench included.

    Raises:
        RefusalError: unknown clearance (with near matches), or one that shims do not move.
    """
    return choose_pack(bench.clearances, bench.clearance(clearance).name, stock, found)
