"""The bench sheet's pane: judged as it is typed, filed for good, corrected by a new sheet, printed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import UUID

import pypdfium2
import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QLabel
from pytestqt.qtbot import QtBot

from models.spec.errors import SurroundingsError
from tests.sheet_samples import judge_changed
from trainer.desktop.panes.sheet_fields import SheetFields
from trainer.desktop.panes.sheet_pane import SheetPane
from trainer.records import Records, open_records
from trainer.session.bench import open_bench
from trainer.session.sheet import SIGNED, BenchSheet, Condition, Group, Verdict, read_sheet
from trainer.session.toml_form import FormPath
from trainer.session.typed import is_length
from trainer.words import load_words
from trainer.words.speech import LengthUnit

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
BUILD = "end-suction/100-250"
ROUNDS = ("found", "left")


@pytest.fixture
def records(tmp_path: Path) -> Iterator[Records]:
    with open_records(tmp_path / "records.sqlite3") as opened:
        yield opened


@pytest.fixture
def pane(qtbot: QtBot, records: Records) -> SheetPane:
    made = SheetPane(load_words("en"), lambda: records, lambda: NOON)
    qtbot.addWidget(made)
    made.show_bench(open_bench(BUILD))
    return made


def fields_of(pane: SheetPane) -> SheetFields:
    assert pane.fields is not None
    return pane.fields


def sheet_of(pane: SheetPane) -> BenchSheet:
    pane.judge()
    assert pane.sheet is not None, pane.verdict.text.text()
    return pane.sheet


def file(pane: SheetPane) -> None:
    """Have it filed, and wait until it is, or is refused: the records are written in the background."""
    pane.file.click()
    while pane.is_filing:
        QTest.qWait(5)


def tell(pane: SheetPane) -> str:
    return re.sub(r"<[^>]+>|p, li.*?}", "", pane.verdict.text.text())


def fill(pane: SheetPane, gap: str = "0.5") -> None:
    """Fill in a sheet that passes with a gap of 0.5 mm."""
    fields = fields_of(pane)
    said: dict[FormPath, str] = {
        ("assembler",): "Rook Marlowe", ("serial",): "SL-0417", ("shop",): "Saltmarsh Levels",
        ("pack", "found"): "0.5 + 0.3 + 0.2", ("pack", "fitted"): "0.5 + 0.15",
        ("pressure", "working"): "6",
        **{("signed", key): "R. M." for key in ("lock-out", "vent", "drain")},
        **{("found", Group.GAPS, "back-vane", n): "0.84" for n in range(4)},
        **{("left", Group.GAPS, "back-vane", n): gap for n in range(4)},
    }  # fmt: skip
    said |= {path: "60" for path in fields.edits if path[0] == "torque"}
    said |= {path: "0.03" for path in fields.edits if path[:2] == ("left", Group.RUN_OUT)}
    said |= {
        ("left", Group.END_FLOAT, "push"): "0",
        ("left", Group.END_FLOAT, "pull"): "0.15",
        ("left", Group.OTHER, "wear-ring"): "0.57",
    }
    for path, text in said.items():
        fields.edits[path].setText(text)
    for outcome in fields.outcomes.values():
        outcome.choose("pass")
    fields.parts.others.click()


def test_empty_sheet_has_everything_to_do_and_cannot_be_filed(pane: SheetPane) -> None:
    assert sheet_of(pane).verdict is Verdict.OPEN
    assert pane.verdict.heading.text() == "… NOT FINISHED"
    assert not pane.file.isEnabled()
    assert sheet_of(pane).date == "2026-03-02"


def test_verdict_follows_what_is_typed_by_itself(pane: SheetPane, qtbot: QtBot) -> None:
    fill(pane)
    qtbot.waitUntil(lambda: pane.verdict.heading.text() == "✓ PASS", timeout=20_000)
    field = fields_of(pane).edits["left", Group.GAPS, "back-vane", 2]
    field.clear()
    QTest.keyClicks(field, "0.36")
    qtbot.waitUntil(lambda: pane.verdict.heading.text() == "✗ FAIL", timeout=20_000)
    label = fields_of(pane).verdicts[Group.GAPS, "back-vane"]
    assert label.text() == "✗ outside"
    assert "back-vane gap" in tell(pane)


def test_a_gap_found_outside_is_remarked_before_it_is_set(pane: SheetPane) -> None:
    fields = fields_of(pane)
    label = fields.verdicts[Group.GAPS, "back-vane"]
    for found, told in (("0.95", "found ✗ outside"), ("0.5", "…")):
        for n in range(4):
            fields.edits["found", Group.GAPS, "back-vane", n].setText(found)
        pane.judge()
        assert label.text() == told


def test_fields_say_the_same_as_the_form(pane: SheetPane) -> None:
    """The pane and the file are two ways into one judgement."""
    fill(pane, "0.49")
    form = judge_changed(("left.gaps", "back-vane", '["0.49 mm", "0.49 mm", "0.49 mm", "0.49 mm"]'))
    mine, theirs = sheet_of(pane), form
    assert mine.lines[0].left == theirs.lines[0].left or (
        mine.lines[0].left is not None
        and theirs.lines[0].left is not None
        and mine.lines[0].left.counts_mm == theirs.lines[0].left.counts_mm
    )
    assert (mine.verdict, mine.torques[0].taught_nm) == (
        theirs.verdict,
        theirs.torques[0].taught_nm,
    )
    assert mine.pack.advice is not None
    assert theirs.pack.advice is not None
    assert mine.pack.advice.ideal_mm == pytest.approx(theirs.pack.advice.ideal_mm)


def test_bare_number_has_the_unit_chosen_and_its_own_goes_before_it(pane: SheetPane) -> None:
    fill(pane)
    fields = fields_of(pane)
    fields.unit.choose("thou")
    for n, text in enumerate(("20", "20 thou", "0.508 mm", "0.02 in")):
        fields.edits["left", Group.GAPS, "back-vane", n].setText(text)
    for path, edit in fields.edits.items():
        if path[0] in (*ROUNDS, "pack") and "back-vane" not in path[-2:] and not isinstance(path[-1], int):  # fmt: skip
            edit.setText("")
    for n in range(4):
        fields.edits["found", Group.GAPS, "back-vane", n].setText("")
    left = sheet_of(pane).lines[0].left
    assert left is not None
    assert left.values_mm == pytest.approx((0.508,) * 4)
    assert left.typed == ("20 thou", "20 thou", "0.508 mm", "0.02 in")


def test_in_inches_bare_numbers_and_faults_are_in_inches(pane: SheetPane) -> None:
    fill(pane)
    lengths = pane._words.lengths
    lengths.unit = LengthUnit.INCH
    pane.lay_anew()
    fields = fields_of(pane)
    assert fields.edits["left", Group.GAPS, "back-vane", 0].text() == "0.5 mm", "it says the same"
    assert fields.edits["serial",].text() == "SL-0417"
    assert fields.unit.name == "in"
    assert sheet_of(pane).lines[0].left is not None
    for n, text in enumerate(("0.0197", "0.02 in", "0.5 mm", "19.7 thou")):
        fields.edits["left", Group.GAPS, "back-vane", n].setText(text)
    left = sheet_of(pane).lines[0].left
    assert left is not None
    assert left.values_mm == pytest.approx((0.50038, 0.508, 0.5, 0.50038))
    fields.edits["left", Group.GAPS, "back-vane", 1].setText("0.5")
    pane.judge()
    # limits 0.4 to 0.8 mm over 25.4: 0.01575 and 0.0315 in, to four places
    assert "0.5 in is outside any possible range (required are 0.0157 to 0.0315 in)" in tell(pane)
    assert "Is it 0.5 mm?" in tell(pane)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("1,500", "Write 1.500 or 1500"),
        ("19", "Is it 19 thou?"),
        ("wide", "no number with a unit"),
    ],
)
def test_reading_that_cannot_be_is_told_and_its_fields_are_marked(
    pane: SheetPane, text: str, told: str
) -> None:
    fill(pane)
    fields = fields_of(pane)
    field = fields.edits["left", Group.GAPS, "back-vane", 1]
    field.setText(text)
    pane.judge()
    assert pane.sheet is None
    assert told in tell(pane)
    assert field.objectName() == "wrong"
    other = fields.edits["left", Group.GAPS, "back-vane", 0]
    assert (other.objectName() == "wrong") == is_length(text), "one that can be read is not blamed"
    assert fields.edits["serial",].objectName() == ""
    assert not pane.file.isEnabled()
    assert not pane.print.isEnabled()
    field.setText("0.5")
    pane.judge()
    assert field.objectName() == ""
    assert pane.verdict.heading.text() == "✓ PASS"


def test_part_is_renewed_with_its_reason(pane: SheetPane) -> None:
    fill(pane)
    parts = fields_of(pane).parts
    parts.part.choose("wear-ring")
    assert "bore" in parts.wear.text()
    parts.conditions[Condition.RENEW].click()
    pane.judge()
    assert "without a reason" in tell(pane)
    QTest.keyClicks(parts.why, "scored all round")
    order = {one.place: one.why for one in sheet_of(pane).list_parts(Condition.RENEW)}
    assert order["wear-ring"] == "scored all round"
    assert order["casing-gasket"] == "new at every rebuild"
    parts.part.choose("impeller")
    assert parts.why.text() == ""
    parts.part.choose("wear-ring")
    assert parts.why.text() == "scored all round"
    assert parts.conditions[Condition.RENEW].isChecked()


def test_trial_fit_goes_before_the_gap_as_found(pane: SheetPane) -> None:
    fill(pane)
    edits = fields_of(pane).edits
    for n in range(4):
        edits["pack", "trial-gap", n].setText("0.70")
    edits["pack", "trial-pack"].setText("1.00")
    edits["run-in",].setText("10 min: 34 °C")
    sheet = sheet_of(pane)
    assert sheet.pack.advice is not None
    assert sheet.pack.advice.is_trial
    assert "= 0.80 mm" in fields_of(pane).advice.text()
    assert sheet.run_in == ("10 min: 34 °C",)


def test_filed_sheet_is_locked_and_corrected_only_by_a_new_one(
    pane: SheetPane, records: Records
) -> None:
    fill(pane)
    pane.judge()
    file(pane)
    assert pane.filed is not None
    assert pane.filed.hash[:8] in pane.note.text.text()
    assert not fields_of(pane).isEnabled()
    assert pane.file.isHidden()
    first = pane.filed
    pane.correct.click()
    assert fields_of(pane).isEnabled()
    fields_of(pane).edits["remarks",].setText("mended")
    pane.judge()
    file(pane)
    newest, old = records.list_sheets()
    assert newest.sheet.corrects == first.sheet.id == old.sheet.id
    assert read_sheet(newest.sheet.content).remarks == "mended"
    assert records.check_sheets().is_whole
    pane.anew.click()
    assert fields_of(pane).edits["serial",].text() == ""
    assert not pane.file.isHidden()
    assert len(records.list_sheets()) == 2


def test_filing_that_failed_is_tried_again_with_the_same_id(qtbot: QtBot, records: Records) -> None:
    fails = [True]

    def find_records() -> Records:
        while fails:
            fails.pop()
            raise SurroundingsError("the disk is full")
        return records

    pane = SheetPane(load_words("en"), find_records, lambda: NOON, lambda: UUID(int=5))
    qtbot.addWidget(pane)
    pane.show_bench(open_bench(BUILD))
    fill(pane)
    pane.judge()
    file(pane)
    assert "the disk is full" in pane.note.text.text()
    assert records.list_sheets() == ()
    file(pane)
    assert [one.sheet.id for one in records.list_sheets()] == [UUID(int=5)]


def test_sheet_is_printed_in_a_process_of_its_own(
    pane: SheetPane, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fill(pane)
    pane.with_drawing = False
    pane.judge()
    file(pane)
    out = tmp_path / "sheet.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(out.with_suffix("")), ""))
    pane.print.click()
    qtbot.waitUntil(lambda: str(out) in pane.note.text.text(), timeout=60_000)
    document = pypdfium2.PdfDocument(out.read_bytes())
    page = document[0].get_textpage()
    text = "".join(page.get_text_range().split())
    page.close()
    document.close()
    assert pane.filed is not None
    assert pane.filed.hash in text
    assert "RookMarlowe" in text
    pane.wait_for_prints()


def test_the_sheet_says_what_goes_into_its_fields_and_is_offered_a_name_without_a_serial_number(
    pane: SheetPane, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert fields_of(pane).edits["signed", SIGNED[0]].placeholderText() == "initials"
    fields_of(pane).edits["serial",].clear()
    offered: list[str] = []

    def ask_name(*asked: Any) -> tuple[str, str]:
        offered.append(asked[2])
        return "", ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", ask_name)
    pane.print.click()
    day = fields_of(pane).edits["date",].text()
    assert offered == [f"bench-sheet-{day}.pdf"]


def test_print_that_fails_says_so(pane: SheetPane, qtbot: QtBot, tmp_path: Path) -> None:
    fill(pane)
    pane.with_drawing = False
    pane.judge()
    (tmp_path / "none").write_text("a file where a folder is wanted", "utf-8")
    assert pane.print_to(tmp_path / "none" / "sheet.pdf") is not None
    qtbot.waitUntil(lambda: "File exists" in pane.note.text.text(), timeout=60_000)
    pane.wait_for_prints()


def test_exhibit_has_no_sheet_and_the_pump_after_it_an_empty_one(pane: SheetPane) -> None:
    fill(pane)
    pane.show_bench(open_bench("packing/38"))
    assert pane.fields is None
    assert "no whole pump" in pane.lead.text()
    assert pane.foot.isHidden()
    pane.show_bench(open_bench("self-priming/80"))
    assert ("left", Group.GAPS, "wear-plate", 3) in fields_of(pane).edits
    assert sheet_of(pane).build == "self-priming/80"


def test_another_pack_on_the_bench_keeps_what_was_typed(pane: SheetPane) -> None:
    fill(pane)
    pane.show_bench(open_bench(BUILD))
    assert fields_of(pane).edits["serial",].text() == "SL-0417"


def test_pane_is_no_wider_than_its_column(pane: SheetPane) -> None:
    assert fields_of(pane).minimumSizeHint().width() <= 380


def test_every_field_has_a_name_for_screen_readers_and_no_two_the_same(pane: SheetPane) -> None:
    names = [edit.accessibleName() for edit in fields_of(pane).edits.values()]
    assert all(names)
    assert len(set(names)) == len(names)
    labels = [label.text() for label in fields_of(pane).findChildren(QLabel)]
    assert any("0.40 to 0.80 mm" in text for text in labels)
