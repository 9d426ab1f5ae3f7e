"""Word the empty form of a bench sheet: every key in its place, with what goes there as remarks."""

from __future__ import annotations

import json
from collections.abc import Iterator

from trainer.handout.sheet_texts import tell_fasteners, tell_limits, tell_pattern
from trainer.session.choosing import find_usual
from trainer.session.sheet import PLACES, SIGNED, Group, TorqueLine
from trainer.session.sheet_form import OTHERS
from trainer.session.sheet_plan import GAUGE_OF, GAUGES, SET_BY_SHIMS, SheetPlan, Wanted
from trainer.words import Words
from trainer.words.telling import tell_pump

REMARKS = {Group.GAPS: "gaps", Group.END_FLOAT: "float", Group.RUN_OUT: "run-out", Group.OTHER: "other"}  # fmt: skip


def make_form_text(words: Words, plan: SheetPlan, file: str) -> str:
    """Word the empty form of a build's sheet. Read back unchanged, it is a sheet with everything still to do."""
    say = words.say
    lines = [
        _remark(say("sheet.form-head", pump=tell_pump(words, plan.build.name))),
        _remark(say("sheet.form-units")),
        _remark(say("sheet.form-judge", file=file)),
        _remark(say("sheet.form-safety")),
        "",
        *(f'{key} = ""' for key in ("shop", "assembler", "serial")),
        f'date = ""  {_remark(say("sheet.form-date"))}',
        f"build = {_quote(plan.build.name)}",
        *_list("run-in", say("sheet.form-run-in")),
        f'as-found = ""  {_remark(say("sheet.form-as-found"))}',
        f'remarks = ""  {_remark(say("sheet.form-remarks"))}',
        *_list_options(words, plan),
        *_head("gauges", say("sheet.form-gauges")),
        *(f"{name} = {_quote(off)}" for name, off in GAUGES.items()),
        *_head("signed", say("sheet.form-signed")),
        *(f'{key} = ""  {_remark(say(f"sheet.form-{key}"))}' for key in SIGNED),
        *_list_round(words, plan, "found"),
        *_list_pack(words, plan),
        *_list_parts(words, plan),
        *_list_torques(words, plan),
        *_list_round(words, plan, "left"),
        *_head("pressure", say("sheet.form-pressure")),
        'working = ""',
        'seal-limit = ""',
        *_head("tests", say("sheet.form-tests")),
        *(f'{name} = ""  {_remark(say(f"sheet.test-{name}"))}' for name in plan.tests),
    ]
    return "\n".join(lines) + "\n"


def _list_options(words: Words, plan: SheetPlan) -> Iterator[str]:
    usual = find_usual(plan.build.family)
    yield from _head("options", words.say("sheet.form-options"))
    for name, value in plan.build.options.items():
        hidden = "# " if value == usual[name] else ""
        told = _remark(words.say(f"option.{name}.{value}"))
        yield f"{hidden}{name} = {_quote(value)}  {told}"


def _list_round(words: Words, plan: SheetPlan, name: str) -> Iterator[str]:
    yield ""
    yield _remark(words.say(f"sheet.form-{name}"))
    for group in Group:
        wanted = plan.of(group)
        if not wanted:
            continue
        told = words.say(f"sheet.form-{REMARKS[group]}")
        yield from _head(f"{name}.{group.value}", told)
        yield f"gauge = {_quote(GAUGE_OF[group])}"
        for one in wanted.values():
            yield from _list_wanted(words, one)


def _list_wanted(words: Words, one: Wanted) -> Iterator[str]:
    told = words.say(
        "sheet.form-limits",
        name=_name(words, one),
        limits=tell_limits(words, one.group, one.low_mm, one.high_mm),
        unit=words.unit,
    )
    if one.group is Group.END_FLOAT:
        yield _remark(told)
        yield 'push = ""'
        yield 'pull = ""'
        return
    empty = ", ".join(['""'] * PLACES) if one.group is Group.GAPS else '""'
    yield f"{one.name} = [{empty}]  {_remark(told)}"


def _name(words: Words, one: Wanted) -> str:
    if one.group is Group.RUN_OUT:
        return words.say(f"sheet.run-out-{one.name}")
    key = "sheet.end-float" if one.group is Group.END_FLOAT else f"clearance.{one.name}"
    return words.say(key)


def _list_pack(words: Words, plan: SheetPlan) -> Iterator[str]:
    say = words.say
    yield from _head("pack", say("sheet.form-pack"))
    yield from _list("found", say("sheet.form-pack-found"))
    if SET_BY_SHIMS in plan.of(Group.GAPS):
        yield from _list("trial-gap", say("sheet.form-pack-trial"))
        yield "trial-pack = []"
    yield from _list("fitted", say("sheet.form-pack-fitted"))
    yield f'why = ""  {_remark(say("sheet.form-pack-why"))}'


def _list_parts(words: Words, plan: SheetPlan) -> Iterator[str]:
    yield from _head("parts", words.say("sheet.form-parts"))
    yield f'{OTHERS} = ""  {_remark(words.say("sheet.form-others"))}'
    new = _quote("renew: " + words.say("sheet.usual-wear"))
    for place, count in plan.parts.items():
        name, wear = words.say(f"part.{place}.name"), words.say(f"part.{place}.wear")
        yield _remark(words.count("sheet.form-wear", count, name=name, wear=wear))
        yield f"{place} = {new if place in plan.renewed else _quote('')}"


def _list_torques(words: Words, plan: SheetPlan) -> Iterator[str]:
    yield from _head("torque", words.say("sheet.form-torque"))
    for one in plan.boltings:
        line = TorqueLine(one.joint, one.fastener, one.count, one.thread_mm, one.taught_nm, None)
        told = words.say(
            "sheet.form-torque-line",
            fasteners=tell_fasteners(words, one.fastener, one.count, one.thread_mm),
            pattern=tell_pattern(words, line),
            torque=words.number(one.taught_nm, 0),
        )
        yield f'{one.joint} = ""  {_remark(told)}'


def _list(key: str, told: str) -> Iterator[str]:
    yield f"{key} = []  {_remark(told)}"


def _head(table: str, told: str) -> Iterator[str]:
    yield ""
    yield _remark(told)
    yield f"[{table}]"


def _remark(text: str) -> str:
    return "# " + " ".join(text.split())


def _quote(text: str) -> str:
    """Write a TOML text; JSON's quotes and escapes are TOML's, too."""
    return json.dumps(text, ensure_ascii=False)
