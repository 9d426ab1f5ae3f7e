"""Of a sheet that is to be audited the form refuses just the entries that are the key: written out as a file and read."""

from __future__ import annotations

import pytest

from models.spec.errors import ContentError
from trainer.lesson.item import SomeOf
from trainer.lesson.kinds import QuestionKind
from trainer.lesson.said import Said
from trainer.lesson.wanted import Wanted
from trainer.session.asking import Benches, draw_item
from trainer.session.sheet import Group
from trainer.session.sheet_judging import judge_form
from trainer.session.sheet_plan import plan_sheet
from trainer.session.toml_form import parse_toml

BENCHES = Benches()
PLACES = {"date": ("", "date"), "pack": ("pack", "fitted"), "pressure": ("pressure", "working"), "gauge": ("gauges", "depth")}  # fmt: skip


def write_entry(groups: dict[str, str], name: str, told: str) -> tuple[str, str]:
    """Write one entry as a table and the lines below it."""
    if name == "end-float":
        push, pull = told.split(" / ")
        return "found.end-float", f'gauge = "dial"\npush = "{push}"\npull = "{pull}"'
    if name in groups:
        listed = ", ".join(f'"{one}"' for one in told.split(" / "))
        return f"found.{groups[name]}", f"{name} = [{listed}]"
    if name.startswith("torque-"):
        return "torque", f'{name.removeprefix("torque-")} = "{told}"'
    table, key = PLACES[name]
    said = "[" + ", ".join(f'"{one}"' for one in told.split(" + ")) + "]" if name == "pack" else f'"{told}"'  # fmt: skip
    return table, f"{key} = {said}"


def write_form(build: str, groups: dict[str, str], entries: dict[str, str]) -> tuple[str, dict[int, str]]:  # fmt: skip
    """Write a form with some entries; give it with the name of the entry at each line."""
    lines, owner, tables = [f'build = "{build}"'], dict[int, str](), dict[str, list[tuple[str, str]]]()  # fmt: skip
    for name, told in entries.items():
        table, text = write_entry(groups, name, told)
        tables.setdefault(table, []).append((name, text))
    tables.setdefault("gauges", [])
    for table, rows in sorted(tables.items()):
        lines += [f"[{table}]"] if table else []
        if table == "gauges":
            lines += [f'{one} = "0.01 mm"' for one in ("feelers", "dial", "micrometer")]
        if table.startswith("found.") and table != "found.end-float":
            lines.append('gauge = "dial"')
        for name, text in rows:
            for line in text.splitlines():
                lines.append(line)
                owner[len(lines)] = name
    return "\n".join(lines) + "\n", owner


@pytest.mark.parametrize("pump", ["end-suction/100-250", "self-priming/100"])
def test_the_form_refuses_the_key_and_nothing_else(pump: str) -> None:
    bench = BENCHES.open(pump)
    groups = {one.name: one.group.value for one in plan_sheet(bench.build).wanted if one.group is not Group.END_FLOAT}  # fmt: skip
    slips = set()
    for seed in range(25):
        item = draw_item(bench, BENCHES, Wanted(QuestionKind.AUDIT_SHEET), str(seed))
        form = item.fields[0].form
        assert isinstance(form, SomeOf)
        told = {one.id: str(one.said.fields["told"]) for one in form.choices}
        text, owner = write_form(bench.name, groups, told)
        with pytest.raises(ContentError) as caught:
            judge_form(parse_toml(text.encode(), "sheet.toml"))
        assert {owner[fault.line] for fault in caught.value.faults} == form.right, text
        slips |= {one.why.key for one in form.choices if one.id in form.right}
        assert all(isinstance(one.why, Said) for one in form.choices)
    assert len(slips) > 6
