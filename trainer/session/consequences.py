"""Which consequences each clearance has, and what they come to as set, at the least, the aim and the most allowed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from models.spec.errors import RefusalError, say_near
from trainer.session.service import (
    AS_SET,
    BACK_VANE,
    HUB_RING,
    WEAR_PLATE,
    WEAR_RING,
    Service,
    ServiceBench,
    Setting,
)

READERS: Mapping[str, Callable[[Service], float]] = {
    "thrust_n": lambda service: service.thrust.total_n,
    "without_relief_n": lambda service: service.thrust.without_relief_n,
    "chamber_kpa": lambda service: service.thrust.chamber_kpa,
    "life_h": lambda service: service.set_life_h,
    "warm_gap_mm": lambda service: service.gap(BACK_VANE).value_mm + service.growth_mm,
    "leakage_m3_per_h": lambda service: service.ring.flow_m3_per_h if service.ring else 0.0,
    "hub_leakage_m3_per_h": lambda service: service.thrust.hub_leakage_m3_per_h,
    "lost_percent": lambda service: 100.0 * (service.lost_share or 0.0),
}
"""Consequences by name, the unit at its end."""
CONSEQUENCES: Mapping[str, tuple[str, ...]] = {
    BACK_VANE: ("thrust_n", "without_relief_n", "chamber_kpa", "life_h", "warm_gap_mm"),
    WEAR_RING: ("leakage_m3_per_h", "lost_percent"),
    HUB_RING: ("hub_leakage_m3_per_h", "lost_percent", "thrust_n", "life_h"),
}
"""By clearance, in the order in which they are told."""
PLACES = ("as-set", "least", "aim", "most")


@dataclass(frozen=True, slots=True)
class Told:
    """Consequences at one place of a clearance: which place, the clearance there in mm, and by name what it leads to."""

    place: str
    gap_mm: float
    amounts: Mapping[str, float]


def list_consequential(bench: ServiceBench) -> tuple[str, ...]:
    """List the clearances of a build that have consequences here, in the order in which they are told."""
    return tuple(name for name in CONSEQUENCES if name in bench.measured)


def compare_places(bench: ServiceBench, name: str, setting: Setting = AS_SET) -> tuple[Told, ...]:
    """Compare the consequences of a clearance as set, at the least, the aim and the most allowed.

    Raises:
        RefusalError: the clearance has no consequence that a formula with a source tells, with the reason.
    """
    if name == WEAR_PLATE and name in bench.measured:
        raise RefusalError(
            f"{name}: no formula with a source is known for what a vane edge lets through; "
            f"choose one of {', '.join(list_consequential(bench))}"
        )
    known = list_consequential(bench)
    if name not in known:
        raise RefusalError(
            f"nothing is worked out for the clearance {name!r}; {say_near(name, known)}"
        )
    now = bench.look(setting).gap(name)
    at = (now.value_mm, now.required_mm[0], now.aim_mm, now.required_mm[1])
    return tuple(
        Told(place, gap_mm, read_amounts(bench.look(_place(setting, name, gap_mm)), name))
        for place, gap_mm in zip(PLACES, at, strict=True)
    )


def read_amounts(service: Service, name: str) -> dict[str, float]:
    """Read the consequences of one clearance."""
    return {amount: READERS[amount](service) for amount in CONSEQUENCES[name]}


def _place(setting: Setting, name: str, gap_mm: float) -> Setting:
    values = {**setting.values_mm, name: gap_mm}
    return Setting(setting.pack_change_mm, values, setting.limits_mm)
