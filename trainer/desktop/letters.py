"""Letters made from other letters, for whatever paints its own lines: heavier, smaller."""

from __future__ import annotations

from PySide6.QtGui import QFont


def make_heavy(font: QFont) -> QFont:
    """Make the same letters, bold."""
    made = QFont(font)
    made.setBold(True)
    return made


def make_smaller(font: QFont, share: float) -> QFont:
    """Make the same letters, so many times as large; their size may be given in pixels or in points."""
    made = QFont(font)
    if font.pixelSize() > 0:
        made.setPixelSize(round(share * font.pixelSize()))
    else:
        made.setPointSizeF(share * font.pointSizeF())
    return made
