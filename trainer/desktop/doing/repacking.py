"""Try another pack of shims while a gap is measured: dragged at its arrow, or step by step; the solids follow."""

from __future__ import annotations

from typing import TYPE_CHECKING

from trainer.core.measure.rests import find_shim_sensitivity
from trainer.session.drawer_packs import DrawerPacks

if TYPE_CHECKING:
    from trainer.desktop.doing.measuring import Measuring
    from trainer.desktop.window import PumpWindow

MM_PER_PX = 0.005
"""How much thicker the pack gets for each pixel that its grip is dragged."""
THINNEST_MM = 0.05
SAME_MM = 1e-6


class Repacking:
    """Hold the pack that is tried; nothing is put in before it is let go."""

    def __init__(self, measuring: Measuring, window: PumpWindow) -> None:
        self._measuring, self._window = measuring, window
        self._packs: DrawerPacks | None = None
        self._pack: tuple[float, ...] = ()

    def find_built_mm(self) -> float:
        """Give how thick the pack is that is in, in mm."""
        bench = self._window.bench
        assert bench is not None
        return sum(float(shim.middle) for shim in bench.build.pack)

    def pull(self, px: float, free: bool) -> None:  # noqa: FBT001 - as a tracing calls it
        """Try a pack that is thicker by what the grip was dragged: one from the drawer, or any if free."""
        total = max(self.find_built_mm() + px * MM_PER_PX, THINNEST_MM)
        self._pack = () if free else self._find_packs().find_nearest(total)
        self._try(sum(self._pack) if self._pack else total)

    def drop(self) -> None:
        """Put the pack in that was dragged to; the solids follow."""
        if self._pack and not self._is_in(self._pack):
            self._window.shims.change(self._pack)

    def step(self, by: int) -> None:
        """Put the next thinner (-1) or thicker (+1) pack in."""
        self._pack = self._find_packs().find_next(sum(self._window.shims.pack), by)
        self._try(sum(self._pack))
        self.drop()

    def _try(self, total_mm: float) -> None:
        words, tracing = self._window.words, self._measuring.tracing
        total = words.millimetres(total_mm, 3)
        text = words.say("measure.pack-free", total=total)
        if self._pack:
            each = " + ".join(words.length(one) for one in self._pack)
            text = words.say("measure.pack-tried", thicknesses=each, total=total)
        if tracing.pack_row >= 0:
            tracing.texts[tracing.pack_row] = text
        change = total_mm - self.find_built_mm()
        if self._window.service.built is not None:
            self._window.service.try_pack(change)
        else:
            one = self._measuring.clearance
            self._measuring.write_gap(one.in_service_mm + change * find_shim_sensitivity(one))

    def _find_packs(self) -> DrawerPacks:
        if self._packs is None:
            self._packs = DrawerPacks(self._window.shims.read_drawer())
        return self._packs

    def _is_in(self, pack: tuple[float, ...]) -> bool:
        bench = self._window.bench
        assert bench is not None
        now = [float(shim.middle) for shim in bench.build.pack]
        return len(now) == len(pack) and all(
            abs(a - b) < SAME_MM for a, b in zip(sorted(now), sorted(pack), strict=True)
        )
