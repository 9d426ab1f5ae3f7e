"""The window is styled part by part: what is seen together, the rest when there is time or when it is shown."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialog, QWidget

from tests.desktop.driving import wait_for_style
from trainer.desktop.panes.desk_pane import WITH_WINDOW
from trainer.desktop.pieces import make_label
from trainer.desktop.window import PumpWindow

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]


@pytest.fixture
def lettered(window: PumpWindow) -> Iterator[PumpWindow]:
    window.show_pane("shim")
    wait_for_style(window)
    yield window
    window.desk.set_text(WITH_WINDOW)
    window.show_pane("shim")
    wait_for_style(window)


def find_parts(window: PumpWindow) -> list[QWidget]:
    around = [one for one in window.children() if isinstance(one, QWidget)]
    return [*(one for one in around if one is not window.side), *window.side.parts]


def test_what_is_seen_changes_together_and_what_is_not_follows(lettered: PumpWindow) -> None:
    before = {id(part): part.styleSheet() for part in find_parts(lettered)}
    lettered.desk.set_text("150")
    assert not lettered.updatesEnabled(), "nobody sees a window that is half styled"
    for _ in range(1000):
        QTest.qWait(1)
        seen = [part for part in find_parts(lettered) if part.isVisible()]
        if lettered.updatesEnabled():
            break
    assert all(part.styleSheet() != before[id(part)] for part in seen)
    wait_for_style(lettered)
    sheets = {part.styleSheet() for part in find_parts(lettered) if part is not lettered.view}
    assert len(sheets) == 1
    assert lettered.view.styleSheet().startswith(sheets.pop())
    assert not lettered.styleSheet(), "it would reach all that lies in the window"
    assert not lettered.side.styleSheet()


def test_a_pane_is_styled_when_it_is_shown_before_its_turn(lettered: PumpWindow) -> None:
    usual = lettered.sheet.title.fontMetrics().height()
    lettered.desk.set_text("250")
    lettered.show_pane("sheet")
    assert lettered.sheet.title.fontMetrics().height() > 1.5 * usual


def test_a_change_on_the_way_gives_way_to_the_next(lettered: PumpWindow) -> None:
    usual = lettered.shims.add.fontMetrics().height()
    for percent in ("250", "125", "200"):
        lettered.desk.set_text(percent)
    wait_for_style(lettered)
    assert lettered.updatesEnabled()
    assert lettered.shims.add.fontMetrics().height() == pytest.approx(2.0 * usual, rel=0.1)


def test_what_is_opened_over_the_window_looks_like_it(lettered: PumpWindow) -> None:
    over = QDialog(lettered)
    text = make_label("paneTitle", "what is told")
    text.setParent(over)
    over.show()
    try:
        QTest.qWait(20)
        assert text.fontMetrics().height() == lettered.sheet.title.fontMetrics().height()
    finally:
        over.close()
        over.deleteLater()
