"""What changes a clearance beyond geometry."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from models.formulas.press_fit import PressFit
from models.spec.build import TABLES, Build
from models.spec.clearance import Effect
from models.spec.errors import RefusalError
from models.spec.length import Length
from models.spec.materials import read_metals


@dataclass(frozen=True, slots=True)
class PressedRing:
    """A ring pressed into the boss of a casting: the places, whichever castings fill them."""

    carrier: str
    ring: str

    def find_press_fit(self, build: Build) -> PressFit:
        """Find the two cylinders. The casting round the ring is taken as the plain cylinder of its boss.

        A stiffer casting would close the ring a little more.

        Raises:
            RefusalError: measured values leave the ring no wall.
        """
        carrier, ring = build.piece_at(self.carrier), build.piece_at(self.ring)
        seat_mm, bore_mm = float(carrier.row["ring-bore"]), float(ring.row["bore"])
        if bore_mm >= seat_mm:
            raise RefusalError(
                f"{ring.name}.bore is {bore_mm:g} mm and its seat {carrier.name}.ring-bore {seat_mm:g} mm, "
                "which leaves the ring no wall; measure both again"
            )
        metals = read_metals(TABLES)
        return PressFit(
            seat_mm,
            bore_mm,
            seat_mm + 2 * float(carrier.row["wall"]),
            metals[ring.part.material],
            metals[carrier.part.material],
        )

    def find_closing(self, build: Build) -> Length:
        """Find the change in mm of the ring's bore caused by pressing it in (negative: it closes).

        A ring that is loose in its seat is not changed by it, and a measured bore is one measured after
        pressing in, which is closed already.
        """
        carrier, ring = build.piece_at(self.carrier), build.piece_at(self.ring)
        interference = ring.row["outside"] - carrier.row["ring-bore"]
        if float(interference) <= 0.0:
            return Length(0.0)
        share = self.find_press_fit(build).bore_closing_share
        return Length(0.0) if (ring.name, "bore") in build.measured else interference * -share


WEAR_RING = PressedRing("suction-cover", "wear-ring")
HUB_RING = PressedRing("back-plate", "hub-ring")


def make_closing(ring: PressedRing) -> Effect:
    """Make the effect on a running clearance of the ring's bore closing when it is pressed in."""
    change: Callable[[Build], Length] = ring.find_closing
    return Effect("ring-bore-closing", change)
