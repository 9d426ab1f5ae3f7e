"""What a build does once it runs, at its own clearances or at others: leakage, thrust, bearing life, preload.

Everything follows from dimensions and a duty point, without a solid, so it can be asked anew at every touch of a slider.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from models.parts import bearing, bearing_roller
from models.spec.build import CASING, SHAFT, TABLES, Build
from models.spec.duty import Duty, read_duty
from models.spec.errors import RefusalError, say_near
from models.systems.thermal import find_growth
from trainer.core.measure.chain import MeasuredClearance, measure_clearances
from trainer.core.measure.rests import find_shim_sensitivity, is_moved
from trainer.core.measure.spread import SAME, Spread, find_exact_of
from trainer.core.running import bearing_life, leakage, preload, thrust
from trainer.core.running.bearing_life import BearingLife, BearingLoad
from trainer.core.running.leakage import Leakage, RingGap
from trainer.core.running.preload import Preload
from trainer.core.running.thrust import Thrust
from trainer.session.running import (
    INBOARD,
    OUTBOARD,
    BearingSpot,
    BoltedJoint,
    list_bolted_joints,
    read_bearings,
    read_belt_middle,
    read_impeller_middle,
    read_running,
    read_wheel,
    with_hub_clearance,
)

BACK_VANE, WEAR_RING, HUB_RING, WEAR_PLATE, OVERLAP = (
    "back-vane", "wear-ring", "hub-ring", "wear-plate", "ring-overlap",
)  # fmt: skip
HEAT_EVEN = "heat-even"
CURVE_POINTS = 49
BEYOND = 1.0
"""How far a curve reaches beyond what is allowed, in widths of the allowed band."""
GRAVITY = leakage.GRAVITY_M_PER_S2


@dataclass(frozen=True, slots=True)
class Setting:
    """What is asked: by how much the pack is thicker than the build's, other values and other limits of clearances, in mm."""

    pack_change_mm: float = 0.0
    values_mm: Mapping[str, float] = field(default_factory=dict)
    limits_mm: Mapping[str, tuple[float, float]] = field(default_factory=dict)


AS_SET = Setting()


@dataclass(frozen=True, slots=True)
class GapInService:
    """A clearance in service, in mm: what it is, what is allowed, the aim, and the chance that a pump so built lies inside."""

    name: str
    value_mm: float
    required_mm: tuple[float, float]
    aim_mm: float
    chance: float

    @property
    def is_inside(self) -> bool:
        """Is it inside what is allowed?"""
        return self.required_mm[0] <= self.value_mm <= self.required_mm[1]


@dataclass(frozen=True, slots=True)
class Service:
    """All consequences at one setting.

    ring: what runs through the wear ring; None for a pump without. lost_share: of the pump's work, by leakage of all
    rings, 0 to 1; None where no ring is. set_life_h: hours that nine of ten sets of bearings reach. growth_mm: by
    how much the gap behind the impeller opens when shaft and casing are warm.
    """

    gaps: tuple[GapInService, ...]
    thrust: Thrust
    ring: Leakage | None
    lost_share: float | None
    bearings: tuple[BearingLife, ...]
    set_life_h: float
    growth_mm: float

    def gap(self, name: str) -> GapInService:
        """Give a clearance by name."""
        return next(gap for gap in self.gaps if gap.name == name)


@dataclass(frozen=True, slots=True)
class Curve:
    """A consequence against a clearance: gaps in mm and values in the unit of the consequence; where a formula does not hold, no point."""

    gaps_mm: tuple[float, ...]
    services: tuple[Service, ...]


@dataclass(frozen=True, slots=True)
class JointPreload:
    """A bolted joint and what its usual torque does to each bolt."""

    joint: BoltedJoint
    preload: Preload


