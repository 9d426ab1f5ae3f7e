"""The form of the bench sheet: what is read, and that every fault is told at its line."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.builds import make_named_build
from models.spec.errors import ContentError, Fault, RefusalError, SurroundingsError
from tests.sheet_samples import change_form, judge_changed, parse_form, read_example
from trainer.session.sheet import Condition, Group, Outcome
from trainer.session.sheet_entries import Entries
from trainer.session.sheet_form import read_entries, read_head
from trainer.session.sheet_judging import judge_form
from trainer.session.sheet_plan import SheetPlan, plan_sheet
from trainer.session.toml_form import parse_toml, read_toml


@cache
def plan() -> SheetPlan:
    return plan_sheet(make_named_build("end-suction/100-250"))


def read(text: str) -> Entries:
    return read_entries(parse_form(text), plan())


def find_faults(text: str) -> list[str]:
    with pytest.raises(ContentError) as caught:
        judge_form(parse_form(text))
    return [str(fault) for fault in caught.value.faults]


def find_line(text: str, said: str) -> int:
    return next(n for n, line in enumerate(text.splitlines(), start=1) if said in line)


def test_filled_form_is_read_whole() -> None:
    entries = read(read_example())
    gaps = entries.left.readings[Group.GAPS]["back-vane"]
    assert [one.value_mm for one in gaps] == pytest.approx([0.49, 0.508, 0.52, 0.5])
    assert gaps[1].typed == "20 thou"
    assert entries.left.gauges[Group.GAPS] == "feelers"
    assert entries.gauges_mm["feelers"] == pytest.approx(0.01)
    assert entries.signed == {"lock-out": "R. M.", "vent": "R. M.", "drain": "R. M."}
    assert entries.pack_found_mm == pytest.approx((0.5, 0.3, 0.2))
    assert entries.parts["wear-ring"][0] is Condition.RENEW
    assert entries.others is Condition.REUSE
    assert entries.torques_nm["cover-joint"] == pytest.approx(70.0)
    assert entries.tests["pressure"] == (Outcome.PASS, "9 bar held for 10 min, no drip")
    assert entries.working_bar == pytest.approx(6.0)
    assert (entries.date, len(entries.run_in)) == ("2026-03-02", 3)


def test_date_may_stand_without_quotes() -> None:
    assert read(change_form(("", "date", "2026-03-02"))).date == "2026-03-02"


@pytest.mark.parametrize(
    ("table", "key", "said", "what"),
    [
        ("left.gaps", "back-vane", "[0.5, 0.5, 0.5, 0.5]", 'carries no unit.*like "0.48 mm"'),
        ("left.gaps", "back-vane", '["0.5", "0.5", "0.5", "0.5"]', "carries no unit"),
        ("left.gaps", "back-vane", '["1,500 mm", "", "", ""]', "write 1.500 or 1500"),
        (
            "left.gaps",
            "back-vane",
            '["0.5 mm", "0.5 mm"]',
            "has 2 readings.*at 4 places, turning the impeller by a quarter",
        ),
        (
            "left.gaps",
            "back-vane",
            '["19 mm", "19 mm", "19 mm", "19 mm"]',
            "outside any possible range.*0.4 to 0.8 mm.*is it 19 thou?",
        ),
        (
            "left.gaps",
            "back-vane",
            '["0.019 mm", "0.5 mm", "0.5 mm", "0.5 mm"]',
            "thinner than any feeler.*is it 0.019 in?",
        ),
        ("left.gaps", "back-vane", '["0.48 in", "", "", ""]', "is it 0.48 mm?"),
        ("left.gaps", "back-vane", '["-0.1 mm", "", "", ""]', "outside any possible range"),
        ("left.gaps", "back-vane", '["nan mm", "", "", ""]', "no number with a unit"),
        ("left.gaps", "back-van", "[]", "not known here.*did you mean back-vane"),
        ("left.gaps", "gauge", '"feeler"', "no gauge is called 'feeler'.*feelers"),
        ("left.gaps", "gauge", '""', "the gauge that measured this is missing.*feelers"),
        ("left.end-float", "pull", '""', "one of push and pull is missing"),
        ("left.end-float", "pull", '"-0.02 mm"', "is less than push"),
        ("left.run-out", "shaft-at-seal", '["0.02 mm", "0.03 mm"]', "write the largest alone"),
        ("left.other", "seal-length", '["37.4 in"]', "outside any possible.*is it 37.4 mm?"),
        ("gauges", "feelers", '"-0.01 mm"', "measures no gap"),
        ("gauges", "feelers", '"1 in"', "measures no gap"),
        ("pack", "fitted", '["0 mm"]', "is no shim"),
        ("pack", "fitted", '["-0.2 mm"]', "is no shim"),
        ("pack", "trial-pack", '["0.5 mm"]', "one of trial-gap and trial-pack is missing"),
        ("parts", "wear-ring", '"renew"', "renewed without a reason.*renew: what you saw"),
        ("parts", "wear-ring", '"rework"', "reworked without a reason"),
        ("parts", "wear-ring", '"keep"', "wear-ring is 'keep'"),
        ("parts", "waer-ring", '"reuse"', "did you mean.*wear-ring"),
        ("parts", "others", '"renew: all of it"', 'write "reuse", and name each other part'),
        ("torque", "cover-joint", '"70"', "carries no unit"),
        ("torque", "cover-joint", '"70 bar"', "unknown unit 'bar'"),
        ("tests", "pressure", '"maybe"', "pressure is 'maybe'"),
        ("pressure", "working", "6", "carries no unit"),
        ("signed", "lock-out", "true", "is no text"),
        ("", "date", '"2. 3. 2026"', 'like "2026-03-02"'),
        ("", "serial", '"' + "9" * 90 + '"', "at most 80 letters"),
        ("", "run-in", '"hot"', "run-in is no list"),
        ("", "colour", '"red"', "not known here"),
    ],
)
def test_fault_is_told_at_its_line_with_its_remedy(
    table: str, key: str, said: str, what: str
) -> None:
    text = change_form((table, key, said))
    told = find_faults(text)
    line = find_line(text, f"{key} = {said}")
    assert any(re.search(what, fault) for fault in told), told
    assert any(fault.startswith(f"form.toml:{line}: ") for fault in told), (line, told)


def test_every_fault_is_told_at_once_in_the_order_of_lines() -> None:
    told = find_faults(
        change_form(
            ("tests", "pressure", '"maybe"'),
            ("left.gaps", "back-vane", '["0.5", "0.5 mm", "0.5 mm", "0.5 mm"]'),
            ("", "date", '"soon"'),
        )
    )
    lines = [int(fault.split(":")[1]) for fault in told]
    assert len(told) >= 3
    assert lines == sorted(lines)


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ([("", "build", '"end-suction/100-25"')], "no build is called.*100-250"),
        ([("", "build", '""')], "build is missing"),
        ([("options", "bracket", '"blue"')], "blue"),
        ([("options", "bracket", "3")], "is no text"),
    ],
)
def test_form_for_no_pump_is_refused(changes: list[tuple[str, str, str]], what: str) -> None:
    assert re.search(what, " ".join(find_faults(change_form(*changes))))


def test_exhibit_has_no_bench_sheet() -> None:
    with pytest.raises(RefusalError, match="no whole pump"):
        plan_sheet(make_named_build("packing/38"))


def test_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(SurroundingsError, match=r"none\.toml cannot be read"):
        read_toml(tmp_path / "none.toml")


@pytest.mark.parametrize(
    "table", ["gauges", "signed", "found", "left", "pack", "parts", "torque", "tests", "pressure"]
)
def test_table_that_is_none_is_named(table: str) -> None:
    head = 'build = "end-suction/100-250"\n'
    with pytest.raises(ContentError, match=rf"form\.toml:2: {table} is no table"):
        judge_form(parse_form(f"{head}{table} = 5\n"))


values = st.one_of(
    st.sampled_from(
        ["0.5 mm", "0.5", "", "renew", "renew: a", "pass", "feelers", "1e9 mm", "−1 mm"]
    ),
    st.text(max_size=12),
    st.integers(),
    st.floats(),
    st.booleans(),
    st.none(),
)
nested = st.recursive(
    values,
    lambda inner: st.one_of(
        st.lists(inner, max_size=6),
        st.dictionaries(
            st.sampled_from(["gauge", "gaps", "back-vane", "push", "pull", "others", "x"]), inner
        ),
    ),
    max_leaves=8,
)


@given(
    st.dictionaries(
        st.sampled_from(
            ["found", "left", "pack", "parts", "torque", "tests", "gauges", "signed", "date", "run-in", "x"]
        ),
        nested,
    )
)  # fmt: skip
def test_any_content_is_read_or_refused_with_faults(content: dict[str, object]) -> None:
    form = parse_toml(b"", "form.toml")
    object.__setattr__(form, "content", content)
    faults: tuple[Fault, ...] = ()
    try:
        read_entries(form, plan())
    except ContentError as error:
        faults = error.faults
    assert all(fault.what and fault.remedy for fault in faults)


@given(st.binary(max_size=80))
def test_any_bytes_are_read_or_refused(raw: bytes) -> None:
    faults: tuple[Fault, ...] = ()
    try:
        read_head(parse_toml(raw, "form.toml"))
    except ContentError as error:
        faults = error.faults
    assert all(fault.file == "form.toml" for fault in faults)


def test_unit_of_a_reading_does_not_change_what_it_is() -> None:
    in_mm = judge_changed(("left.gaps", "back-vane", '["0.508 mm"' + ', "0.508 mm"' * 3 + "]"))
    in_thou = judge_changed(("left.gaps", "back-vane", '["20 thou"' + ', "0.02 in"' * 3 + "]"))
    assert in_mm.lines[0].left is not None
    assert in_thou.lines[0].left is not None
    assert in_mm.lines[0].left.values_mm == pytest.approx(in_thou.lines[0].left.values_mm)
