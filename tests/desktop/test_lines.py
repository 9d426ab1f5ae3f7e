"""Lines that are answered with, and what stands beside an answer."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from trainer.desktop.asking.lines import LONG_LETTERS, LineList
from trainer.desktop.asking.order_list import OrderList
from trainer.desktop.asking.unbroken import bind_units
from trainer.desktop.asking.verdict_text import VerdictText

GAP = "\N{NO-BREAK SPACE}"


@pytest.mark.parametrize(
    ("told", "bound"),
    [
        ("seat length: 50.49 mm", f"seat length: 50.49{GAP}mm"),
        ("-72 N m, or 3 bar", f"-72{GAP}N{GAP}m, or 3{GAP}bar"),
        ("180 m³/h at 2,950 rpm", f"180{GAP}m³/h at 2,950{GAP}rpm"),
        ("0.0197 in", f"0.0197{GAP}in"),
        ("**1.51 mm**.", f"**1.51{GAP}mm**."),
        ("2 nuts, 4 housings", "2 nuts, 4 housings"),
        ("8 minutes", "8 minutes"),
    ],
)
def test_a_number_stays_with_its_unit(told: str, bound: str) -> None:
    assert bind_units(told) == bound


def test_names_are_those_that_stand_there_however_lines_come_and_go(qtbot: QtBot) -> None:
    lines = OrderList("parts", can_leave_out=True)
    qtbot.addWidget(lines)
    lines.fill(["nut", "cover", "screw"], ["Nut", "Cover", "Screw"])
    assert lines.read_names() == ["nut", "cover", "screw"]
    lines.setCurrentRow(0)
    lines.shift(+1)
    assert lines.read_names() == ["cover", "nut", "screw"]
    lines.model().moveRow(lines.rootIndex(), 2, lines.rootIndex(), 0)  # as dropping does
    assert lines.read_names() == ["screw", "cover", "nut"]
    lines.toggle()
    assert lines.kept == [name for name in lines.read_names() if name in lines.kept]
    lines.item(0).setData(Qt.ItemDataRole.UserRole, "washer")
    assert lines.name_at(0) == "washer"
    lines.clear()
    assert lines.read_names() == []
    assert lines.name_at(0) == ""


def test_sentences_are_not_written_in_heavy_letters(qtbot: QtBot) -> None:
    lines = LineList("steps")
    qtbot.addWidget(lines)
    lines.fill(["a"], ["Impeller screw"])
    assert lines.find_font(0).bold()
    lines.fill(["a"], ["x" * (LONG_LETTERS + 1)])
    assert not lines.find_font(0).bold()


def test_findings_carry_their_signs_and_leave_none_behind(qtbot: QtBot) -> None:
    said = VerdictText()
    qtbot.addWidget(said)
    assert said.isHidden()
    said.tell([(True, "so it is"), (False, "so it is not")])
    assert [line[0] for line in said.text().splitlines()] == ["✓", "✗"]
    assert not said.isHidden()
    said.tell([])
    assert said.isHidden()
    assert said.text() == ""
