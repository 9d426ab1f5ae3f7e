"""What pushes an impeller along its shaft, and how the gap of its back vanes changes that. Towards suction is positive."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trainer.core.running.leakage import (
    ENTRANCE_AND_EXIT,
    Liquid,
    RingGap,
    find_angular_speed,
    find_leakage,
    find_swirl_drop_pa,
)
from trainer.core.running.ranges import check_range

LEAST_SWIRL, MOST_SWIRL = 0.4, 0.6
"""Speed of the liquid behind a smooth shroud as a share of the impeller's: half, measured from 0.4 to 0.6 (from memory)."""
ASSUMPTIONS = ("vane-rigid", "liquid-swirl", "head-reaction", "thrust-steady")
OPEN_FRONT = "open-front-square"
SAME_FLOW = 1e-9
MOST_ROUNDS = 100
VAPOUR_KPA = -99.0
"""Gauge pressure at which cold water begins to boil, near enough (from memory)."""


@dataclass(frozen=True, slots=True)
class Zone:
    """Liquid between two diameters in mm that turns at a share of the impeller's speed."""

    outer_mm: float
    inner_mm: float
    swirl: float


@dataclass(frozen=True, slots=True)
class HubRing:
    """What relieves the chamber inside a hub ring: its gap, and the area and loss of the way back to suction.

    way_mm2: area of the balance holes together, or of the line. way_loss: velocity heads lost in it.
    """

    ring: RingGap
    way_mm2: float
    way_loss: float = ENTRANCE_AND_EXIT


@dataclass(frozen=True, slots=True)
class Wheel:
    """What of an impeller the thrust depends on, diameters and heights in mm.

    shaft_mm: where the shaft leaves the casing. eye_mm: of the suction opening. ring_mm: outside of the nose, or
    of a semi-open impeller the eye, where its vanes begin. vane_height_mm: of the back vanes; 0 for none.
    """

    rim_mm: float
    ring_mm: float
    eye_mm: float
    shaft_mm: float
    vane_outer_mm: float
    vane_inner_mm: float
    vane_height_mm: float
    is_open: bool = False
    hub_ring: HubRing | None = None


@dataclass(frozen=True, slots=True)
class Running:
    """What a pump runs at: rim_pa is the pressure at the rim above suction, suction_pa that above the air outside."""

    rim_pa: float
    suction_pa: float
    flow_m3_per_h: float
    speed_rpm: float
    swirl: float
    liquid: Liquid


@dataclass(frozen=True, slots=True)
class Thrust:
    """Forces along the shaft in N, towards suction positive.

    back_n, front_n: pressure behind and before the impeller, above suction pressure. momentum_n: liquid turned from
    along the shaft to across it. shaft_n: suction pressure against the air on the shaft's end. without_relief_n: the
    total with neither back vanes nor hub ring. vane_swirl: of the liquid between the back vanes; the smooth
    shroud's where there are none. chamber_kpa: gauge pressure where the shaft leaves the casing. hub_leakage_m3_per_h: through the hub ring.
    """

    back_n: float
    front_n: float
    momentum_n: float
    shaft_n: float
    without_relief_n: float
    vane_swirl: float
    chamber_kpa: float
    hub_leakage_m3_per_h: float

    @property
    def total_n(self) -> float:
        """The sum: what the thrust bearing carries."""
        return self.back_n + self.front_n + self.momentum_n + self.shaft_n

    @property
    def boils(self) -> bool:
        """Would cold water boil where the shaft leaves the casing? Then the real relief is less."""
        return self.chamber_kpa < VAPOUR_KPA


def find_vane_swirl(vane_height_mm: float, gap_mm: float, swirl: float = 0.5) -> float:
    """Find how fast liquid turns between back vanes and back plate, as a share of the impeller's speed.

    Between the vanes it turns with the impeller, in the gap as behind a smooth shroud; of height t and gap c the
    mean is k + (1 - k) t / (t + c). With k = 1/2 that is (1 + t / (t + c)) / 2.
    Source: Stepanoff, Centrifugal and Axial Flow Pumps, 2nd ed., chapter on axial thrust, from memory.

    Raises:
        RefusalError: a gap below zero or wider than four vane heights.
    """
    check_range("vane_height_mm", vane_height_mm, 1e-9, 50.0, "mm")
    check_range("back_vane_gap_mm", gap_mm, 0.0, 4.0 * vane_height_mm, "mm")
    return swirl + (1.0 - swirl) * vane_height_mm / (vane_height_mm + gap_mm)


def find_zone_force_n(
    zones: Sequence[Zone], outer_pa: float, speed_rpm: float, density_kg_per_m3: float
) -> tuple[float, float]:
    """Find the force of liquid in zones that follow each other inwards, and the pressure at the inside.

    Args:
        zones: from the outside inwards; each begins where the one before ends.
        outer_pa: pressure at the outside of the first, in Pa.
        speed_rpm: of the impeller.
        density_kg_per_m3: of the liquid.

    Returns:
        Force in N, pressure at the inside of the last zone in Pa.

    Source: the parabola of `find_swirl_drop_pa` integrated over each ring, a closed form.
    """
    force, pressure = 0.0, outer_pa
    for zone in zones:
        outer, inner = (diameter / 2000.0 for diameter in (zone.outer_mm, zone.inner_mm))
        area = math.pi * (outer**2 - inner**2)
        turning = zone.swirl * find_angular_speed(speed_rpm)
        force += (
            area * pressure
            - math.pi / 4 * density_kg_per_m3 * turning**2 * (outer**2 - inner**2) ** 2
        )
        pressure -= find_swirl_drop_pa(
            zone.outer_mm, zone.inner_mm, zone.swirl, speed_rpm, density_kg_per_m3
        )
    return force, pressure


