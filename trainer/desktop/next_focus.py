"""Where the keys go when the control they were at goes dead or out of sight: to its neighbour in the same pane."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget


def find_nearest(left: QWidget, inside: QWidget) -> QWidget | None:
    """Find what comes next after a widget inside another, or else before it; None where nothing there can take keys.

    The order is that in which they were laid there. Qt's own ring of them is not walked: PySide takes each for a
    child of the one before, and all of them for gone when one is.
    """
    all_ = inside.findChildren(QWidget)
    at = all_.index(left) if left in all_ else 0
    after = (one for one in all_[at:] if can_take_keys(one))
    before = (one for one in reversed(all_[:at]) if can_take_keys(one))
    return next(after, None) or next(before, None)


def can_take_keys(widget: QWidget) -> bool:
    """Can Tab go there as things stand?"""
    by_tab = Qt.FocusPolicy.TabFocus
    return widget.isVisible() and widget.isEnabled() and widget.focusPolicy() & by_tab == by_tab
