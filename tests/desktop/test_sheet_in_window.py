"""The bench sheet in the real window: its pane, the pump it is of, and where it is filed."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from trainer.desktop.window import PumpWindow

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]


def test_sheet_is_a_pane_of_the_pump_that_is_shown(window: PumpWindow, qtbot: QtBot) -> None:
    QTest.mouseClick(window.choices["sheet"], Qt.MouseButton.LeftButton)
    assert window.pane == "sheet"
    pane = window.sheet
    assert pane.fields is not None
    assert pane.sheet is not None
    assert window.bench is not None
    assert pane.sheet.build == window.bench.build.name
    assert pane.fields.width() <= pane.scroller.viewport().width()
    field = pane.fields.edits["serial",]
    QTest.keyClicks(field, "SL-0417")
    pane.fields.edits["assembler",].setText("Rook Marlowe")
    pane.judge()
    assert pane.file.isEnabled()
    assert window.records is not None
    before = len(window.records.list_sheets())
    QTest.mouseClick(pane.file, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: pane.filed is not None)
    assert len(window.records.list_sheets()) == before + 1
    QTest.mouseClick(pane.anew, Qt.MouseButton.LeftButton)
    assert pane.fields.edits["serial",].text() == ""
    window.show_pane("lesson")
