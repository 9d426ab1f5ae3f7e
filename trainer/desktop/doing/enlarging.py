"""Show a gap larger than it is in the picture, by a factor that is always stated there."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QTimer

from trainer.desktop.picture.chain_tracing import ChainTracing
from trainer.stage.enlarged import Enlarged, enlarge

if TYPE_CHECKING:
    from models.spec.assembly import Assembly
    from trainer.desktop.window import PumpWindow

FACTORS = (5.0, 10.0, 25.0, 50.0)
CLEAR_PX = 14.0
"""A gap so wide in the picture is seen from the back of a class."""
Offsets = Mapping[str, npt.NDArray[np.float64]]


class Enlarging:
    """Part the two faces of the gap that is measured, in the picture alone: no number changes."""

    def __init__(self, window: PumpWindow, tracing: ChainTracing) -> None:
        self._window, self._tracing = window, tracing
        self._enlarged: Enlarged | None = None
        self._is_shown = False
        self._soon = QTimer(window, singleShot=True, interval=0)
        self._soon.timeout.connect(self._draw)
        self.factor = 1.0
        self.factors: tuple[float, ...] = (1.0,)

    def offer(self, name: str) -> tuple[float, ...]:
        """Find by which factors a gap can be shown larger, 1 first; only that where it cannot."""
        bench, assembly = self._window.bench, self._window.assembly
        assert bench is not None
        assert assembly is not None
        clearance = bench.build.clearance(name)
        can = [one for one in FACTORS if enlarge(bench.build, assembly, clearance, one) is not None]
        self.factors = (1.0, *can)
        return self.factors

    def choose(self, gap_mm: float, mm_per_px: float) -> float:
        """Choose the least factor at which the gap is clearly seen; the largest there is where none does."""
        return next(
            (one for one in self.factors if one * gap_mm / mm_per_px >= CLEAR_PX), self.factors[-1]
        )

    def plan(self, name: str, factor: float) -> None:
        """Let the gap be so many times its size from the next `show` on; the arrows can go there already."""
        window, words = self._window, self._window.words
        bench, assembly = window.bench, window.assembly
        assert bench is not None
        assert assembly is not None
        self.factor = factor
        self._enlarged = None
        if factor > 1.0:
            self._enlarged = enlarge(bench.build, assembly, bench.build.clearance(name), factor)
        told = words.say("measure.factor", factor=words.number(factor, 0))
        self._tracing.factor_text = told if self._enlarged else ""

    def show(self) -> None:
        """Show in the picture what is planned, unless nothing is other than it is."""
        if self._enlarged is None and not self._is_shown:
            return
        self._window.view.set_offsets(self.add_to({}))
        self._soon.start()

    @property
    def is_waiting(self) -> bool:
        """Are the pieces that are drawn out still to be made?"""
        return self._soon.isActive()

    def _draw(self) -> None:
        """Make the pieces that are drawn out; it takes a moment, so it is a turn of its own."""
        window, assembly = self._window, self._window.assembly
        if assembly is None:
            return
        self._is_shown = self._enlarged is not None
        window.view.show_assembly(self.draw_out(assembly))
        if window.light is not None:
            window.view.show_light(self.draw_out(window.light))

    def stop(self) -> None:
        """Show the gap as it is."""
        self._enlarged, self._tracing.factor_text = None, ""
        self.factor, self.factors = 1.0, (1.0,)
        self.show()

    def forget(self) -> None:
        """Another assembly has come: what was drawn out is no longer there."""
        self._enlarged, self.factor, self._tracing.factor_text = None, 1.0, ""
        self._is_shown = False
        self._soon.stop()

    def draw_out(self, assembly: Assembly) -> Assembly:
        """Give an assembly as it is shown now."""
        return self._enlarged.draw_out(assembly) if self._enlarged else assembly

    def add_to(self, offsets: Offsets) -> Offsets:
        """Add to where pieces stand how far they are moved to show the gap."""
        if self._enlarged is None:
            return offsets
        more, home = self._enlarged.find_offsets(), np.zeros(3)
        return dict(offsets) | {name: offsets.get(name, home) + by for name, by in more.items()}

    def shift(self, piece: str, point: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
        """Give where a point (3,) mm of a piece is seen now."""
        return point if self._enlarged is None else point + self._enlarged.shift(piece, point)
