"""List the numbers that follow from a clearance, as they are told side by side."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from models.spec.clearance import ClearanceKind
from trainer.core.measure.chain import MeasuredClearance
from trainer.core.measure.rests import is_moved
from trainer.desktop.panes.measure_strip import Told
from trainer.words import Words
from trainer.words.telling_service import tell_amount

if TYPE_CHECKING:
    from trainer.session.service import Service

AMOUNTS = ("thrust_n", "leakage_m3_per_h", "hub_leakage_m3_per_h", "life_h")


def list_told(
    words: Words,
    one: MeasuredClearance,
    service: Service | None,
    before: Service | None,
    pack_mm: float,
) -> list[Told]:
    """List the numbers: the chance to lie inside, thrust, leakage and life; without a service what dimensions alone tell."""
    told: list[Told] = []
    if one.kind is ClearanceKind.SHARE:
        low, high = (words.number(100 * value, 1) for value in one.required_mm)
        value = words.say("measure.share", percent=words.number(100 * one.in_service_mm, 1))
        limits = words.say("measure.share-allowed", low=low, high=high)
        told.append(Told(words.say("measure.gap"), value, limits))
    if service is not None and before is not None:
        told += _list_service(words, one, service, before)
    if is_moved(one):
        told.append(Told(words.say("measure.pack"), words.millimetres(pack_mm)))
    return told


def _list_service(
    words: Words, one: MeasuredClearance, service: Service, before: Service
) -> list[Told]:
    def chance(at: Service) -> str:
        percent = words.number(100 * at.gap(one.name).chance, 1)
        return words.say("measure.chance-value", percent=percent)

    told = [_tell(words, words.say("measure.chance"), chance, service, before)]
    from trainer.session.consequences import CONSEQUENCES

    # Of other clearances nothing follows in service that a formula with a source would tell.
    follows = one.name in CONSEQUENCES or is_moved(one)
    for amount in AMOUNTS:
        if follows and _has(service, amount):
            value = _make_reader(words, amount)
            told.append(_tell(words, _name(words, amount, service), value, service, before))
    return told


def _tell(
    words: Words, name: str, write: Callable[[Service], str], service: Service, before: Service
) -> Told:
    now, was = write(service), write(before)
    return Told(name, now, words.say("measure.before", value=was) if now != was else "")


def _has(service: Service, amount: str) -> bool:
    """Has this pump that number? A hub ring leaks only where there is one, and is told where no front ring is."""
    if amount == "leakage_m3_per_h":
        return service.ring is not None
    if amount == "hub_leakage_m3_per_h":
        return service.ring is None and service.thrust.hub_leakage_m3_per_h > 0.0
    return True


def _make_reader(words: Words, amount: str) -> Callable[[Service], str]:
    from trainer.session.consequences import READERS

    def write(at: Service) -> str:
        value = READERS[amount](at)
        value = abs(value) if amount == "thrust_n" else value
        unit = words.say(f"service.unit-{amount}")
        return words.say("service.amount", value=tell_amount(words, amount, value), unit=unit)

    return write


def _name(words: Words, amount: str, service: Service) -> str:
    if amount == "thrust_n":
        is_back = service.thrust.total_n < 0.0
        return words.say("measure.thrust-drive" if is_back else "measure.thrust-suction")
    return words.say(f"service.short-{amount}")
