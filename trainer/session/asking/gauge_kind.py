"""The question what a gauge shows, and whether to believe it: dial, micrometer and feelers."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from models.systems.inspection_cover import FEELER_SPREAD_MM
from trainer.core.measure.chain import Link
from trainer.lesson.item import Basis, Choice, Field, Figure, Item, Mistake, Number, OneOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.said import Amount, Quantity, Said, name_clearance, name_piece, say
from trainer.session.asking.benches import once_a_bench
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.measuring_kind import find_plan
from trainer.session.asking.part_kinds import COMMON_PRACTICE, ask
from trainer.session.bench import Bench
from trainer.session.sheet import PLACES, Group
from trainer.session.sheet_plan import END_FLOAT, Wanted

DIAL, MICROMETER, FEELERS = "dial", "micrometer", "feelers"
INSIDE, OUTSIDE, NEVER = "inside", "outside", "never"
"""What to make of a reading: good, bad but possible, or no reading of this at all."""
LINE_MM = 0.01
"""Between two lines of a dial, or of a micrometer's thimble."""
HALF_MM = 0.5
"""One turn of a micrometer's thimble. Source: common practice."""
DIAL_MM = 0.48
"""Farther a needle that is drawn does not go from zero: half a turn is half a millimetre."""
REACH_MM = (1.0, 24.0)
"""What the micrometer that is drawn takes hold of, from 0 to 25 mm."""
HELD = frozenset({"length", "width", "thickness", "flange-thickness"})
"""Dimensions over two outside faces, which a micrometer can take hold of."""
NARROW_MM = 0.4
"""Limits of what one measures with a micrometer lie no farther apart."""
LEAST_OFF_MM = 0.03
"""A reading lies so far from a limit at the least: which side it is on is not in question."""
LEAVES_MM = (0.05, 0.10, 0.15, 0.20, 0.25, 0.30, 0.35, 0.40, 0.45, 0.50, 0.60, 0.70, 0.80)
MOST_LEAVES = 3
MOST_TRIED = 200


@dataclass(frozen=True, slots=True)
class Shown:
    """A gauge that is drawn. reading_mm: what it shows; verdict: what to make of it; slips: wrong readings, by word key."""

    reading_mm: float
    verdict: str
    stem: Said
    figure: Figure
    slips: Mapping[str, float]


def _grid(value_mm: float) -> float:
    return round(round(value_mm / LINE_MM) * LINE_MM, 2)


@once_a_bench
def _list_gauges(bench: Bench) -> tuple[str, ...]:
    plan = find_plan(bench)
    if plan is None:
        return ()
    found = [DIAL] if plan.of(Group.END_FLOAT) else []
    found += [MICROMETER] if _list_held(bench) else []
    return (*found, *([FEELERS] if plan.of(Group.GAPS) else []))


@once_a_bench
def _list_held(bench: Bench) -> tuple[Link, ...]:
    """List the dimensions that one takes between the anvils of a small micrometer."""
    low, high = REACH_MM
    found = {
        (link.piece, link.dimension): link
        for measured in bench.clearances
        for link in measured.chain
        if link.dimension in HELD
        and low <= link.lower_mm
        and link.upper_mm <= high
        and LINE_MM < link.upper_mm - link.lower_mm <= NARROW_MM
    }
    return tuple(found.values())


def _draw_read_gauge(draw: Draw) -> Item:
    build, gauge = draw.bench.build, draw.subject
    shown = _DRAWS[gauge](draw)
    number = Number(
        shown.reading_mm, shown.reading_mm - LINE_MM / 2, shown.reading_mm + LINE_MM / 2,
        say(f"why.read-{gauge}", reading=Amount(shown.reading_mm)),
        mistakes=tuple(
            Mistake(wrong - LINE_MM / 4, wrong + LINE_MM / 4, say(f"why.misread-{slip}"))
            for slip, wrong in shown.slips.items()
            if abs(wrong - shown.reading_mm) > LINE_MM
        ),
    )  # fmt: skip
    names = [INSIDE, OUTSIDE, NEVER]
    choices = tuple(
        Choice(name, say(f"believe.{gauge}-{name}"), say(f"why.believe-{gauge}-{shown.verdict}"))
        for name in names
    )
    return Item(
        QuestionKind.READ_GAUGE, gauge, build.name, build.options,
        (shown.stem, *ask(draw, "ask.read-gauge")),
        (
            Field("reading", say("ask.gauge-reading"), number),
            Field("believe", say("ask.gauge-believe"), OneOf(choices, frozenset({shown.verdict}))),
        ),
        Basis(say("basis.gauge"), COMMON_PRACTICE), figure=shown.figure,
    )  # fmt: skip


# ------------------------------------------------------------------ dial
def _draw_dial(draw: Draw) -> Shown:
    plan = find_plan(draw.bench)
    assert plan is not None
    wanted, chance = plan.of(Group.END_FLOAT)[END_FLOAT], draw.chance
    verdict = chance.choice((INSIDE, OUTSIDE, NEVER))
    ranges = {
        INSIDE: (wanted.low_mm, wanted.high_mm),
        OUTSIDE: (wanted.high_mm + LEAST_OFF_MM, DIAL_MM),
        NEVER: (-DIAL_MM, wanted.possible_mm[0] - LEAST_OFF_MM),
    }
    reading = _draw_between(chance, *ranges[verdict])
    stem = say("ask.dial", clearance=name_clearance(END_FLOAT), low=Amount(wanted.low_mm), high=Amount(wanted.high_mm))  # fmt: skip
    lines = round(abs(reading) / LINE_MM)
    side = say("figure.right-of" if reading > 0.0 else "figure.left-of")
    spoken = say("figure.dial", lines=Amount(lines, Quantity.COUNT, 0), side=side)
    figure = Figure(DIAL, {"reading_mm": reading}, spoken)
    return Shown(reading, verdict, stem, figure, {"sign": -reading, "tenth": 10.0 * reading})


