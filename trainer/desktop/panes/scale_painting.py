"""What every painted scale of a clearance has: a head with its name and value, the allowed band, and a line below."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from trainer.desktop.letters import make_heavy, make_smaller
from trainer.desktop.theme import PALETTE

PAD_PX = 10.0
SMALL_SHARE = 0.79
"""Size of what stands below a scale, in sizes of its name."""
MIDDLE = Qt.AlignmentFlag.AlignVCenter


def find_colour(*, is_inside: bool) -> QColor:
    """Find the colour of a value that lies inside its limits, or of one that does not."""
    return PALETTE.accent if is_inside else PALETTE.in_the_way


def paint_head(
    painter: QPainter, font: QFont, top: QRectF, name: str, value: str, *, is_inside: bool
) -> None:
    """Paint name and value side by side; a sign says whether it is inside, not the colour alone."""
    heavy, told = make_heavy(font), f"{'✓' if is_inside else '✗'} {value}"
    painter.setFont(heavy)
    painter.setPen(find_colour(is_inside=is_inside))
    painter.drawText(top, Qt.AlignmentFlag.AlignRight | MIDDLE, told)
    room = top.width() - QFontMetricsF(heavy).horizontalAdvance(told) - PAD_PX
    painter.setFont(font)
    painter.setPen(PALETTE.ink)
    short = QFontMetricsF(font).elidedText(name, Qt.TextElideMode.ElideRight, room)
    painter.drawText(top, Qt.AlignmentFlag.AlignLeft | MIDDLE, short)


def paint_band(painter: QPainter, band: QRectF) -> None:
    """Paint what is allowed."""
    painter.setPen(QPen(PALETTE.ink, 1.3))
    painter.setBrush(PALETTE.faint)
    painter.drawRect(band)


def paint_below(
    painter: QPainter, font: QFont, below: QRectF, text: str, *, wraps: bool = False
) -> None:
    """Paint what is told below a scale, in small letters; they wrap where there is room for two lines."""
    wrap = Qt.TextFlag.TextWordWrap if wraps else Qt.TextFlag(0)
    painter.setFont(make_smaller(font, SMALL_SHARE))
    painter.setPen(PALETTE.quiet_ink)
    painter.drawText(below, Qt.AlignmentFlag.AlignLeft | wrap, text)
