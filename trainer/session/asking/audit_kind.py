"""The question which entries of a bench sheet cannot be: a sound sheet, with impossible entries seeded into it.

The form's own reading proves it: it has to blame just the seeded entries, or the question is not asked.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from models.spec.errors import ContentError
from models.spec.units import MM_IN_INCH
from trainer.lesson.item import Basis, Choice, Field, Item, SomeOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.said import Amount, Filling, Said, name_part, say
from trainer.session.asking.benches import once_a_bench
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.measuring_kind import find_plan, name_measured
from trainer.session.asking.part_kinds import ask
from trainer.session.bench import Bench
from trainer.session.sheet import PLACES, Group
from trainer.session.sheet_form import read_entries
from trainer.session.sheet_plan import GAUGE_OF, Bolting, SheetPlan, Wanted
from trainer.session.toml_form import FormPath, TomlForm

SHEET = "sheet"
ENTRIES = 8
MOST_SEEDED = 3
WORN = 0.3
"""Chance that a sound reading lies outside its limits: bad news is no impossible entry."""
WORN_BY = 0.4
"""By how much of the room between the limits it may lie outside."""
USUAL_TORQUE = (0.9, 1.1)
"""What a wrench is set to, by what is taught for it."""


class Way(StrEnum):
    """How an entry is written: so that it can be, or with a slip that makes it impossible."""

    SOUND = "sound"
    SLIP = "slip"


@dataclass(frozen=True, slots=True)
class Written:
    """One entry: what stands at its paths of the form, how it is told, and why it can be or cannot."""

    at: Mapping[FormPath, Any]
    told: str
    why: Said


Writer = Callable[[random.Random, Way], Written]


@dataclass(frozen=True, slots=True)
class Entry:
    """A line of the sheet. write: writes it, one way or the other."""

    name: str
    what: Filling
    write: Writer


def _list_sheets(bench: Bench) -> tuple[str, ...]:
    return (SHEET,) if len(_list_entries(bench)) >= ENTRIES else ()


@once_a_bench
def _list_entries(bench: Bench) -> tuple[Entry, ...]:
    """List the lines of the sheet of a build that can be written soundly or impossibly."""
    plan = find_plan(bench)
    if plan is None:
        return ()
    return (*_list_readings(bench, plan), *_list_others(plan))


def _list_readings(bench: Bench, plan: SheetPlan) -> Iterator[Entry]:
    for one in plan.wanted:
        # Where the limits lie below zero, no sign of a reading is a slip.
        if one.low_mm >= 0.0 and one.high_mm > one.low_mm:
            writer = _write_float if one.group is Group.END_FLOAT else _write_reading
            yield Entry(one.name, name_measured(bench, one.name), writer(one))


def _list_others(plan: SheetPlan) -> Iterator[Entry]:
    yield Entry("date", say("audit.date"), _write_date)
    yield Entry("pack", say("audit.pack"), _write_pack)
    yield Entry("pressure", say("audit.pressure"), _write_pressure)
    yield Entry("gauge", say("audit.gauge"), _write_gauge)
    for bolting in plan.boltings:
        what = say("audit.torque", part=name_part(bolting.fastener))
        yield Entry(f"torque-{bolting.joint}", what, _write_torque(bolting))


def _draw_audit(draw: Draw) -> Item:
    build, chance = draw.bench.build, draw.chance
    entries = chance.sample(_list_entries(draw.bench), ENTRIES)
    seeded = {one.name for one in chance.sample(entries, chance.randint(1, MOST_SEEDED))}
    written = {
        one.name: one.write(chance, Way.SLIP if one.name in seeded else Way.SOUND)
        for one in entries
    }
    plan = find_plan(draw.bench)
    assert plan is not None
    blamed = find_blamed(plan, list(written.values()))
    assert blamed == {at for at, name in enumerate(written) if name in seeded}, (
        build.name,
        written,
    )
    choices = tuple(
        Choice(
            one.name,
            say("audit.entry", what=one.what, told=written[one.name].told),
            written[one.name].why,
        )
        for one in entries
    )
    field = Field("impossible", say("ask.audit-field"), SomeOf(choices, frozenset(seeded)))
    return Item(
        QuestionKind.AUDIT_SHEET, SHEET, build.name, build.options, ask(draw, "ask.audit"),
        (field,), Basis(say("basis.audit")),
    )  # fmt: skip


def find_blamed(plan: SheetPlan, written: Sequence[Written]) -> set[int]:
    """Find which of some entries the form's reading blames, by their places in the list."""
    content: dict[str, Any] = {"gauges": dict.fromkeys(GAUGE_OF.values(), "0.01 mm")}
    lines: dict[FormPath, int] = {}
    for place, one in enumerate(written):
        for path, value in one.at.items():
            here = content
            for key in path[:-1]:
                here = here.setdefault(str(key), {})
            here[str(path[-1])] = value
            lines[path] = place + 1
    for group, gauge in GAUGE_OF.items():
        if group.value in content.get("found", {}):
            content["found"][group.value]["gauge"] = gauge
    try:
        read_entries(TomlForm("sheet", content, lines), plan)
    except ContentError as error:
        return {fault.line - 1 for fault in error.faults}
    return set()


