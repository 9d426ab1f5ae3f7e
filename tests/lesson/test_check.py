"""A lesson that names what is not there is told so, with its place and what is near."""

from __future__ import annotations

import pytest

from trainer.lesson import Known, check_lesson, parse_lesson

SOUND = """\
title: Try
build: end-suction/100-250
with: {bracket: enclosed}
steps:
- title: One
  show: {lit: [volute, cover-nut-1], ghosted: [shaft], with: {bracket: open}}
  ask: {kind: point-out, id: a, prompt: Where?, part: shaft}
- title: Two
  say: Hello
  ask: {kind: put-in-order, id: b, prompt: Order, parts: [shaft, volute], way: teardown}
- title: Three
  show: {build: self-primer/80, lit: [wear-plate]}
  ask: {kind: shim-thickness, id: c, prompt: P, clearance: wear-plate, found_gap_mm: 1, with_pack_mm: []}
"""
KNOWN = Known(
    builds=("end-suction/100-250", "self-primer/80"),
    options={"end-suction/100-250": {"bracket": ("enclosed", "open")}, "self-primer/80": {}},
    parts={
        "end-suction/100-250": {"volute", "shaft", "cover-nut-1"},
        "self-primer/80": {"wear-plate"},
    },
    clearances={"end-suction/100-250": {"back-vane"}, "self-primer/80": {"wear-plate"}},
    faults={"end-suction/100-250": {"lip-turned"}, "self-primer/80": ()},
)


def check(text: str) -> list[str]:
    return [
        f"{fault.line}:{fault.column} {fault.what}. {fault.remedy}"
        for fault in check_lesson(parse_lesson(text.encode(), "f"), KNOWN)
    ]


def test_a_lesson_that_names_only_what_is_there_has_no_fault() -> None:
    assert check(SOUND) == []


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        (
            "100-250\n",
            "100-260\n",
            "2:8 there is no build called end-suction/100-260. Did you mean end-suction/100-250",
        ),
        (
            "{bracket: enclosed}",
            "{braket: enclosed}",
            "3:16 there is no option called braket. Did you mean bracket",
        ),
        (
            "{bracket: enclosed}",
            "{bracket: closed}",
            "3:17 there is no value of bracket called closed. Did you mean enclosed",
        ),
        (
            "{bracket: open}",
            "{bracket: opne}",
            "6:72 there is no value of bracket called opne. Did you mean open",
        ),
        (
            "[volute, cover-nut-1]",
            "[volute, cover-nut-9]",
            "6:24 there is no part called cover-nut-9. Did you mean cover-nut-1",
        ),
        ("ghosted: [shaft]", "ghosted: [shft]", "6:48 there is no part called shft"),
        ("ghosted: [shaft]", "ghosted: [volute]", "6:48 volute is both lit and ghosted"),
        ("part: shaft", "part: wear-plate", "7:55 there is no part called wear-plate"),
        ("[shaft, volute]", "[shaft, wear-plate]", "10:66 there is no part called wear-plate"),
        (
            "ghosted: [shaft]",
            "ghosted: [shaft], off: shfat",
            "6:61 there is no part called shfat. Did you mean shaft",
        ),
        ("self-primer/80", "self-primer/8", "12:17 there is no build called self-primer/8"),
        ("lit: [wear-plate]", "lit: [volute]", "12:39 there is no part called volute"),
        (
            "ghosted: [shaft]",
            "ghosted: [shaft], fault: lip-trned",
            "6:63 there is no fault called lip-trned. Did you mean lip-turned",
        ),
        (
            "ghosted: [shaft]",
            "ghosted: [shaft], clearance: back-vain",
            "6:67 there is no clearance called back-vain. Did you mean back-vane",
        ),
        (
            "clearance: wear-plate",
            "clearance: back-vane",
            "13:60 there is no clearance called back-vane",
        ),
        (
            "part: shaft",
            "part: volute",
            "7:55 the page lights and names volute, which is asked for",
        ),
        (", way: teardown", "", "10:44 the words ask for one order, and the way it runs is drawn"),
        *(
            (
                "ghosted: [shaft]",
                f"ghosted: [shaft], {apart}, near: [volute]",
                f"6:{64 + len(apart)} near is of a pump that is together",
            )
            for apart in ("apart: 0.5", "off: shaft", "clearance: back-vane")
        ),
    ],
)
def test_a_name_of_nothing_is_told_with_its_place(old: str, new: str, fault: str) -> None:
    assert old in SOUND
    found = check(SOUND.replace(old, new, 1))
    assert len(found) == 1, found
    assert found[0].startswith(fault)


def test_all_faults_come_at_once_in_the_order_of_the_file() -> None:
    text = (
        SOUND.replace("bracket: enclosed", "bracket: shut")
        .replace("[shaft]", "[shift]")
        .replace("part: shaft", "part: x")
    )
    assert [fault.split()[0] for fault in check(text)] == ["3:17", "6:48", "7:55"]
