"""Let screen readers read the value of what we paint: how much it is, between what, in which unit, and the verdict."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, Protocol, cast, runtime_checkable

import shiboken6
from PySide6.QtCore import QObject
from PySide6.QtGui import (
    QAccessible,
    QAccessibleActionInterface,
    QAccessibleInterface,
    QAccessibleValueChangeEvent,
    QAccessibleValueInterface,
)
from PySide6.QtWidgets import QAbstractButton, QAccessibleWidget, QWidget


@dataclass(frozen=True, slots=True)
class SpokenValue:
    """A value as it is read: the number with its ends and its step in the unit on the screen, and all in words."""

    value: float
    least: float
    most: float
    step: float
    text: str


@runtime_checkable
class TellsValue(Protocol):
    """A widget that has a value. `take_value` takes one that an assistive program sets, where that can be."""

    def find_value(self) -> SpokenValue | None:
        """Give the value as it is now; None before there is any."""

    def take_value(self, value: float) -> None:
        """Take a value in the unit on the screen."""


@cache
def let_values_be_read() -> None:
    """Let Qt ask here for what it tells assistive programs of such widgets; once for the program."""
    QAccessible.installFactory(_make_interface)


def tell_change(widget: TellsValue) -> None:
    """Tell assistive programs that a widget's value changed; without one that listens nothing happens."""
    told = widget.find_value() if QAccessible.isActive() else None
    if told is not None:
        QAccessible.updateAccessibility(
            QAccessibleValueChangeEvent(cast("QObject", widget), told.value)
        )


_KEPT: list[tuple[QAccessibleInterface, QAccessibleValueInterface]] = []
"""Qt asks through these as long as their widgets live and deletes the first itself; Python must not do it before."""


def _make_interface(_key: str, of: QObject) -> QAccessibleInterface | None:
    """Make what Qt asks a widget through; None leaves the widget to Qt."""
    tells: object = of
    if not isinstance(of, QWidget) or not isinstance(tells, TellsValue):
        return None
    _KEPT[:] = [one for one in _KEPT if shiboken6.isValid(one[0])]
    made = _Interface(of, tells)
    _KEPT.append((made, made.value))
    return made


class _Value(QAccessibleValueInterface):
    """What Qt asks a value."""

    def __init__(self, of: TellsValue) -> None:
        super().__init__()
        self._of = of

    def find(self) -> SpokenValue:
        """Give the value, or nothing at all."""
        return self._of.find_value() or SpokenValue(0.0, 0.0, 0.0, 0.0, "")

    def currentValue(self) -> float:
        """Give the value."""
        return self.find().value

    def minimumValue(self) -> float:
        """Give the low end."""
        return self.find().least

    def maximumValue(self) -> float:
        """Give the high end."""
        return self.find().most

    def minimumStepSize(self) -> float:
        """Give by how much the keyboard moves it; 0 for what cannot be moved."""
        return self.find().step

    def setCurrentValue(self, value: Any) -> None:  # noqa: ANN401 - whatever the program at the other end sends
        """Let it be moved."""
        try:
            wanted = float(value)
        except (TypeError, ValueError):
            return
        self._of.take_value(wanted)


class _Interface(QAccessibleWidget):
    """What Qt asks a widget with a value; a button among them can be pressed as before."""

    def __init__(self, of: QWidget, tells: TellsValue) -> None:
        self._button = of if isinstance(of, QAbstractButton) else None
        now = tells.find_value()
        role = QAccessible.Role.CheckBox if self._button is not None else QAccessible.Role.Slider
        if self._button is None and (now is None or now.step == 0.0):
            role = QAccessible.Role.Indicator
        super().__init__(of, role)
        self.value = _Value(tells)

    def interface_cast(self, kind: QAccessible.InterfaceType) -> Any:  # noqa: ANN401 - a bare pointer
        """Give the value's own interface where it is asked for."""
        if kind is QAccessible.InterfaceType.ValueInterface:
            return shiboken6.VoidPtr(shiboken6.getCppPointer(self.value)[0])
        return super().interface_cast(kind)

    def text(self, kind: QAccessible.Text) -> str:
        """Give the value in words where it is asked for."""
        if kind is QAccessible.Text.Value:
            return self.value.find().text
        return super().text(kind)

    def state(self) -> QAccessible.State:
        """Say of a button whether it is down."""
        state = super().state()
        if self._button is not None:
            state.checkable = int(self._button.isCheckable())
            state.checked = int(self._button.isChecked())
        return state

    def actionNames(self) -> list[str]:
        """Say that a button can be pressed."""
        names = super().actionNames()
        return names if self._button is None else [QAccessibleActionInterface.pressAction(), *names]

    def doAction(self, name: str) -> None:
        """Press a button."""
        if self._button is not None and name == QAccessibleActionInterface.pressAction():
            self._button.click()
        else:
            super().doAction(name)
