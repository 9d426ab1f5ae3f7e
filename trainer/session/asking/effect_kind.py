"""The question what happens if a clearance is another: which way leakage, thrust or life goes, and how far."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import permutations
from types import MappingProxyType

from models.spec.errors import RefusalError
from trainer.lesson.item import Basis, Choice, Field, GapShown, Item, OneOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Camera, Show
from trainer.lesson.said import Amount, Quantity, Said, name_clearance, say
from trainer.session.asking.benches import once_a_bench
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.part_kinds import ask
from trainer.session.bench import Bench
from trainer.session.consequences import READERS
from trainer.session.service import BACK_VANE, HUB_RING, WEAR_RING, ServiceBench, Setting

GAP_DIGITS = 2
LEAST_CHANGE = 0.25
"""By what share the clearance changes at the least, so that the question is worth asking."""
HARDLY, SURELY = 0.02, 0.06
"""A change below the first is hardly any, one above the second is plain; what lies between is not asked."""
APART = 1.2
"""By what factor two choices of size differ at the least: no one is asked to work out a pump to a tenth."""
SIZES = 4
MOST_GAPS = 30
"""Values of a clearance that are tried out once for each pump."""
MORE, SAME, LESS = "more", "same", "less"
TOLD = 3
"""Digits of an amount that are told: what follows from a formula is known no better."""
LEAST_GAP_MM = 0.05
"""Clearances below this are not looked at: nothing turns in them."""
LIFE, THRUST = "life_h", "thrust_n"
LARGEST = 1e6
"""Hours beyond which a life is no number that anybody compares."""


@dataclass(frozen=True, slots=True)
class Effect:
    """One consequence of one clearance.

    amount: its name among the consequences. quantity, digits: how it is told. source: whose formula it is.
    reading: word key of how it comes about; "" says what the clearance does at all.
    """

    clearance: str
    amount: str
    quantity: Quantity
    digits: int
    source: str
    reading: str = ""


_STEPANOFF = "Stepanoff, Centrifugal and Axial Flow Pumps, 2nd ed., from memory"
_LIFE = "ISO 281:2007, from memory"
_LOSSES = "common practice: losses in velocity heads, Blasius' friction"
EFFECTS: Mapping[str, Effect] = MappingProxyType(
    {
        f"{one.clearance}.{name}": one
        for name, one in (
            ("leakage", Effect(WEAR_RING, "leakage_m3_per_h", Quantity.FLOW, 1, _LOSSES)),
            ("thrust", Effect(BACK_VANE, THRUST, Quantity.FORCE, 0, _STEPANOFF)),
            ("chamber", Effect(BACK_VANE, "chamber_kpa", Quantity.PRESSURE, 0, _STEPANOFF)),
            ("life", Effect(BACK_VANE, LIFE, Quantity.LIFE, 0, _LIFE)),
            # None at all: whoever has seen only questions in which something follows says that it does.
            (
                "leakage",
                Effect(
                    BACK_VANE,
                    "leakage_m3_per_h",
                    Quantity.FLOW,
                    1,
                    _LOSSES,
                    "why.what-if-elsewhere",
                ),
            ),
            ("leakage", Effect(HUB_RING, "hub_leakage_m3_per_h", Quantity.FLOW, 1, _LOSSES)),
            ("thrust", Effect(HUB_RING, THRUST, Quantity.FORCE, 0, _STEPANOFF)),
        )
    }
)
"""By CLEARANCE.WHAT, as lessons name them."""


@dataclass(frozen=True, slots=True)
class Change:
    """A clearance that goes from one value to another, in mm, and what an effect comes to at both."""

    gaps_mm: tuple[float, float]
    amounts: tuple[float, float]

    @property
    def ratio(self) -> float:
        """What the effect becomes, by what it was."""
        return self.amounts[1] / self.amounts[0]

    @property
    def way(self) -> str:
        """Which way the effect goes; "" where it is neither plain nor plainly none."""
        if abs(self.ratio - 1.0) <= HARDLY:
            return SAME
        if abs(self.ratio - 1.0) < SURELY:
            return ""
        return MORE if self.ratio > 1.0 else LESS

    @property
    def gap_ratio(self) -> float:
        """What the clearance becomes, by what it was."""
        return self.gaps_mm[1] / self.gaps_mm[0]


@once_a_bench
def _open_service(bench: Bench) -> ServiceBench | None:
    """Open what a build does in service; None for builds of which nothing says what they run at."""
    try:
        return ServiceBench(bench.build)
    except RefusalError:
        return None


@once_a_bench
def _list_effects(bench: Bench) -> tuple[str, ...]:
    """List the effects that follow plainly somewhere between the ends of a clearance, or plainly do not."""
    service = _open_service(bench)
    if service is None:
        return ()
    return tuple(
        name
        for name, one in EFFECTS.items()
        if one.clearance in service.measured and _find_ways(bench, one)
    )


def _find_ends(service: ServiceBench, effect: Effect) -> tuple[float, float]:
    low, high = service.find_reach(effect.clearance)
    return round(max(low, LEAST_GAP_MM), GAP_DIGITS), round(high, GAP_DIGITS)


def _draw_what_if(draw: Draw) -> Item:
    effect, name = EFFECTS[draw.subject], draw.subject
    service = _open_service(draw.bench)
    assert service is not None
    change = _draw_change(draw.bench, effect, draw.chance)
    carried = _find_carried(service, effect, change.gaps_mm)
    tell = _Teller(effect, name, carried)
    asks = say("ask.what-if-size", what=tell.what, was=tell.amount(change.amounts[0]))
    fields = (
        Field("direction", say("ask.what-if-direction", what=tell.what), tell.direction(change)),
        # Of what hardly changes too: that it stays as it was is offered always, so it has to be right at times.
        Field("size", asks, tell.sizes(change, draw.chance)),
    )
    was, will = change.gaps_mm
    stem = ask(
        draw, "ask.what-if", clearance=name_clearance(effect.clearance),
        was=Amount(was, digits=GAP_DIGITS), will=Amount(will, digits=GAP_DIGITS),
    )  # fmt: skip
    build, duty = draw.bench.build, service.duty
    runs = say(
        "ask.what-if-runs",
        flow=Amount(duty.flow_m3_per_h, Quantity.FLOW, 0),
        head=Amount(duty.head_m, Quantity.COUNT, 0),
        speed=Amount(duty.speed_rpm, Quantity.SPEED, 0),
    )
    if carried:
        runs = say("said.and", first=runs, then=_tell_thrust("ask.what-if-thrust", carried[0]))
    show = Show(build.name, build.options, cutaway=True, camera=Camera.SIDE)
    basis = Basis(say("basis.effect"), effect.source)
    return Item(
        QuestionKind.WHAT_IF, name, build.name, build.options, (*stem, runs), fields, basis,
        show,
    )  # fmt: skip


def _find_carried(
    service: ServiceBench, effect: Effect, gaps_mm: Sequence[float]
) -> tuple[float, ...]:
    """Find the thrust at two gaps, in N towards suction, where the effect follows from it; else nothing.

    Raises RefusalError as `ServiceBench.look` does.
    """
    if effect.amount != LIFE:
        return ()
    read = READERS[THRUST]
    return tuple(read(service.look(Setting(values_mm={effect.clearance: gap}))) for gap in gaps_mm)


def _tell_thrust(key: str, thrust_n: float) -> Said:
    """Tell a thrust with the side to which it acts."""
    size = float(f"{abs(thrust_n):.{TOLD}g}")
    side = "suction" if thrust_n > 0.0 else "driver"
    return say(f"{key}-{side}", thrust=Amount(size, Quantity.FORCE, 0))


def _draw_change(bench: Bench, effect: Effect, chance: random.Random) -> Change:
    """Draw a change of a clearance whose effect is plain, or is plainly none; each way that there is alike often."""
    ways = _find_ways(bench, effect)
    return chance.choice(ways[chance.choice(sorted(ways))])


@once_a_bench
def _find_ways(bench: Bench, effect: Effect) -> Mapping[str, Sequence[Change]]:
    """Find by the way that an effect goes the changes of a clearance that bring it."""
    service = _open_service(bench)
    assert service is not None
    found: dict[str, list[Change]] = {}
    points = [_look_at(service, effect, gap) for gap in _list_gaps(*_find_ends(service, effect))]
    for one, other in permutations(points, 2):
        change = _find_between(one, other)
        if change is not None and change.way and abs(change.gap_ratio - 1.0) >= LEAST_CHANGE:
            found.setdefault(change.way, []).append(change)
    return found


def _list_gaps(low_mm: float, high_mm: float) -> list[float]:
    """List the gaps that are asked about, as they are told, no more than MOST_GAPS."""
    first, last = (round(one * 10**GAP_DIGITS) for one in (low_mm, high_mm))
    step = math.ceil((last - first + 1) / MOST_GAPS)
    return [round(one / 10**GAP_DIGITS, GAP_DIGITS) for one in range(first, last + 1, step)]


@dataclass(frozen=True, slots=True)
class _Point:
    """What an effect comes to at one gap, and the thrust where it follows from that; amount: None where no formula holds."""

    gap_mm: float
    amount: float | None
    carried: tuple[float, ...]


def _look_at(service: ServiceBench, effect: Effect, gap_mm: float) -> _Point:
    seen = Setting(values_mm={effect.clearance: gap_mm})
    try:
        amount = READERS[effect.amount](service.look(seen))
        carried = _find_carried(service, effect, (gap_mm,))
    except RefusalError:
        return _Point(gap_mm, None, ())
    return _Point(gap_mm, amount, carried)


def _find_between(one: _Point, other: _Point) -> Change | None:
    """Find the change between two; None where a formula does not hold, or the thrust changes its side."""
    was, will = one.amount, other.amount
    if was is None or will is None or not (0.0 < was < LARGEST and 0.0 < will < LARGEST):
        return None
    if any(before * after <= 0.0 for before, after in zip(one.carried, other.carried, strict=True)):
        return None
    return Change((one.gap_mm, other.gap_mm), (was, will))


@dataclass(frozen=True, slots=True)
class _Teller:
    """Make the choices of a change, with their reasons. carried: the thrust before and after, where it decides."""

    effect: Effect
    name: str
    carried: tuple[float, ...]

    @property
    def what(self) -> Said:
        """What is asked of: the leakage, the thrust."""
        return say(f"effect-asked.{self.name.replace('.', '-')}")

    def amount(self, value: float) -> Amount:
        """Tell what it comes to."""
        return Amount(float(f"{value:.{TOLD}g}"), self.effect.quantity, self.effect.digits)

    def _read_on(self) -> Said:
        reading = say(self.effect.reading or f"service.reading-{self.effect.clearance}")
        if not self.carried:
            return reading
        return say(
            "said.and", first=reading, then=_tell_thrust("why.what-if-thrust", self.carried[1])
        )

    def direction(self, change: Change) -> OneOf:
        """Ask which way it goes."""
        right = change.way
        was, will = change.amounts
        why = say(
            f"why.what-if-{right}",
            was=self.amount(was),
            will=self.amount(will),
            reading=self._read_on(),
        )
        shown = GapShown(self.effect.clearance)
        names = (MORE, SAME, LESS)
        choices = tuple(Choice(one, say(f"choice.what-if-{one}"), why, shown) for one in names)
        return OneOf(choices, frozenset({right}))

    def sizes(self, change: Change, chance: random.Random) -> OneOf:
        """Ask how far it goes: what it becomes, among what the usual slips lead to."""
        was, will = change.amounts
        slips = _find_slips(change)
        chosen = [("right", change.ratio)]
        for slip, ratio in slips:
            apart = all(max(ratio / other, other / ratio) >= APART for _, other in chosen)
            if apart and len(chosen) < SIZES:
                chosen.append((slip, ratio))
        chance.shuffle(chosen)
        choices = tuple(
            Choice(
                slip,
                say("choice.what-if-size", value=self.amount(was * ratio)),
                say(f"why.what-if-size-{slip.partition('-')[0]}", was=self.amount(was), will=self.amount(will),
                    times=Amount(change.ratio, Quantity.COUNT), gap_times=Amount(change.gap_ratio, Quantity.COUNT)),
            )
            for slip, ratio in chosen
        )  # fmt: skip
        return OneOf(choices, frozenset({"right"}))


def _find_slips(change: Change) -> list[tuple[str, float]]:
    """Find what the size would be by the usual slips: in proportion, the other way round, by the square, as it was."""
    gap = change.gap_ratio
    return [
        ("proportional", gap),
        ("inverse", 1.0 / gap),
        ("square", gap * gap),
        ("none", 1.0),
        ("far-double", 2.0 * change.ratio),
        ("far-half", change.ratio / 2.0),
    ]


WHAT_IF = Kind("clearance", _list_effects, _draw_what_if)
