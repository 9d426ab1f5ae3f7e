"""The window library keeps None and True alive.

A wheel built for a newer Python may forget to count what it returns: PySide6 6.12.0 dropped a
reference to None at every call on Python 3.11, and the program ended after some thousand calls.
"""

from __future__ import annotations

import sys
from collections.abc import Callable

import pytest
from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QApplication, QLabel

CALLS = 200
SLACK = 20  # other code may hold or let go of a few meanwhile


class Bell(QObject):
    rung = Signal(object)


@pytest.mark.parametrize("kept", [None, True])
def test_calls_into_the_window_library_keep_what_they_return(
    qapp: QApplication, kept: object
) -> None:
    label, bell = QLabel(), Bell()
    calls: tuple[Callable[[], object], ...] = (
        label.update,
        label.parent,
        lambda: bell.rung.emit(1),
    )
    for call in calls:
        before = sys.getrefcount(kept)
        for _ in range(CALLS):
            call()
        assert abs(sys.getrefcount(kept) - before) < SLACK
    assert qapp is not None
