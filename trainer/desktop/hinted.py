"""A field whose hint is never cut off: where it finds no room it goes out of sight, and the field's tip tells it."""

from __future__ import annotations

from PySide6.QtCore import QEvent
from PySide6.QtGui import QHelpEvent, QResizeEvent
from PySide6.QtWidgets import QLineEdit, QStyle, QStyleOptionFrame, QToolTip

RIM_PX = 2
"""What Qt leaves free on either side of what is written in a field."""


class HintedEdit(QLineEdit):
    """Show the hint while it fits; `hint` stays whole."""

    def __init__(self) -> None:
        super().__init__()
        self.hint = ""

    def setPlaceholderText(self, text: str) -> None:
        """Take a hint."""
        self.hint = text
        self._fit()

    @property
    def is_cut(self) -> bool:
        """Is there no room for the whole hint?"""
        option, part = QStyleOptionFrame(), QStyle.SubElement.SE_LineEditContents
        self.initStyleOption(option)
        room_px = self.style().subElementRect(part, option, self).width() - 2 * RIM_PX
        return self.fontMetrics().horizontalAdvance(self.hint) > room_px

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the hint."""
        super().resizeEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        """Fit the hint to letters of another size."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._fit()

    def event(self, event: QEvent) -> bool:
        """Tell a hint that is out of sight, and what the tip says besides."""
        if isinstance(event, QHelpEvent) and self.is_cut:
            told = "\n".join(one for one in (self.hint, self.toolTip()) if one)
            QToolTip.showText(event.globalPos(), told, self)
            return True
        return super().event(event)

    def _fit(self) -> None:
        shown = "" if self.is_cut else self.hint
        if shown != self.placeholderText():
            super().setPlaceholderText(shown)