def find_momentum_force_n(flow_m3_per_h: float, eye_mm: float, density_kg_per_m3: float) -> float:
    """Find the force of the liquid that comes in along the shaft and goes out across it, in N: rho Q^2 / A.

    It pushes away from suction; the value is given as a size.
    Source: Lobanoff and Ross, Centrifugal Pumps: Design and Application, 2nd ed., p. 353.
    """
    area = math.pi * (eye_mm / 2000.0) ** 2
    return float(density_kg_per_m3 * (flow_m3_per_h / 3600.0) ** 2 / area)


def find_chamber(hub: HubRing, outside_pa: float, running: Running) -> tuple[float, float]:
    """Find the pressure inside a hub ring above suction in Pa, and what runs through the ring in m3/h.

    What comes through the ring goes back through holes or line: the pressure is searched at which both are the
    same, by straight lines between two guesses that hold it (regula falsi, the stale end halved). Holes and line
    use up way_loss velocity heads.
    Source: continuity, with the losses of `find_leakage`; 1.5 velocity heads for a hole as for a gap.
    """
    density = running.liquid.density_kg_per_m3

    def goes_in(chamber_pa: float) -> float:
        over = max(outside_pa - chamber_pa, 0.0)
        return find_leakage(hub.ring, over, running.liquid, running.speed_rpm).flow_m3_per_h

    def is_over(chamber_pa: float) -> float:
        back = hub.way_mm2 * 1e-6 * math.sqrt(2.0 * chamber_pa / density / hub.way_loss) * 3600.0
        return goes_in(chamber_pa) - back

    if outside_pa <= 0.0:
        return 0.0, 0.0
    low, high = 0.0, outside_pa
    over_low, over_high = is_over(low), is_over(high)
    for _ in range(MOST_ROUNDS):
        chamber = low + (high - low) * over_low / (over_low - over_high)
        over = is_over(chamber)
        if abs(over) <= SAME_FLOW * over_low or over_high == 0.0:
            break
        if over > 0.0:
            low, over_low, over_high = chamber, over, over_high / 2.0
        else:
            high, over_high, over_low = chamber, over, over_low / 2.0
    return chamber, goes_in(chamber)


def find_thrust(wheel: Wheel, running: Running, gap_mm: float) -> Thrust:
    """Find what pushes an impeller along its shaft with its back vanes at a gap.

    Args:
        wheel: the impeller.
        running: what the pump runs at.
        gap_mm: between back vanes and back plate, which the shims set.

    Raises:
        RefusalError: swirl outside 0.4 to 0.6, or a gap that the vane formula does not hold for.
    """
    check_range("swirl", running.swirl, LEAST_SWIRL, MOST_SWIRL)
    swirl, density = running.swirl, running.liquid.density_kg_per_m3
    has_vanes = wheel.vane_height_mm > 0.0
    vane = find_vane_swirl(wheel.vane_height_mm, gap_mm, swirl) if has_vanes else swirl
    back, chamber, hub_flow = _find_back(wheel, running, vane)
    smooth = [Zone(wheel.rim_mm, wheel.shaft_mm, swirl)]
    plain, _ = find_zone_force_n(smooth, running.rim_pa, running.speed_rpm, density)
    front = -_find_front(wheel, running)
    momentum = -find_momentum_force_n(running.flow_m3_per_h, wheel.eye_mm, density)
    shaft = -running.suction_pa * math.pi * (wheel.shaft_mm / 2000.0) ** 2
    without = plain + front + momentum + shaft
    gauge_kpa = (chamber + running.suction_pa) / 1e3
    return Thrust(back, front, momentum, shaft, without, vane, gauge_kpa, hub_flow)


def _find_back(wheel: Wheel, running: Running, vane: float) -> tuple[float, float, float]:
    """Find the force behind the impeller in N, the pressure at the shaft in Pa, the flow through the hub ring in m3/h."""
    inside = wheel.hub_ring.ring.diameter_mm if wheel.hub_ring else wheel.shaft_mm
    zones = [
        Zone(wheel.rim_mm, wheel.vane_outer_mm, running.swirl),
        Zone(wheel.vane_outer_mm, wheel.vane_inner_mm, vane),
        Zone(wheel.vane_inner_mm, inside, running.swirl),
    ]
    density = running.liquid.density_kg_per_m3
    force, pressure = find_zone_force_n(zones, running.rim_pa, running.speed_rpm, density)
    if wheel.hub_ring is None:
        return force, pressure, 0.0
    chamber, flow = find_chamber(wheel.hub_ring, pressure, running)
    area = math.pi * ((inside / 2000.0) ** 2 - (wheel.shaft_mm / 2000.0) ** 2)
    return force + chamber * area, chamber, flow


def _find_front(wheel: Wheel, running: Running) -> float:
    """Find the force on the front above suction pressure in N, as a size.

    Of an enclosed impeller it is that of a smooth shroud from rim to ring. Before a semi-open impeller's vanes there
    is none: between them pressure is taken to rise with the square of the radius from suction at the eye to the rim's.
    Source of the latter: an assumption of our own, named on screen.
    """
    if wheel.is_open:
        area = math.pi * ((wheel.rim_mm / 2000.0) ** 2 - (wheel.ring_mm / 2000.0) ** 2)
        return running.rim_pa * area / 2.0
    zones = [Zone(wheel.rim_mm, wheel.ring_mm, running.swirl)]
    density = running.liquid.density_kg_per_m3
    return find_zone_force_n(zones, running.rim_pa, running.speed_rpm, density)[0]
