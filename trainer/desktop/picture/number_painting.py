"""Paint numbers in rings on leaders, names beside them, and the name of the one under the pointer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen

from trainer.desktop.theme import PALETTE
from trainer.stage.lanes import Lane
from trainer.stage.marks import Marks

EDGE_PX = 5.0
BETWEEN_PX = 5.0
THIN_PX, STRONG_PX = 1.2, 2.4
DOT_PX = 3.6
PALE_ALPHA = 200
INWARDS = {Lane.LEFT: (1, 0), Lane.RIGHT: (-1, 0), Lane.TOP: (0, 1), Lane.BOTTOM: (0, -1)}


@dataclass(frozen=True, slots=True, eq=False)
class Label:
    """A number as it stands in the picture: the spot of its leader, its ring, and all that it takes."""

    part: str
    piece: str
    text: str
    name: str
    spot: QPointF
    ring: QRectF
    frame: QRectF
    lane: Lane


def make_letters(font: QFont) -> QFont:
    """Make the letters of numbers and names: a little smaller than the window's, and bold."""
    made = QFont(font)
    made.setBold(True)
    size = font.pixelSize()
    if size > 0:
        made.setPixelSize(round(0.85 * size))
    else:
        made.setPointSizeF(0.85 * font.pointSizeF())
    return made


def paint_labels(
    painter: QPainter, labels: Sequence[Label], marks: Marks, hovered: str, *, is_named: bool
) -> None:
    """Paint labels: all leaders first, then rings, so that no leader runs over a number.

    What is spoken of has a filled ring and a strong leader, and so differs by more than its colour.
    """
    pale = QColor(PALETTE.ground)
    pale.setAlpha(PALE_ALPHA)
    leaders = [QLineF(label.spot, label.ring.center()) for label in labels]
    # A pale line under each leader keeps it seen over dark parts, and leaders apart from edges of parts.
    painter.setPen(QPen(pale, 4.0))
    painter.drawLines(leaders)
    for leader, label in zip(leaders, labels, strict=True):
        tone, is_spoken = _find_tone(label, marks)
        strong = STRONG_PX if is_spoken or label.part == hovered else THIN_PX
        painter.setPen(QPen(tone, strong))
        painter.drawLine(leader)
        painter.setPen(QPen(pale, 1.5))
        painter.setBrush(tone)
        painter.drawEllipse(label.spot, DOT_PX, DOT_PX)
    for label in labels:
        if is_named:
            _paint_name(painter, label, pale)
        tone, is_spoken = _find_tone(label, marks)
        strong = STRONG_PX if is_spoken or label.part == hovered else THIN_PX
        painter.setPen(QPen(tone, strong))
        painter.setBrush(tone if is_spoken else PALETTE.paper)
        painter.drawEllipse(label.ring)
        painter.setPen(PALETTE.on_accent if is_spoken else PALETTE.ink)
        painter.drawText(label.ring, Qt.AlignmentFlag.AlignCenter, label.text)


def _find_tone(label: Label, marks: Marks) -> tuple[QColor, bool]:
    """Find the colour of a label, and whether its part is spoken of."""
    if label.piece in marks.in_the_way:
        return PALETTE.in_the_way, True
    is_lit = label.piece in marks.lit
    return (PALETTE.accent if is_lit else PALETTE.ink), is_lit


def _paint_name(painter: QPainter, label: Label, pale: QColor) -> None:
    beside = QRectF(label.frame)
    is_left = label.lane is Lane.LEFT
    if is_left:
        beside.setRight(label.ring.left())
    else:
        beside.setLeft(label.ring.right())
    side = Qt.AlignmentFlag.AlignLeft if is_left else Qt.AlignmentFlag.AlignRight
    painter.fillRect(beside, pale)
    painter.setPen(PALETTE.ink)
    painter.drawText(beside, side | Qt.AlignmentFlag.AlignVCenter, label.name)


def paint_hovered(painter: QPainter, label: Label, name: str, width_px: float) -> None:
    """Write the whole name at the number under the pointer, inwards of it, in a picture of that width."""
    letters = QFontMetricsF(painter.font())
    tag = QRectF(0, 0, letters.horizontalAdvance(name) + 18, label.ring.height())
    tag.moveCenter(label.ring.center())
    across, down = INWARDS[label.lane]
    tag.translate(
        across * (tag.width() + label.ring.width() + 8) / 2, down * (label.ring.height() + 4)
    )
    tag.moveLeft(min(max(tag.left(), EDGE_PX), width_px - tag.width() - EDGE_PX))
    painter.setPen(QPen(PALETTE.ink, 1.3))
    painter.setBrush(PALETTE.paper)
    painter.drawRoundedRect(tag, 3, 3)
    painter.drawText(tag, Qt.AlignmentFlag.AlignCenter, name)


def paint_note(painter: QPainter, text: str, area: QRectF, taken: Sequence[QRectF]) -> None:
    """Write a quiet note in a corner of an area where it covers nothing; where there is none it is left out."""
    letters = QFontMetricsF(painter.font())
    room = QRectF(0, 0, letters.horizontalAdvance(text) + 12, letters.height() + 4)
    inner = area.adjusted(EDGE_PX, EDGE_PX, -EDGE_PX, -EDGE_PX)
    right, bottom = inner.right() - room.width(), inner.bottom() - room.height()
    for left, top in (
        (right, bottom),
        (inner.left(), bottom),
        (right, inner.top()),
        (inner.left(), inner.top()),
    ):
        room.moveTo(left, top)
        if not any(rect.intersects(room) for rect in taken):
            pale = QColor(PALETTE.ground)
            pale.setAlpha(PALE_ALPHA)
            painter.fillRect(room, pale)
            painter.setPen(PALETTE.quiet_ink)
            painter.drawText(room, Qt.AlignmentFlag.AlignCenter, text)
            return