def _draw_between(chance: random.Random, low_mm: float, high_mm: float) -> float:
    """Draw a value on a line of the scale, both ends among them, but not zero."""
    first, last = math.ceil(low_mm / LINE_MM - 1e-6), math.floor(high_mm / LINE_MM + 1e-6)
    return _grid(LINE_MM * (chance.randint(first, last) or 1))


# ------------------------------------------------------------------ micrometer
def _draw_micrometer(draw: Draw) -> Shown:
    chance = draw.chance
    link = chance.choice(_list_held(draw.bench))
    low, high = link.lower_mm, link.upper_mm
    wanted = Wanted(Group.OTHER, link.dimension, low, (low + high) / 2.0, high, "", is_needed=False)
    verdict = chance.choice((INSIDE, OUTSIDE, NEVER))
    reading = _draw_held(chance, wanted, verdict)
    stem = say(
        "ask.micrometer", piece=name_piece(link.piece), dimension=link.dimension.replace("-", " "),
        low=Amount(low, digits=3), high=Amount(high, digits=3),
    )  # fmt: skip
    whole, thimble = divmod(round(reading / LINE_MM), round(HALF_MM / LINE_MM))
    spoken = say(
        "figure.micrometer",
        whole=Amount(whole // 2, Quantity.COUNT, 0),
        half=say("figure.half-seen" if whole % 2 else "figure.half-not-seen"),
        thimble=Amount(thimble, Quantity.COUNT, 0),
    )
    figure = Figure(MICROMETER, {"reading_mm": reading}, spoken)
    slip = -HALF_MM if whole % 2 else HALF_MM
    return Shown(reading, verdict, stem, figure, {"half": reading + slip})


def _draw_held(chance: random.Random, wanted: Wanted, verdict: str) -> float:
    low, high = wanted.low_mm, wanted.high_mm
    least, most = wanted.possible_mm
    if verdict == INSIDE and math.ceil(low / LINE_MM) > math.floor(high / LINE_MM):
        verdict = OUTSIDE
    ranges = {
        INSIDE: [(low, high)],
        OUTSIDE: [(low - 0.4, low - LEAST_OFF_MM), (high + LEAST_OFF_MM, high + 0.4)],
        NEVER: [(0.05, least - LEAST_OFF_MM), (most + LEAST_OFF_MM, min(most + 8.0, 24.9))],
    }
    kept = [(a, b) for a, b in ranges[verdict] if b - a >= LINE_MM or verdict == INSIDE]
    return _draw_between(chance, *chance.choice(kept))


# ------------------------------------------------------------------ feelers
def _draw_feelers(draw: Draw) -> Shown:
    plan = find_plan(draw.bench)
    assert plan is not None
    chance = draw.chance
    wanted = chance.choice(list(plan.of(Group.GAPS).values()))
    verdict = chance.choice((INSIDE, OUTSIDE, NEVER))
    leaves, others = _draw_places(chance, wanted, verdict)
    reading = _grid(sum(leaves))
    stem = say(
        "ask.feelers", clearance=name_clearance(wanted.name), low=Amount(wanted.low_mm),
        high=Amount(wanted.high_mm), spread=Amount(FEELER_SPREAD_MM), others=tuple(Amount(one) for one in others),
    )  # fmt: skip
    told = tuple(f"{leaf:.2f}" for leaf in leaves)
    spoken = say("figure.feelers", leaves=tuple(Amount(leaf) for leaf in leaves))
    return Shown(reading, verdict, stem, Figure(FEELERS, {"leaves": told}, spoken), {"one-leaf": max(leaves)})  # fmt: skip


def _draw_places(
    chance: random.Random, wanted: Wanted, verdict: str
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Draw the leaves that go in at one place, and what was read at the others."""
    for _ in range(MOST_TRIED):
        leaves = tuple(chance.sample(LEAVES_MM, chance.randint(1, MOST_LEAVES)))
        here = _grid(sum(leaves))
        spread = FEELER_SPREAD_MM / LINE_MM
        most = round(3 * spread if verdict == NEVER else spread / 2)
        others = tuple(_grid(here + LINE_MM * chance.randint(-most, most)) for _ in range(PLACES - 1))  # fmt: skip
        if min(others) >= min(LEAVES_MM) and judge_places((here, *others), wanted) == verdict:
            return tuple(sorted(leaves, reverse=True)), others
    raise AssertionError(f"no leaves give {verdict} for {wanted.name}")


def judge_places(gaps_mm: tuple[float, ...], wanted: Wanted) -> str:
    """Judge a gap at its places: crooked is never believed; "" where it is too near a limit to be asked about."""
    spread, least = max(gaps_mm) - min(gaps_mm), min(gaps_mm)
    if spread > FEELER_SPREAD_MM - LINE_MM / 2:
        return NEVER if spread > FEELER_SPREAD_MM + LEAST_OFF_MM else ""
    if wanted.low_mm + LINE_MM <= least <= wanted.high_mm - LINE_MM:
        return INSIDE
    far = max(wanted.low_mm - least, least - wanted.high_mm)
    return OUTSIDE if far >= LEAST_OFF_MM else ""


_DRAWS: Mapping[str, Callable[[Draw], Shown]] = MappingProxyType(
    {DIAL: _draw_dial, MICROMETER: _draw_micrometer, FEELERS: _draw_feelers}
)
READ_GAUGE = Kind("gauge", _list_gauges, _draw_read_gauge)
