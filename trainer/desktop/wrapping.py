"""A button whose words wrap where there is no room for one line: large letters in a narrow pane hide none of them."""

from __future__ import annotations

import re

from PySide6.QtCore import QSize
from PySide6.QtGui import QFontMetrics, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QPushButton, QSizePolicy, QStyleOptionButton

PART = re.compile(r"( ?)([^ /]*/?)")
"""A word, or a part of a place up to its slash, and whether a gap stands before it."""
SPARE_PX = 2
"""Widths are rounded; a word must not wrap for less than this."""


class TextButton(QPushButton):
    """Wrap the text on the button; `text()` stays whole."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self._lines: list[str] = []
        self._is_placed = False
        policy = self.sizePolicy()
        policy.setHorizontalPolicy(
            QSizePolicy.Policy.Preferred
        )  # it may be narrower than its one line
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def initStyleOption(self, option: QStyleOptionButton) -> None:
        """Paint the text in as many lines as it needs; the size that it likes is that of one line."""
        super().initStyleOption(option)
        if self._lines:
            option.text = "\n".join(self._lines)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Wrap the text for the width there is."""
        self._lines = self._wrap(self.width())
        super().paintEvent(event)
        self._lines = []

    def sizeHint(self) -> QSize:
        """Like one line, and the height that the words take at the width there is."""
        hint = super().sizeHint()
        more = len(self._wrap(self.width())) - 1 if self._is_placed else 0
        return QSize(hint.width(), hint.height() + more * self._letters().lineSpacing())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Ask for another height where the words wrap otherwise now."""
        super().resizeEvent(event)
        self._is_placed = True
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()

    def minimumSizeHint(self) -> QSize:
        """Be no narrower than the longest word."""
        hint = super().minimumSizeHint()
        letters = self._letters()
        words = [letters.horizontalAdvance(word) for word, _ in _split(self.text())]
        longest = max(words, default=0)
        return QSize(min(hint.width(), longest + self._round_px()), hint.height())

    def hasHeightForWidth(self) -> bool:
        """Its height depends on its width."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Tell how high it is at a width."""
        more = len(self._wrap(width)) - 1
        return super().sizeHint().height() + more * self._letters().lineSpacing()

    def _letters(self) -> QFontMetrics:
        self.ensurePolished()
        return self.fontMetrics()

    def _round_px(self) -> int:
        """Find what stands beside the text: padding, rim and sign."""
        return super().sizeHint().width() - self._letters().horizontalAdvance(self.text())

    def _wrap(self, width_px: int) -> list[str]:
        """Wrap the text between words."""
        letters, room = self._letters(), width_px - self._round_px() + SPARE_PX
        lines = [""]
        for word, gap in _split(self.text()):
            longer = f"{lines[-1]}{gap}{word}" if lines[-1] else word
            if lines[-1] and letters.horizontalAdvance(longer) > room:
                lines.append(word)
            else:
                lines[-1] = longer
        if self.text().startswith(" "):  # the gap between a sign and the text
            lines[0] = f" {lines[0]}"
        return lines


def _split(text: str) -> list[tuple[str, str]]:
    """Split a text where a line may end, into parts each with the gap before it."""
    return [(part, gap) for gap, part in PART.findall(text) if part]
