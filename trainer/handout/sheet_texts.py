"""Put a bench sheet into words, once for paper, terminal and window."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from models.systems.inspection_cover import FEELER_SPREAD_MM
from trainer.handout.sheet_foot import tell_foot, tell_hashes
from trainer.handout.told_sheet import ToldGap, ToldLine, ToldPack, ToldSheet, ToldVerdict
from trainer.records import FiledSheet
from trainer.session.sheet import (
    PLACES,
    SIGNED,
    TEST_FACTOR,
    BenchSheet,
    Condition,
    Group,
    Line,
    Missing,
    PackAdvice,
    Taken,
    TestLine,
    TorqueLine,
    Verdict,
)
from trainer.words import Words
from trainer.words.speech import begin
from trainer.words.telling import tell_clearance, tell_part, tell_pump
from trainer.words.telling_shims import tell_shim_shortly

SIGNS = {Verdict.PASS: "✓", Verdict.FAIL: "✗", Verdict.NEAR: "≈", Verdict.OPEN: "…"}
"""A sign beside each word, so that neither colour nor reading alone carries it."""
MOST_NAMED = 4
FEWEST_ALIKE = 4
"""Parts to order of one reason that are listed together."""


def tell_sheet(words: Words, sheet: BenchSheet, filed: FiledSheet | None = None) -> ToldSheet:
    """Tell a sheet; where it is filed, with its place in the chain."""
    say = words.say
    columns = ("what", "limits", "found", "left", "verdict")
    order, alike = _tell_order(words, sheet)
    return ToldSheet(
        title=say("sheet.title"),
        verdict=_tell_verdict(words, sheet),
        head=_tell_head(words, sheet),
        signed_title=say("sheet.signed-title"),
        signed=tuple(
            (say(f"sheet.signed-{key}"), sheet.signed.get(key, say("sheet.not-signed")))
            for key in SIGNED
        ),
        measured_title=say("sheet.measured-title"),
        measured_columns=tuple(say(f"sheet.column-{name}") for name in columns),
        measured=tuple(_tell_line(words, line) for line in sheet.lines if line.is_needed or line.found or line.left),
        measured_note=say("sheet.rule", crooked=words.millimetres(FEELER_SPREAD_MM)),
        limits_note=_tell_sources(words, sheet),
        gaps=tuple(_tell_gap(words, line) for line in sheet.lines if line.group is Group.GAPS),
        gap_headings=(say("sheet.gap-found"), say("sheet.gap-left")),
        pack_title=say("sheet.pack-title"),
        packs=_tell_packs(words, sheet),
        pack_notes=_tell_pack_notes(words, sheet),
        torque_title=say("sheet.torque-title"),
        torque_columns=tuple(
            say(f"sheet.column-{name}") for name in ("joint", "pattern", "taught", "set")
        ),
        torques=tuple(_tell_torque(words, torque) for torque in sheet.torques),
        torque_note=say("sheet.torque-note"),
        tests_title=say("sheet.tests-title"),
        tests_columns=tuple(say(f"sheet.column-{name}") for name in ("test", "outcome", "note")),
        tests=tuple(
            (tell_test(words, test), say(f"sheet.outcome-{test.outcome.value}"), test.note)
            for test in sheet.tests
        ),
        tests_note=say("sheet.tests-note", factor=words.number(TEST_FACTOR, 1)),
        order_title=say("sheet.order-title"),
        part_columns=tuple(say(f"sheet.column-{name}") for name in ("count", "part", "why")),
        order=order,
        order_alike=alike,
        order_none=say("sheet.order-none"),
        rework_title=say("sheet.rework-title"),
        rework=_tell_parts(words, sheet, Condition.REWORK),
        parts_notes=_tell_parts_notes(words, sheet),
        run_in_title=say("sheet.run-in-title"),
        run_in=sheet.run_in,
        as_found_title=say("sheet.as-found-title"),
        as_found=sheet.as_found,
        remarks_title=say("sheet.remarks-title"),
        remarks=sheet.remarks,
        missing_title=say("sheet.missing-title"),
        missing=tell_missing(words, sheet.missing),
        signatures=((say("sheet.signature-assembler"), sheet.assembler), (say("sheet.signature-checked"), "")),
        safety=say("sheet.foot-safety"),
        foot=tell_foot(words, filed),
        hashes=tell_hashes(words, filed),
        is_replaced=filed is not None and filed.corrected_by is not None,
    )  # fmt: skip


# ---------------------------------------------------------------- verdict and head
def tell_verdict(words: Words, verdict: Verdict, why: str = "") -> ToldVerdict:
    """Tell what a whole sheet comes to."""
    return ToldVerdict(
        verdict.value, SIGNS[verdict], words.say(f"sheet.verdict-{verdict.value}"), why
    )


def _tell_verdict(words: Words, sheet: BenchSheet) -> ToldVerdict:
    if sheet.verdict is Verdict.OPEN:
        names = list(tell_missing(words, sheet.missing))
    elif sheet.verdict is Verdict.PASS:
        names = []
    else:
        lines = [one for one in sheet.lines if one.left and one.left.verdict is sheet.verdict]
        names = [tell_line_name(words, one) for one in lines]
        if sheet.verdict is Verdict.FAIL:
            names += [tell_test(words, one) for one in sheet.tests if one.outcome.value == "fail"]
    more = len(names) - MOST_NAMED
    if more > 0:
        names = [*names[:MOST_NAMED], words.count("sheet.missing-more", more)]
    key = f"sheet.verdict-{sheet.verdict.value}-why"
    return tell_verdict(words, sheet.verdict, words.say(key, names=", ".join(names)))


def _tell_head(words: Words, sheet: BenchSheet) -> tuple[tuple[str, str], ...]:
    options = [words.say(f"option.{name}.{value}") for name, value in sheet.options.items()]
    gauges = [
        words.say("sheet.gauge", name=gauge.name, off=words.millimetres(gauge.off_mm, 3))
        for gauge in sheet.gauges
    ]
    values = {
        "pump": tell_pump(words, sheet.build),
        "serial": sheet.serial,
        "date": sheet.date,
        "assembler": sheet.assembler,
        "shop": sheet.shop,
        "options": ", ".join(options) or words.say("sheet.usual-options"),
        "gauges": ", ".join(gauges),
    }
    empty = words.say("sheet.empty")
    return tuple((words.say(f"sheet.head-{key}"), text or empty) for key, text in values.items())


# ---------------------------------------------------------------- readings
def tell_line_name(words: Words, line: Line) -> str:
    """Name what a line measures."""
    if line.group is Group.RUN_OUT:
        return words.say(f"sheet.run-out-{line.name}")
    if line.group is Group.END_FLOAT:
        return words.say("sheet.end-float")
    return tell_clearance(words, line.name)


def tell_limits(words: Words, group: Group, low_mm: float, high_mm: float) -> str:
    """Tell the limits of a line, without the unit, which stands over its column."""
    if group is Group.RUN_OUT:
        return words.say("sheet.limit-most", high=words.length(high_mm, 2))
    return words.say("sheet.limits", low=words.length(low_mm, 2), high=words.length(high_mm, 2))


def _tell_line(words: Words, line: Line) -> ToldLine:
    empty = words.say("sheet.empty")
    return ToldLine(
        tell_line_name(words, line),
        tell_limits(words, line.group, line.low_mm, line.high_mm),
        _tell_found(words, line.group, line.found) if line.found else empty,
        tell_taken(words, line.group, line.left) if line.left else empty,
        tell_line_verdict(words, line.left),
    )


def _tell_sources(words: Words, sheet: BenchSheet) -> str:
    """Tell who says the limits: each source once, with the lines it is the source of."""
    named: dict[str, list[str]] = {}
    for line in sheet.lines:
        if line.is_needed or line.found or line.left:
            # FILE:LINE (WHO SAYS SO): on paper the file says nothing
            source = line.required_by.partition(" (")[2].removesuffix(")") or line.required_by
            named.setdefault(source, []).append(tell_line_name(words, line))
    told = [
        words.say("sheet.limits-by", names=", ".join(names), source=source)
        for source, names in named.items()
    ]
    return words.say("sheet.limits-note", sources=" · ".join(told))


def tell_line_verdict(words: Words, taken: Taken | None) -> ToldVerdict:
    """Tell what one line comes to."""
    verdict = taken.verdict if taken else Verdict.OPEN
    word = "crooked" if taken and taken.is_crooked else verdict.value
    return ToldVerdict(verdict.value, SIGNS[verdict], words.say(f"sheet.word-{word}"))


def _tell_found(words: Words, group: Group, taken: Taken) -> str:
    """Tell what was read as found; what is worn beyond a limit, or crooked, is remarked: it is why the pump was opened."""
    told = tell_taken(words, group, taken)
    if taken.verdict is not Verdict.FAIL:
        return told
    worn = tell_line_verdict(words, taken)
    return words.say("sheet.found-outside", reading=told, sign=worn.sign, word=worn.word)


def tell_taken(words: Words, group: Group, taken: Taken) -> str:
    """Tell what was read, what of it counts, and by how much the gauge may be off."""
    value, off = words.length(taken.counts_mm, 2), words.length(taken.off_mm, 3)
    values = [words.length(one, 2) for one in taken.values_mm]
    if group is Group.END_FLOAT:
        push, pull = values
        return words.say("sheet.reading-float", value=value, off=off, push=push, pull=pull)
    if len(values) == 1:
        return words.say("sheet.reading-one", value=value, off=off)
    if group is not Group.GAPS:
        high = words.length(max(taken.values_mm), 2)
        return words.say(
            "sheet.reading-few", low=value, high=high, off=off, values=", ".join(values)
        )
    spread = words.length(taken.spread_mm, 2)
    return words.say(
        "sheet.reading-least", value=value, off=off, values=", ".join(values), spread=spread
    )


def _tell_gap(words: Words, line: Line) -> ToldGap:
    told = [_tell_gap_round(words, taken) for taken in (line.found, line.left)]
    name = words.say("sheet.gap-title", name=tell_line_name(words, line))
    name = begin(name)
    return ToldGap(name, *told[0], *told[1])


def _tell_gap_round(words: Words, taken: Taken | None) -> tuple[tuple[str, ...], str, int]:
    if taken is None:
        return (words.say("sheet.empty"),) * PLACES, words.say("sheet.gap-none"), -1
    least = words.say("sheet.gap-least", value=words.length(taken.counts_mm, 2))
    spread = words.say("sheet.gap-spread", value=words.length(taken.spread_mm, 2))
    values = tuple(words.length(one, 2) for one in taken.values_mm)
    return values, f"{least}, {spread}", taken.values_mm.index(min(taken.values_mm))


# ---------------------------------------------------------------- shims
def _tell_packs(words: Words, sheet: BenchSheet) -> tuple[ToldPack, ...]:
    advice = sheet.pack.advice
    packs = {"found": sheet.pack.found_mm, "fitted": sheet.pack.fitted_mm}
    if advice:
        packs = {"found": packs["found"], "advised": advice.best_mm, "fitted": packs["fitted"]}
    return tuple(
        ToldPack(
            words.say(f"sheet.pack-{key}"),
            shims,
            tuple(tell_shim_shortly(words, one) for one in shims),
            words.millimetres(sum(shims)) if shims else words.say("sheet.pack-none"),
        )
        for key, shims in packs.items()
    )


def _tell_pack_notes(words: Words, sheet: BenchSheet) -> tuple[str, ...]:
    advice = sheet.pack.advice
    notes = [tell_advice(words, advice) if advice else words.say("sheet.advice-none")]
    if sheet.pack.why:
        notes.append(words.say("sheet.pack-why", why=sheet.pack.why))
    return tuple(notes)


def tell_advice(words: Words, advice: PackAdvice) -> str:
    """Tell which pack follows from the gap, as the sum that is done at the bench."""
    told = words.say(
        "sheet.advice" if advice.fits else "sheet.advice-unfit",
        gap=words.length(advice.gap_mm, 2),
        pack=words.length(sum(advice.with_pack_mm), 2),
        aim=words.length(advice.aim_mm, 2),
        ideal=words.millimetres(advice.ideal_mm),
        best=" + ".join(tell_shim_shortly(words, one) for one in advice.best_mm),
        gives=words.millimetres(advice.gives_mm),
        chance=words.number(100.0 * advice.chance, 1),
    )
    if advice.outside:
        names = words.join([words.say(f"clearance.{name}") for name in advice.outside])
        told = f"{told} {words.say('sheet.advice-outside', names=names)}"
    if advice.order_mm:
        order = words.join([words.millimetres(one) for one in advice.order_mm])
        told = f"{told} {words.say('sheet.advice-order', order=order)}"
    if advice.by_screws:
        names = words.join([words.say(f"clearance.{name}") for name in advice.by_screws])
        told = f"{told} {words.say('sheet.advice-by-screws', names=names)}"
    if advice.is_trial:
        told = f"{told} {words.say('sheet.advice-trial')}"
    if advice.old_parts:
        parts = words.join([tell_part(words, place) for place in advice.old_parts])
        told = f"{told} {words.say('sheet.advice-old-parts', parts=parts)}"
    return told


# ---------------------------------------------------------------- joints, tests, parts
def tell_fasteners(words: Words, fastener: str, count: int, thread_mm: float) -> str:
    """Name the fasteners of a joint, how many, with their thread."""
    key = f"part.{fastener}.many" if count > 1 else f"part.{fastener}.name"
    thread = words.number(thread_mm, 0)
    return words.say("sheet.fasteners", count=count, name=words.say(key), thread=thread)


def tell_pattern(words: Words, torque: TorqueLine) -> str:
    """Tell how the fasteners of a joint are tightened."""
    if torque.count == 1:
        return words.say("sheet.pattern-one")
    shares = ", ".join(words.number(100.0 * share, 0) for share in torque.passes)
    key = "sheet.pattern-cross" if torque.is_crosswise else "sheet.pattern-turn"
    return words.say(key, passes=words.say("sheet.passes", shares=shares))


def _tell_torque(words: Words, torque: TorqueLine) -> tuple[str, ...]:
    return (
        tell_fasteners(words, torque.fastener, torque.count, torque.thread_mm),
        tell_pattern(words, torque),
        words.number(torque.taught_nm, 0),
        words.say("sheet.empty") if torque.set_nm is None else words.number(torque.set_nm, 0),
    )


def tell_test(words: Words, test: TestLine) -> str:
    """Name a test, a pressure test with its pressure where that is known."""
    if test.asked_bar is None:
        return words.say(f"sheet.test-{test.name}")
    asked = words.number(test.asked_bar, 1)
    return words.say("sheet.test-pressure-asked", asked=asked, minutes=test.minutes)


def _tell_order(
    words: Words, sheet: BenchSheet
) -> tuple[tuple[tuple[str, ...], ...], tuple[tuple[str, tuple[str, ...]], ...]]:
    """Tell the parts to order: each with its reason, those of one common reason together as "8 × cover nuts"."""
    rows = _tell_parts(words, sheet, Condition.RENEW)
    counts = Counter(why for _, _, why in rows)
    alike = tuple(
        (why, tuple(words.say("sheet.order-item", count=n, name=name) for n, name, told in rows if told == why))
        for why, count in counts.items()
        if count >= FEWEST_ALIKE
    )  # fmt: skip
    return tuple(row for row in rows if counts[row[2]] < FEWEST_ALIKE), alike


def _tell_parts(words: Words, sheet: BenchSheet, condition: Condition) -> tuple[tuple[str, ...], ...]:  # fmt: skip
    told = []
    for part in sheet.list_parts(condition):
        key = f"part.{part.place}.many" if part.count > 1 else f"part.{part.place}.name"
        told.append((str(part.count), words.say(key), part.why))
    return tuple(told)


def _tell_parts_notes(words: Words, sheet: BenchSheet) -> tuple[str, ...]:
    reused = sum(part.count for part in sheet.list_parts(Condition.REUSE))
    unseen = sum(part.count for part in sheet.parts if part.condition is None)
    notes = [words.count("sheet.reused", reused)] if reused else []
    return (*notes, *([words.count("sheet.unseen", unseen)] if unseen else []))


# ---------------------------------------------------------------- what is missing
def tell_missing(words: Words, missing: Sequence[Missing]) -> tuple[str, ...]:
    """Tell what the sheet still waits for; parts that nobody has looked at are counted."""
    told = [_tell_one_missing(words, one) for one in missing if one.kind != "part"]
    parts = sum(one.kind == "part" for one in missing)
    return (*told, *([words.count("sheet.missing-parts", parts)] if parts else []))


def _tell_one_missing(words: Words, one: Missing) -> str:
    match one.kind:
        case "head":
            return words.say("sheet.missing-head", name=words.say(f"sheet.missing-head-{one.name}"))
        case "signed":
            return words.say("sheet.missing-signed", name=words.say(f"sheet.signed-{one.name}"))
        case "line":
            return words.say("sheet.missing-line", name=_tell_wanted(words, one.name))
        case "torque":
            return words.say("sheet.missing-torque", name=words.say(f"part.{one.name}.name"))
        case "test":
            return words.say("sheet.missing-test", name=words.say(f"sheet.test-{one.name}"))
    return words.say("sheet.missing-pack")


def _tell_wanted(words: Words, name: str) -> str:
    for key in (f"sheet.run-out-{name}", f"sheet.{name}"):
        if words.has(key):
            return words.say(key)
    return tell_clearance(words, name)
