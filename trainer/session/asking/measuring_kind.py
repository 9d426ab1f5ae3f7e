"""The question with what, and where, one would measure something."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from models.spec.errors import RefusalError
from trainer.lesson.item import Basis, Choice, Field, GapShown, Item, OneOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.lesson import Camera, Show
from trainer.lesson.said import Name, Said, name_clearance, say
from trainer.lesson.taught import TAUGHT, check_taught, read_taught
from trainer.session.asking.benches import once_a_bench
from trainer.session.asking.kind import Draw, Kind
from trainer.session.asking.part_kinds import CHOICES, ask
from trainer.session.bench import Bench
from trainer.session.sheet import Group
from trainer.session.sheet_plan import SheetPlan, plan_sheet

GAUGES = ("feelers", "dial", "micrometers", "depth-gauge", "caliper", "rule", "lead-wire")
COLUMNS = ("what", "gauge", "also", "how", "source")


@dataclass(frozen=True, slots=True)
class Measuring:
    """How something is measured. gauge: the usual one; also: others that would do. how: word key of where and how."""

    gauge: str
    also: tuple[str, ...]
    how: str
    source: str


@lru_cache(maxsize=2)
def read_measuring(folder: Path = TAUGHT) -> dict[str, Measuring]:
    """Read how things are measured, by clearance or run-out. Raises ContentError with every fault."""
    rows, faults = read_taught("measuring", COLUMNS, {"gauge": GAUGES}, folder)
    found = {}
    for what, row in rows.items():
        also = tuple(row["also"].text.split())
        for name in also:
            if name not in GAUGES or name == row["gauge"].text:
                faults.add(
                    row["also"], f"{name!r} is no other gauge", f"write of {', '.join(GAUGES)}"
                )
        found[what] = Measuring(row["gauge"].text, also, row["how"].text, row["source"].text)
    check_taught(faults)
    return found


@once_a_bench
def find_plan(bench: Bench) -> SheetPlan | None:
    """Find what the bench sheet of a build asks for; None for what is no whole pump."""
    try:
        return plan_sheet(bench.build)
    except RefusalError:
        return None


@once_a_bench
def _list_measured(bench: Bench) -> tuple[str, ...]:
    plan = find_plan(bench)
    known = read_measuring()
    return () if plan is None else tuple(one.name for one in plan.wanted if one.name in known)


def name_measured(bench: Bench, what: str) -> Name | Said:
    """Name a line of the sheet: a clearance, or a run-out."""
    plan = find_plan(bench)
    assert plan is not None
    if what in plan.of(Group.RUN_OUT):
        return say(f"sheet.run-out-{what}")
    return name_clearance(what)


def _draw_where_to_measure(draw: Draw) -> Item:
    bench, what, known = draw.bench, draw.subject, read_measuring()
    build, row = bench.build, known[draw.subject]
    named = name_measured(bench, what)
    shown = GapShown(what) if isinstance(named, Name) else None
    show = Show(build.name, build.options, cutaway=True, camera=Camera.SIDE)
    return Item(
        QuestionKind.WHERE_TO_MEASURE, what, build.name, build.options,
        ask(draw, "ask.where-to-measure", what=named),
        (
            Field("gauge", say("ask.measure-gauge"), _ask_gauge(draw, row, shown)),
            Field("place", say("ask.measure-place"), _ask_place(draw, row, shown)),
        ),
        Basis(say("basis.measuring"), row.source), show,
    )  # fmt: skip


def _ask_gauge(draw: Draw, row: Measuring, shown: GapShown | None) -> OneOf:
    """Ask with what; wrong are gauges that are the usual ones for something else: of no other is any ever right."""
    usual = {one.gauge for one in read_measuring().values()} - {row.gauge, *row.also}
    wrong = [gauge for gauge in GAUGES if gauge in usual]
    names = [row.gauge, *draw.chance.sample(wrong, min(CHOICES - 1, len(wrong)))]
    draw.chance.shuffle(names)
    choices = tuple(
        Choice(
            name,
            say(f"gauge.{name}"),
            say(
                "why.gauge-is-right" if name == row.gauge else "why.gauge-is-other",
                does=say(f"gauge.{name}.does"),
                right=say(f"gauge.{row.gauge}"),
                right_does=say(f"gauge.{row.gauge}.does"),
            ),
            shown,
        )
        for name in names
    )
    return OneOf(choices, frozenset({row.gauge}))


def _ask_place(draw: Draw, row: Measuring, shown: GapShown | None) -> OneOf:
    """Ask where and how; wrong are the ways in which other things are measured, first with the same gauge."""
    known = read_measuring()
    others: dict[str, str] = {}
    for what in _list_measured(draw.bench):
        if known[what].how != row.how:
            others.setdefault(known[what].how, what)
    drawn = draw.chance.sample(sorted(others), len(others))
    drawn.sort(key=lambda how: known[others[how]].gauge != row.gauge)
    hows = [row.how, *drawn[: CHOICES - 1]]
    draw.chance.shuffle(hows)
    choices = tuple(
        Choice(
            how,
            say(f"measuring.{how}"),
            say("why.place-is-right")
            if how == row.how
            else say(
                "why.place-is-other",
                what=name_measured(draw.bench, others[how]),
                right=say(f"measuring.{row.how}"),
            ),
            shown,
        )
        for how in hows
    )
    return OneOf(choices, frozenset({row.how}))


WHERE_TO_MEASURE = Kind("clearance", _list_measured, _draw_where_to_measure)
