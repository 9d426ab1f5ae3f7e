"""Which packs a drawer can fill, by thickness: the nearest to one that is dragged, and the next thinner or thicker."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from trainer.core.measure.packs import MOST_SHIMS, Packs, StockShim, list_packs

SAME_MM = 1e-6
STEP_MM = 0.05
"""As thin as the thinnest shim that is usually kept (common practice): less than this is no step."""


class DrawerPacks:
    """All packs of a drawer by thickness; of equal thickness the one with fewest shims."""

    def __init__(self, stock: Sequence[StockShim], most: int = MOST_SHIMS) -> None:
        """List them. Raises RefusalError for an empty drawer."""
        self._packs: Packs = list_packs(stock, most)
        order = np.lexsort((self._packs.shims, self._packs.totals_mm.round(6)))
        totals = self._packs.totals_mm[order]
        first = np.concatenate([[True], np.diff(totals) > SAME_MM])
        self._places, self._totals_mm = order[first], totals[first]

    def find_nearest(self, total_mm: float) -> tuple[float, ...]:
        """Find the shims, in mm, of the pack that comes nearest to a thickness."""
        place = int(np.argmin(np.abs(self._totals_mm - total_mm)))
        return self._packs.list_shims(int(self._places[place]))

    def find_next(self, total_mm: float, by: int) -> tuple[float, ...]:
        """Find the shims, in mm, of the pack thinner (-1) or thicker (+1) by a step; at the end of the drawer the last."""
        beyond = self._totals_mm * by > total_mm * by + SAME_MM
        if not beyond.any():
            return self.find_nearest(total_mm)
        away = np.where(beyond, np.abs(self._totals_mm - total_mm - by * STEP_MM), np.inf)
        return self._packs.list_shims(int(self._places[int(np.argmin(away))]))
