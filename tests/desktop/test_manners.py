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
from trainer.words import LengthUnit

pytestmark = [pytest.mark.window, pytest.mark.xdist_group("window")]
KINDS = (QAbstractButton, QAbstractSlider, QComboBox, QLineEdit, QAbstractItemView)
PANES = ("lesson", "part", "shim", "service", "sheet", "build", "desk", "keys", "practical")


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


def test_inches_are_written_everywhere_and_a_bare_number_is_one_of_them(awake: PumpWindow) -> None:
    awake.show_pane("shim")
    gap = awake.shims.gauges["back-vane"]
    before = gap.value_text
    assert before.endswith(" mm")
    awake.desk.set_unit(LengthUnit.INCH)
    try:
        shown_mm = 25.4 * float(gap.value_text.removesuffix(" in"))
        assert shown_mm == pytest.approx(float(before.removesuffix(" mm")), abs=0.005)
        assert awake.shims.total.text().endswith(" in")
        assert awake.shims.shims[0].text().startswith("0.50 mm"), "a shim is called by its packet"
        assert awake.shims.unit.text() == "in"
        awake.shims.found.setText("0.95")
        awake.shims.best.click()
        assert "0.95 in cannot be" in awake.shims.note.text.text()
        assert "Then write 0.95 mm" in awake.shims.note.text.text()
        told = set()
        for typed in ("0.0276", "27.6thou", "0.70104mm", "0.0276in"):
            awake.shims.found.setText(typed)
            awake.shims.best.click()
            told.add(awake.shims.note.text.text())
        assert len(told) == 1, "one gap, whatever the unit"
        awake.shims.found.setText("0.0276")
        awake.desk.set_unit(LengthUnit.MM)
        assert awake.shims.found.text() == "0.0276 in", "it still says the same"
        awake.desk.set_unit(LengthUnit.INCH)
    finally:
        awake.shims.found.clear()
        awake.shims._say("")
        awake.shims.offer.drop()
        awake.desk.set_unit(LengthUnit.MM)
    assert gap.value_text == before


def test_what_changes_is_said_to_a_screen_reader(
    awake: PumpWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    said: list[str] = []
    monkeypatch.setattr(QAccessible, "isActive", lambda: True)
    monkeypatch.setattr(
        QAccessible, "updateAccessibility", lambda told: said.append(told.message())
    )
    awake.motion.set_apart(0.0)
    awake.motion.set_apart(1.5 / len(awake.ordered.order.steps) if awake.ordered else 0.0)
    awake.motion.set_apart(0.0)
    assert any("Suction cover" in one for one in said)
    awake.noticing.tell("The disk is full.")
    assert "The disk is full." in said
    awake.noticing.clear()
