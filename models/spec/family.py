"""A family of pumps, joined from its systems: what is always there and what the options put in its place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace

from models.spec.clearance import Clearance
from models.spec.fault import SeededFault
from models.spec.joint import Joint
from models.spec.practice import Practice
from models.spec.result import Result
from models.spec.rule import Rule
from models.spec.seat import Fill, Option, Place, Slip
from models.spec.view import View
from models.spec.work import Work


@dataclass(frozen=True, slots=True)
class System:
    """A part of a pump that is understood by itself: shaft seal, bearing frame, priming front.

    Places come in build order. Joints, clearances, work and practices that name a place which the
    chosen options leave out fall away; a joint or clearance that stands in an option's value takes
    the place of one of the same name. `always` is filled as an option's value is, in every build and
    before the options: how a family takes of a system one of the values that this has options for.
    """

    places: tuple[Place, ...] = ()
    joints: tuple[Joint, ...] = ()
    always: tuple[Fill, ...] = ()
    options: tuple[Option, ...] = ()
    clearances: tuple[Clearance, ...] = ()
    rules: tuple[Rule, ...] = ()
    faults: tuple[SeededFault, ...] = ()
    work: tuple[Work, ...] = ()
    practices: tuple[Practice, ...] = ()
    views: tuple[View, ...] = ()
    results: tuple[Result, ...] = ()


@dataclass(frozen=True, slots=True)
class Family:
    """A family of pumps: its places in build order (root first), joints, options, clearances, rules, work, practices, views and results.

    faults: mistakes that can be made with it. amiss: what one of them fills, after all that the options do.
    """

    name: str
    places: tuple[Place, ...]
    joints: tuple[Joint, ...]
    options: tuple[Option, ...] = ()
    clearances: tuple[Clearance, ...] = ()
    rules: tuple[Rule, ...] = ()
    faults: tuple[SeededFault, ...] = ()
    work: tuple[Work, ...] = ()
    practices: tuple[Practice, ...] = ()
    always: tuple[Fill, ...] = ()
    views: tuple[View, ...] = ()
    results: tuple[Result, ...] = ()
    amiss: tuple[Fill | Slip, ...] = ()

    def option_values(self) -> dict[str, list[str]]:
        """List each option's values, the usual one first."""
        return {option.name: list(option.values) for option in self.options}

    def every_place(self) -> dict[str, Place]:
        """List every place of any build by name; of parts that take turns in one place the first."""
        found = {place.name: place for place in self.places}
        for fill in self._fills():
            if isinstance(fill, Place):
                found.setdefault(fill.name, fill)
        return found

    def every_clearance(self) -> dict[str, Clearance]:
        """List every clearance of any build by name."""
        found = {clearance.name: clearance for clearance in self.clearances}
        for fill in self._fills():
            if isinstance(fill, Clearance):
                found.setdefault(fill.name, fill)
        for place in self.every_place().values():
            for clearance in list_part_clearances(place):
                found.setdefault(clearance.name, clearance)
        return found

    def every_joint(self) -> tuple[Joint, ...]:
        """List every joint of any build, those that take turns under one name too."""
        return (*self.joints, *(fill for fill in self._fills() if isinstance(fill, Joint)))

    def list_fills(self, chosen: Mapping[str, str]) -> list[Fill | Slip]:
        """List what is filled always, what each option's chosen value fills, in the options' order, and what is amiss."""
        fills: list[Fill | Slip] = list(self.always)
        for option in self.options:
            fills += option.values[chosen[option.name]]
        return [*fills, *self.amiss]

    def list_needs(self, fault: SeededFault) -> dict[str, tuple[str, ...]]:
        """List by option the values that allow a mistake, of the options that there are here."""
        known = {option.name for option in self.options}
        return {name: values for name, values in fault.list_needs().items() if name in known}

    def _fills(self) -> list[Fill]:
        return [
            *self.always,
            *(
                fill
                for option in self.options
                for fills in option.values.values()
                for fill in fills
            ),
        ]


def list_part_clearances(place: Place) -> tuple[Clearance, ...]:
    """List what must be held because of the kind of part that a place is filled by."""
    return place.part.clearances(place) if place.part.clearances else ()


def join_systems(name: str, *systems: System) -> Family:
    """Join systems into a family; the order of systems is the order of places, options and work.

    Of the systems' faults those stay that can be made in the family and break a rule of it.
    """
    joined = {
        field.name: tuple(item for system in systems for item in getattr(system, field.name))
        for field in fields(System)
    }
    family = Family(name, **joined)
    return replace(family, faults=tuple(f for f in family.faults if _can_be_made(family, f)))


def _can_be_made(family: Family, fault: SeededFault) -> bool:
    """Say whether a family has the rule, the parts and, of the options it has, the values that a fault speaks of."""
    options = family.option_values()
    return (
        fault.rule in {rule.number for rule in family.rules}
        and set(fault.places) <= family.every_place().keys()
        and all(set(values) & set(options[o]) for o, values in family.list_needs(fault).items())
    )
