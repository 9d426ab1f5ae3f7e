"""By keyboard alone, and by ear: every control is reached by Tab and named, every key is told."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSlider,
    QApplication,
    QButtonGroup,
    QComboBox,
    QLineEdit,
    QScrollBar,
    QWidget,
)

from trainer.desktop.window import PumpWindow

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
KINDS = (QAbstractButton, QAbstractSlider, QComboBox, QLineEdit, QAbstractItemView)
PANES = ("lesson", "part", "shim", "service", "sheet", "build", "desk", "keys")


@pytest.fixture
def awake(window: PumpWindow) -> Iterator[PumpWindow]:
    window.activateWindow()
    window.setFocus()
    yield window
    window.show_pane("shim")


def find_controls(window: PumpWindow) -> set[QWidget]:
    """Find what a hand can use now; a list that opens and a bar that scrolls belong to something else."""
    found = [one for kind in KINDS for one in window.findChildren(kind)]
    return {
        one
        for one in found
        if one.isVisible()
        and one.isEnabled()
        and not isinstance(one, QScrollBar)
        and not isinstance(one.parentWidget(), QComboBox)
        and one.window() is window
    }


def find_grouped(window: PumpWindow) -> set[QAbstractButton]:
    """Find the buttons of which one of several is down."""
    return {one for group in window.findChildren(QButtonGroup) for one in group.buttons()}


def walk(start: QWidget, most: int) -> list[QWidget]:
    """Go round by Tab until it comes back to where it began."""
    start.setFocus()
    passed: list[QWidget] = []
    for _ in range(most):
        at = QApplication.focusWidget()
        assert at is not None
        if at in passed:
            break
        passed.append(at)
        QTest.keyClick(at, Qt.Key.Key_Tab)
    return passed


@pytest.mark.parametrize("pane", PANES)
def test_tab_goes_round_through_every_control(awake: PumpWindow, pane: str) -> None:
    awake.show_pane(pane)
    QTest.qWait(20)
    controls = find_controls(awake)
    reached = walk(awake.person, 3 * len(controls))
    buttons = {one for one in controls if isinstance(one, QAbstractButton)}
    exclusive = {one for one in buttons if one in find_grouped(awake)}
    # Of buttons of which one is down Tab reaches that one, and the arrows the others, as everywhere on a desktop.
    missed = [one.accessibleName() for one in controls - set(reached) - exclusive]
    assert missed == []
    groups = {one.group() for one in exclusive}
    assert groups <= {one.group() for one in reached if isinstance(one, QAbstractButton)}
    assert awake.view in reached


def test_everything_that_takes_the_keyboard_has_a_name_and_a_role(awake: PumpWindow) -> None:
    for pane in PANES:
        awake.show_pane(pane)
        for one in find_controls(awake) | {awake.view}:
            spoken = QAccessible.queryAccessibleInterface(one)
            assert spoken is not None
            assert spoken.text(QAccessible.Text.Name), one
            assert spoken.role() is not QAccessible.Role.NoRole, one


def test_every_key_is_told_and_the_list_opens_and_closes_by_its_own(awake: PumpWindow) -> None:
    told = dict(awake.keys.list_keys())
    assert told["Ctrl+H"] == "Cut the pump in half"
    assert all(told.values())
    assert len(told) == len(awake.keys.list_keys()), "one key does one thing"
    awake.keys.show()
    assert awake.pane == "keys"
    awake.keys.show()
    assert awake.pane != "keys"
    assert not awake.keys.button.isCheckable()
