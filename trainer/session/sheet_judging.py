"""Judge what an assembler entered: each reading against its limits, the pack that follows, and the whole sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from models.spec.build import TABLES
from models.spec.dimension import Dimension
from models.spec.errors import ContentError, Fault, RefusalError
from models.systems.inspection_cover import FEELER_SPREAD_MM
from trainer.core.measure.packs import StockShim
from trainer.session.bench import Bench, open_bench
from trainer.session.choosing import find_usual
from trainer.session.sheet import (
    SIGNED,
    TEST_FACTOR,
    TEST_MINUTES,
    BenchSheet,
    Gauge,
    Group,
    Line,
    Missing,
    Outcome,
    PackLine,
    PartLine,
    Taken,
    TestLine,
    TorqueLine,
    Verdict,
)
from trainer.session.sheet_entries import Entries, Round
from trainer.session.sheet_form import read_entries, read_head
from trainer.session.sheet_pack import advise_pack
from trainer.session.sheet_plan import SET_BY_SHIMS, SheetPlan, Wanted, plan_sheet
from trainer.session.toml_form import TomlForm
from trainer.session.typed import DEPOT_DRAWER, read_stock

EXAMPLE = TABLES / "sheets" / "depot-100-250.toml"
"""A filled form of the Saltmarsh Levels drainage depot (invented)."""
SAME_MM = 1e-9
WORST_FIRST = (Verdict.FAIL, Verdict.NEAR, Verdict.PASS)


def judge_form(
    form: TomlForm, stock: Path = DEPOT_DRAWER, limits: Mapping[str, Dimension] | None = None
) -> BenchSheet:
    """Judge a form that was filled in; `limits` are the shop's own, by clearance.

    Raises:
        ContentError: with every fault of the form, or of the stock list.
        RefusalError: it cannot be built as the form says, or is no whole pump.
    """
    build, options = read_head(form)
    try:
        bench = open_bench(build, options, limits=limits)
    except RefusalError as error:
        line = form.lines.get(("build",), 0)
        raise ContentError([Fault(form.shown, line, 0, str(error), "see `builds`")]) from error
    plan = plan_sheet(bench.build)
    entries = read_entries(form, plan)
    try:
        return judge_entries(bench, plan, entries, read_stock(stock))
    except RefusalError as error:  # from a gap that this pump cannot have, no pack can follow
        at = ("pack", "trial-gap") if entries.trial_gap else ("found", Group.GAPS.value)
        line = form.lines.get((*at, SET_BY_SHIMS), form.lines.get(at, 0))
        what, _, remedy = str(error).partition("; ")
        raise ContentError([Fault(form.shown, line, 0, what, remedy)]) from error


def judge_entries(
    bench: Bench, plan: SheetPlan, entries: Entries, stock: Sequence[StockShim], unit: str = "mm"
) -> BenchSheet:
    """Judge entries against what the build asks for; `stock` is the drawer that the pack comes from.

    A fault tells lengths in `unit`.

    Raises:
        RefusalError: no pack can follow from what was measured.
    """
    build = bench.build
    usual = find_usual(build.family)
    lines = tuple(_judge_line(wanted, entries) for wanted in plan.wanted)
    parts = tuple(_list_parts(plan, entries))
    pack = PackLine(
        entries.pack_found_mm,
        entries.pack_fitted_mm,
        entries.pack_why,
        advise_pack(bench, entries, parts, stock, unit),
    )
    torques = tuple(_list_torques(plan, entries))
    tests = tuple(_list_tests(plan, entries))
    missing = (
        *_find_missing_words(entries),
        *_find_missing_work(lines, parts, torques, tests),
        *([] if pack.fitted_mm else [Missing("pack", "fitted")]),
    )
    return BenchSheet(
        entries.shop,
        entries.assembler,
        entries.serial,
        entries.date,
        build.name,
        {name: value for name, value in build.options.items() if value != usual[name]},
        {key: entries.signed[key] for key in SIGNED if key in entries.signed},
        tuple(Gauge(name, off) for name, off in entries.gauges_mm.items()),
        lines,
        pack,
        parts,
        torques,
        tests,
        entries.run_in,
        entries.remarks,
        _sum_up(lines, tests, missing),
        missing,
        entries.as_found,
    )


def judge(value_mm: float, off_mm: float, low_mm: float, high_mm: float) -> Verdict:
    """Judge a reading whose gauge may be off: it passes, or fails, only where that cannot change the answer.

    Source: the idea of ISO 14253-1, that the uncertainty goes against whoever claims, on both sides; from memory.
    """
    if low_mm + off_mm - SAME_MM <= value_mm <= high_mm - off_mm + SAME_MM:
        return Verdict.PASS
    if value_mm < low_mm - off_mm - SAME_MM or value_mm > high_mm + off_mm + SAME_MM:
        return Verdict.FAIL
    return Verdict.NEAR


# ---------------------------------------------------------------- readings
def _judge_line(wanted: Wanted, entries: Entries) -> Line:
    found, left = (
        _judge_round(wanted, said, entries.gauges_mm) for said in (entries.found, entries.left)
    )
    return Line(
        wanted.group,
        wanted.name,
        wanted.low_mm,
        wanted.aim_mm,
        wanted.high_mm,
        wanted.required_by,
        wanted.is_needed,
        found,
        left,
    )


def _judge_round(wanted: Wanted, said: Round, gauges_mm: Mapping[str, float]) -> Taken | None:
    readings = said.readings.get(wanted.group, {}).get(wanted.name, ())
    if not readings:
        return None
    values = tuple(reading.value_mm for reading in readings)
    spread = max(values) - min(values)
    counts = min(values)
    if wanted.group is Group.END_FLOAT:
        counts, spread = values[1] - values[0], 0.0
    gauge = said.gauges[wanted.group]
    off = gauges_mm[gauge]
    is_crooked = wanted.group is Group.GAPS and spread > FEELER_SPREAD_MM + SAME_MM
    # Of a bore worn oval the least says whether it runs free, the largest whether it is worn out.
    held = (min(values), max(values)) if wanted.group is Group.OTHER else (counts,)
    verdicts = [judge(value, off, wanted.low_mm, wanted.high_mm) for value in held]
    verdict = next(one for one in WORST_FIRST if one in verdicts)
    return Taken(
        values,
        tuple(reading.typed for reading in readings),
        counts,
        spread,
        gauge,
        off,
        Verdict.FAIL if is_crooked else verdict,
        is_crooked,
    )


# ---------------------------------------------------------------- parts, joints, tests
def _list_parts(plan: SheetPlan, entries: Entries) -> Iterator[PartLine]:
    for place, count in plan.parts.items():
        condition, why = entries.parts.get(place, (entries.others, ""))
        yield PartLine(place, count, condition, why)


def _list_torques(plan: SheetPlan, entries: Entries) -> Iterator[TorqueLine]:
    for one in plan.boltings:
        set_nm = entries.torques_nm.get(one.joint)
        yield TorqueLine(one.joint, one.fastener, one.count, one.thread_mm, one.taught_nm, set_nm)


def _list_tests(plan: SheetPlan, entries: Entries) -> Iterator[TestLine]:
    for name in plan.tests:
        outcome, note = entries.tests.get(name, (Outcome.NOT_DONE, ""))
        if name != "pressure":
            yield TestLine(name, outcome, note)
            continue
        asked = None if entries.working_bar is None else TEST_FACTOR * entries.working_bar
        if asked is not None and entries.seal_limit_bar is not None:
            asked = min(asked, entries.seal_limit_bar)
        yield TestLine(name, outcome, note, asked, TEST_MINUTES)


# ---------------------------------------------------------------- the whole
def _find_missing_words(entries: Entries) -> Iterator[Missing]:
    for name in ("shop", "assembler", "serial", "date"):
        if not getattr(entries, name):
            yield Missing("head", name)
    for key in SIGNED:
        if key not in entries.signed:
            yield Missing("signed", key)


def _find_missing_work(
    lines: Sequence[Line],
    parts: Sequence[PartLine],
    torques: Sequence[TorqueLine],
    tests: Sequence[TestLine],
) -> Iterator[Missing]:
    yield from (Missing("line", one.name) for one in lines if one.is_needed and one.left is None)
    yield from (Missing("part", one.place) for one in parts if one.condition is None)
    yield from (Missing("torque", one.fastener) for one in torques if one.set_nm is None)
    yield from (Missing("test", one.name) for one in tests if one.outcome is Outcome.NOT_DONE)


def _sum_up(
    lines: Sequence[Line], tests: Sequence[TestLine], missing: Sequence[Missing]
) -> Verdict:
    """Sum up: one that fails fails all; then it must be complete; then nothing may be too near to call."""
    left = [line.left.verdict for line in lines if line.left]
    if Verdict.FAIL in left or any(test.outcome is Outcome.FAIL for test in tests):
        return Verdict.FAIL
    if missing:
        return Verdict.OPEN
    return Verdict.NEAR if Verdict.NEAR in left else Verdict.PASS