# ------------------------------------------------------------------ readings
def _mm(value: float) -> str:
    return f"{value:.2f} mm"


def _draw_sound(chance: random.Random, wanted: Wanted) -> tuple[float, Said]:
    """Draw a reading that can be, inside its limits or worn beyond them."""
    low, high = wanted.low_mm, wanted.high_mm
    limits = {"low": Amount(low), "high": Amount(high)}
    if chance.random() < WORN:
        value = high + max(0.02, WORN_BY * (high - low) * chance.random())
        return round(value, 2), say("why.audit-worn", **limits)
    room = 0.1 * (high - low)
    value = round(chance.uniform(low + room, high - room), 2)
    inside = low <= value <= high
    return value, say("why.audit-inside" if inside else "why.audit-worn", **limits)


def _write_reading(wanted: Wanted) -> Writer:
    """Write readings of one line: four of a gap, one of anything else."""
    at: FormPath = ("found", wanted.group.value, wanted.name)
    count = PLACES if wanted.group is Group.GAPS else 1

    def write(chance: random.Random, way: Way) -> Written:
        value, why = _draw_sound(chance, wanted)
        # four places never read quite alike; what is read once is what was drawn
        told = [_mm(value + 0.01 * chance.randint(0, 2) * (count > 1)) for _ in range(count)]
        if way is Way.SLIP:
            slip, wrong = _draw_slip(chance, wanted, value)
            told[chance.randrange(count)] = wrong
            why = say(f"why.audit-{slip}", low=Amount(wanted.low_mm), high=Amount(wanted.high_mm))
        return Written({at: told}, " / ".join(told), why)

    return write


def _draw_slip(chance: random.Random, wanted: Wanted, value: float) -> tuple[str, str]:
    """Draw a slip that makes a reading impossible: the unit, the sign, a leaf that nobody has, the point."""
    low, high = wanted.possible_mm
    slips = [("sign", _mm(-max(value, 0.02)))] if low >= 0.0 else []
    if value * MM_IN_INCH > high + 0.01:
        slips.append(("unit", f"{value:.2f} in"))
    if wanted.group is Group.GAPS:
        slips.append(("thin", "0.01 mm"))
    if value * 100.0 > high + 0.01:
        slips.append(("point", f"{value * 100.0:.0f} mm"))
    return chance.choice(slips)


def _write_float(wanted: Wanted) -> Writer:
    at: FormPath = ("found", wanted.group.value)

    def write(chance: random.Random, way: Way) -> Written:
        value, why = _draw_sound(chance, wanted)
        push = 0.01 * chance.randint(0, 5)
        ends = [_mm(push), _mm(push + value)]
        if way is Way.SLIP:
            ends, why = ends[::-1], say("why.audit-backwards")
        both = {(*at, "push"): ends[0], (*at, "pull"): ends[1]}
        return Written(both, f"{ends[0]} / {ends[1]}", why)

    return write


# ------------------------------------------------------------------ other lines
def _write_one(at: FormPath, told: str, slip: str, way: Way, value: Any = None) -> Written:  # noqa: ANN401 - what a form holds
    why = say("why.audit-can-be" if way is Way.SOUND else f"why.audit-{slip}")
    return Written({at: told if value is None else value}, told, why)


def _write_date(chance: random.Random, way: Way) -> Written:
    month = chance.randint(1, 12)
    wrong = chance.choice((f"2026-{12 + month:02d}-14", "2026-02-30", "2026-06-31"))
    told = f"2026-{month:02d}-{chance.randint(1, 28):02d}" if way is Way.SOUND else wrong
    return _write_one(("date",), told, "date", way)


def _write_pack(chance: random.Random, way: Way) -> Written:
    pack = [f"{chance.choice((0.1, 0.15, 0.2, 0.3, 0.5)):.2f} mm" for _ in range(2)]
    if way is Way.SLIP:
        pack[1] = chance.choice(("0.00 mm", "15 mm", "-0.20 mm"))
    return _write_one(("pack", "fitted"), " + ".join(pack), "shim", way, pack)


def _write_pressure(chance: random.Random, way: Way) -> Written:
    bar = chance.randint(3, 9)
    told = f"{bar} bar" if way is Way.SOUND else chance.choice((f"-{bar} bar", f"{bar} mm"))
    return _write_one(("pressure", "working"), told, "pressure", way)


def _write_gauge(chance: random.Random, way: Way) -> Written:
    told = chance.choice(
        ("0.01 mm", "0.02 mm") if way is Way.SOUND else ("2 mm", "1 mm", "-0.01 mm")
    )
    return _write_one(("gauges", "depth gauge"), told, "gauge", way)


def _write_torque(bolting: Bolting) -> Writer:
    def write(chance: random.Random, way: Way) -> Written:
        set_nm = round(bolting.taught_nm * chance.uniform(*USUAL_TORQUE))
        told = (
            f"{set_nm} N m"
            if way is Way.SOUND
            else chance.choice((f"{set_nm} bar", f"-{set_nm} N m"))
        )
        return _write_one(("torque", bolting.joint), told, "torque", way)

    return write


AUDIT_SHEET = Kind("", _list_sheets, _draw_audit)
