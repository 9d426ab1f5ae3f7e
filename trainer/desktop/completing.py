"""Offer names while one is typed, in a list that looks like the rest of the window: Qt opens it in no part of that."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QCompleter, QLineEdit, QListView, QWidget

SPARE_PX = 4


class NameCompleter(QCompleter):
    """Complete what is typed in a field with any of some names that hold it."""

    def __init__(self, names: Sequence[str], field: QLineEdit) -> None:
        super().__init__(list(names), field)
        self.setFilterMode(Qt.MatchFlag.MatchContains)
        self._field = field
        self._lines = lines = QListView()
        lines.setObjectName("names")
        lines.setAccessibleName(field.accessibleName())
        self.setPopup(lines)  # from now on it hears of the list, and of the field

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Give the list the style of the field when it opens, for the look may be another by now, and the height that its lines take then."""
        if watched is self._lines and event.type() is QEvent.Type.Show:
            lines = self._lines
            lines.setStyleSheet(find_sheet(self._field))
            lines.ensurePolished()
            many = min(self.completionCount(), self.maxVisibleItems())
            lines.resize(
                lines.width(), many * lines.sizeHintForRow(0) + 2 * lines.frameWidth() + SPARE_PX
            )
        return super().eventFilter(watched, event)


def find_sheet(widget: QWidget) -> str:
    """Find the style sheet that a widget is drawn by: its own, or that of the nearest it lies in."""
    one: QWidget | None = widget
    while one is not None and not one.styleSheet():
        one = one.parentWidget()
    return one.styleSheet() if one is not None else ""
