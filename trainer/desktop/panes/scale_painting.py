"""What every painted scale of a clearance has: a head with its name and value, the allowed band, and a line below."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QWidget

from trainer.desktop.letters import make_heavy, make_smaller
from trainer.desktop.theme import PALETTE

PAD_PX = 10.0
SMALL_SHARE = 0.79
"""Size of what stands below a scale, in sizes of its name."""
HEAD_LINES = 1.25
"""How high a head of one line is, in lines."""
WRAPPED = Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap
USUAL_LINE_PX = 21.0
MIDDLE = Qt.AlignmentFlag.AlignVCenter


def find_colour(*, is_inside: bool) -> QColor:
    """Find the colour of a value that lies inside its limits, or of one that does not."""
    return PALETTE.accent if is_inside else PALETTE.in_the_way


def find_inner(scale: QWidget) -> QRectF:
    """Find the room inside the rim of a scale."""
    return QRectF(scale.rect()).adjusted(PAD_PX + 4, PAD_PX, -PAD_PX - 4, -PAD_PX)


def ask_for_height(scale: QWidget) -> None:
    """Ask for the height that its width needs, once a scale got another."""
    if scale.sizeHint().height() != scale.height():
        scale.updateGeometry()


def measure_head(font: QFont, width_px: float, name: str, value: str) -> float:
    """Measure how high a head is: a line, or where name and value have no room side by side, as many as it takes."""
    line = QFontMetricsF(font).height()
    if _find_room(font, width_px, value) >= QFontMetricsF(font).horizontalAdvance(name):
        return HEAD_LINES * line
    return measure_wrapped(font, width_px, name) + HEAD_LINES * line


def paint_head(
    painter: QPainter, font: QFont, top: QRectF, name: str, value: str, *, is_inside: bool
) -> None:
    """Paint name and value side by side, or the name above the value, which keeps to the right.

    A sign says whether it is inside, not the colour alone.
    """
    last = QRectF(top)
    last.setTop(top.bottom() - HEAD_LINES * QFontMetricsF(font).height())
    painter.setFont(make_heavy(font))
    painter.setPen(find_colour(is_inside=is_inside))
    painter.drawText(last, Qt.AlignmentFlag.AlignRight | MIDDLE, _tell(value, is_inside=is_inside))
    painter.setFont(font)
    painter.setPen(PALETTE.ink)
    if last.top() > top.top():
        painter.drawText(top, WRAPPED, name)
    else:
        painter.drawText(top, Qt.AlignmentFlag.AlignLeft | MIDDLE, name)


def measure_wrapped(font: QFont, width_px: float, text: str) -> float:
    """Measure how high a text is when its words wrap."""
    room = QRectF(0.0, 0.0, max(width_px, 1.0), 1e4)
    return QFontMetricsF(font).boundingRect(room, WRAPPED, text).height()


def measure_below(font: QFont, width_px: float, text: str) -> float:
    """Measure how high it is what is told below a scale."""
    return measure_wrapped(make_smaller(font, SMALL_SHARE), width_px, text)


def _find_room(font: QFont, width_px: float, value: str) -> float:
    told = _tell(value, is_inside=False)
    return width_px - QFontMetricsF(make_heavy(font)).horizontalAdvance(told) - PAD_PX


def _tell(value: str, *, is_inside: bool) -> str:
    return f"{'✓' if is_inside else '✗'} {value}"


def find_growth(font: QFont) -> float:
    """Find how many times as large what is painted must be than with usual letters, to be seen as well as they are."""
    return max(QFontMetricsF(font).height() / USUAL_LINE_PX, 1.0)


def paint_band(painter: QPainter, band: QRectF) -> None:
    """Paint what is allowed."""
    painter.setPen(QPen(PALETTE.ink, 1.3))
    painter.setBrush(PALETTE.faint)
    painter.drawRect(band)


def paint_below(painter: QPainter, font: QFont, below: QRectF, text: str) -> None:
    """Paint what is told below a scale, in small letters that wrap."""
    painter.setFont(make_smaller(font, SMALL_SHARE))
    painter.setPen(PALETTE.quiet_ink)
    painter.drawText(below, WRAPPED, text)