class ServiceBench:
    """One build at one duty point, to be asked at any setting."""

    def __init__(self, build: Build, duty: Duty | None = None) -> None:
        """Read all that does not change with a setting.

        Raises:
            RefusalError: no duty is known for the family, or its impeller cannot give that head.
        """
        self.build = build
        self.duty = duty or read_duty(TABLES, build.family.name, build.size.size)
        self.measured: Mapping[str, MeasuredClearance] = {
            one.name: one for one in measure_clearances(build)
        }
        self._spreads: dict[str, Spread] = {}
        self.running = read_running(build, self.duty)
        hub = self.measured[HUB_RING].in_service_mm if HUB_RING in self.measured else None
        self.wheel = read_wheel(build, hub, self.duty.line_loss)
        self.inboard = read_bearings(build, INBOARD)
        self.outboard = read_bearings(build, OUTBOARD)

    # ------------------------------------------------------------------ what follows from a setting
    def look(self, setting: Setting = AS_SET) -> Service:
        """Look at all consequences of a setting.

        Raises:
            RefusalError: an unknown clearance, or a value that a formula does not hold for.
        """
        gaps = self._find_gaps(setting)
        values = {gap.name: gap.value_mm for gap in gaps}
        wheel = self.wheel
        if wheel.hub_ring is not None:
            wheel = with_hub_clearance(wheel, values[HUB_RING])
        pushed = thrust.find_thrust(wheel, self.running, values[BACK_VANE])
        ring = self._find_ring_leakage(values)
        leaks = [ring.flow_m3_per_h] if ring else []
        if wheel.hub_ring is not None:
            leaks.append(pushed.hub_leakage_m3_per_h)
        lost = leakage.find_lost_share(sum(leaks), self.duty.flow_m3_per_h) if leaks else None
        bearings = self._judge_bearings(pushed.total_n)
        lives = [one.life_h for one in bearings]
        together = bearing_life.join_lives_h(lives)
        return Service(gaps, pushed, ring, lost, bearings, together, self.growth_mm)

    def _find_gaps(self, setting: Setting) -> tuple[GapInService, ...]:
        for name in (*setting.values_mm, *setting.limits_mm):
            if name not in self.measured:
                raise RefusalError(
                    f"no clearance is called {name!r}; {say_near(name, self.measured)}"
                )
        return tuple(self._find_gap(one, setting) for one in self.measured.values())

    def _find_gap(self, one: MeasuredClearance, setting: Setting) -> GapInService:
        moved = setting.pack_change_mm * find_shim_sensitivity(one) if is_moved(one) else 0.0
        value = setting.values_mm.get(one.name, one.in_service_mm + moved)
        low, high = setting.limits_mm.get(one.name, one.required_mm)
        if not low <= high or not math.isfinite(low + high):
            raise RefusalError(
                f"limits of {one.name}: least {low:g} mm lies above most {high:g} mm; swap them"
            )
        chance = self._find_chance(one, value - one.in_service_mm, (low, high))
        return GapInService(one.name, value, (low, high), one.aim_mm, chance)

    def _find_chance(
        self, one: MeasuredClearance, shift_mm: float, limits_mm: tuple[float, float]
    ) -> float:
        """Find the chance that a pump lies inside limits, its whole spread shifted by what was set otherwise."""
        if one.name not in self._spreads:
            self._spreads[one.name] = find_exact_of(one)
        spread = self._spreads[one.name]
        at, below = spread.values_mm + shift_mm, spread.shares_below
        if not spread.sigma_mm:
            return float(limits_mm[0] - SAME <= at[0] <= limits_mm[1] + SAME)
        low, high = np.interp(limits_mm, at, below, left=0.0, right=1.0)
        return float(high - low)

    def _find_ring_leakage(self, values_mm: Mapping[str, float]) -> Leakage | None:
        if WEAR_RING not in values_mm:
            return None
        ring = RingGap(self.wheel.ring_mm, values_mm[WEAR_RING], values_mm[OVERLAP])
        drop = leakage.find_swirl_drop_pa(
            self.wheel.rim_mm,
            self.wheel.ring_mm,
            self.running.swirl,
            self.running.speed_rpm,
            self.running.liquid.density_kg_per_m3,
        )
        across = max(self.running.rim_pa - drop, 0.0)
        return leakage.find_leakage(ring, across, self.running.liquid, self.running.speed_rpm)

    # ------------------------------------------------------------------ bearings
    @cached_property
    def radial_n(self) -> tuple[float, float]:
        """What the bearings at the impeller and at the drive end carry across the shaft, in N."""
        duty = self.duty
        middle, width = read_impeller_middle(self.build)
        volute = bearing_life.find_radial_thrust_n(
            duty.head_m, duty.flow_m3_per_h / duty.best_flow_m3_per_h, self.wheel.rim_mm, width,
            duty.density_kg_per_m3, duty.radial_factor,
        )  # fmt: skip
        loads = [(middle, volute + duty.impeller_mass_kg * GRAVITY)]
        belt = read_belt_middle(self.build)
        if belt is not None:
            loads.append((belt, duty.belt_pull_n))
        places = [
            sum(spot.middle_mm for spot in spots) / len(spots)
            for spots in (self.inboard, self.outboard)
        ]
        return bearing_life.find_support_loads_n(loads, *places)

    def _judge_bearings(self, thrust_n: float) -> tuple[BearingLife, ...]:
        inboard, outboard = self.radial_n
        axial = abs(thrust_n)
        loads = [load_alone(spot, inboard, 0.0) for spot in self.inboard]
        if len(self.outboard) == 1:
            loads += [load_alone(self.outboard[0], outboard, axial)]
        else:
            a, b = bearing_life.share_pair(outboard, axial, self.outboard[0].elements.contact_deg)
            # towards suction the bearing at the drive end holds: its back looks to suction
            loads += [b, a] if thrust_n > 0.0 else [a, b]
        spots = (*self.inboard, *self.outboard)
        return tuple(
            bearing_life.judge_bearing(
                spot.piece, spot.rating, load, self.duty.speed_rpm, self.duty.run_h
            )
            for spot, load in zip(spots, loads, strict=True)
        )

    @cached_property
    def growth_mm(self) -> float:
        """By how much the gap behind the impeller opens, in mm, once shaft and casing are as warm as the duty says.

        A build that was asked for at temperatures of its own is warm already.
        """
        if self.build.temperatures_c:
            return 0.0
        warm = {SHAFT: self.duty.shaft_c, CASING: self.duty.casing_c}
        grown = find_growth(replace(self.build, temperatures_c=warm), BACK_VANE)
        return float(grown)

    # ------------------------------------------------------------------ bolts
    def list_preloads(
        self, torques_nm: Mapping[str, float] | None = None
    ) -> tuple[JointPreload, ...]:
        """List what the usual torque of each bolted joint, or another by its fastener, does to its bolts.

        Raises:
            RefusalError: a fastener that is not set by torque, with near matches, or a torque below zero.
        """
        asked, joints = torques_nm or {}, list_bolted_joints(self.build)
        known = {joint.fastener for joint in joints}
        for name in asked:
            if name not in known:
                raise RefusalError(
                    f"no fastener set by torque is called {name!r}; {say_near(name, known)}"
                )
        return tuple(
            JointPreload(joint, self.find_preload(joint, asked.get(joint.fastener)))
            for joint in joints
        )

    def find_preload(self, joint: BoltedJoint, torque_nm: float | None = None) -> Preload:
        """Find what a torque, or the usual one of the duty, does to a bolt of a joint."""
        duty = self.duty
        usual = preload.find_usual_torque_nm(joint.bolt, duty.preload_share, duty.thread_friction)
        torque = usual if torque_nm is None else torque_nm
        return preload.find_preload(joint.bolt, torque, duty.thread_friction)

    def find_pack_change(self, name: str, value_mm: float) -> float:
        """Find by how much thicker than the build's the pack is that brings a clearance to a value, in mm.

        Raises:
            RefusalError: shims do not move that clearance.
        """
        one = self.measured[name]
        return (value_mm - one.in_service_mm) / find_shim_sensitivity(one)

    # ------------------------------------------------------------------ curves
    def find_reach(self, name: str) -> tuple[float, float]:
        """Find over which values of a clearance its consequences are looked at, in mm: its limits and beyond."""
        one = self.measured[name]
        return _find_reach(one.required_mm, one.in_service_mm)

    def draw_curve(self, name: str, setting: Setting = AS_SET, points: int = CURVE_POINTS) -> Curve:
        """Look at the consequences of one clearance over its limits and beyond, all else as set.

        Raises:
            RefusalError: an unknown clearance, or one for which no formula holds anywhere.
        """
        now = next((gap for gap in self._find_gaps(setting) if gap.name == name), None)
        if now is None:
            raise RefusalError(f"no clearance is called {name!r}; {say_near(name, self.measured)}")
        ends = _find_reach(now.required_mm, now.value_mm)
        gaps: list[float] = []
        services: list[Service] = []
        for place in range(points):
            at = ends[0] + (ends[1] - ends[0]) * place / (points - 1)
            looked = self._look_or_none(setting, name, at)
            if looked is not None:
                gaps.append(at)
                services.append(looked)
        if not gaps:
            raise RefusalError(f"no formula holds for {name} from {ends[0]:g} to {ends[1]:g} mm")
        return Curve(tuple(gaps), tuple(services))

    def _look_or_none(self, setting: Setting, name: str, value_mm: float) -> Service | None:
        """Look with one clearance at a value; None where a formula does not hold, which a curve leaves out."""
        values = {**setting.values_mm, name: value_mm}
        try:
            return self.look(Setting(setting.pack_change_mm, values, setting.limits_mm))
        except RefusalError:
            return None

    # ------------------------------------------------------------------ what stands behind the numbers
    def list_assumptions(self) -> tuple[str, ...]:
        """List what is assumed, as word keys."""
        keys = [*thrust.ASSUMPTIONS, *bearing_life.ASSUMPTIONS, HEAT_EVEN, *preload.ASSUMPTIONS]  # fmt: skip
        if self.wheel.is_open:
            keys += [thrust.OPEN_FRONT]
        if WEAR_PLATE in self.measured:
            keys += ["plate-no-formula"]
        if WEAR_RING in self.measured:
            keys = [*leakage.ASSUMPTIONS, *keys]
        return tuple(dict.fromkeys(keys))


def _find_reach(required_mm: tuple[float, float], value_mm: float) -> tuple[float, float]:
    low, high = required_mm
    reach = max(BEYOND * (high - low), abs(value_mm - high))
    return max(low - reach, 0.0), high + reach


def load_alone(spot: BearingSpot, radial_n: float, axial_n: float) -> BearingLoad:
    """Find what a bearing that stands alone carries."""
    if spot.kind == bearing_roller.OUTER.kind:
        return bearing_life.load_plain(radial_n)
    if spot.kind == bearing.DOUBLE.kind:
        return bearing_life.load_double(radial_n, axial_n, spot.elements.contact_deg)
    return bearing_life.load_deep_groove(radial_n, axial_n, spot.rating)
