"""A small tag at the pointer with the name of what it points at."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen

from trainer.desktop.picture.tracing import Tracing
from trainer.desktop.picture.view import PumpView
from trainer.desktop.theme import PALETTE

AWAY_PX = (16.0, 20.0)
"""How far right of the pointer and below it the tag stands, so that neither hides what is pointed at."""


class PointedTag(Tracing):
    """Name what the pointer is over; stays where the pointer came upon it, so that little is painted anew."""

    is_above_names = True
    is_handle = True

    def __init__(self) -> None:
        self.text = ""
        self._at = QPointF()

    def point(self, text: str, at: QPointF | None) -> None:
        """Name what lies at a spot; "" names nothing."""
        self.text = text if at is not None else ""
        self._at = at or self._at

    def paint(self, painter: QPainter, view: PumpView) -> None:
        """Paint the tag inside the picture, beside the pointer."""
        if not self.text:
            return
        font = QFont(view.font())
        painter.setFont(font)
        letters = QFontMetricsF(font)
        frame = letters.boundingRect(self.text).adjusted(-8, -4, 8, 4)
        frame.moveTopLeft(self._at + QPointF(*AWAY_PX))
        area = QRectF(view.rect()).adjusted(4, 4, -4, -4)
        if frame.bottom() > area.bottom():
            frame.moveBottom(self._at.y() - AWAY_PX[1] / 2)
        frame.moveLeft(max(min(frame.left(), area.right() - frame.width()), area.left()))
        painter.setPen(QPen(PALETTE.ink, 1))
        painter.setBrush(PALETTE.paper)
        painter.drawRect(frame)
        painter.setPen(PALETTE.ink)
        painter.drawText(frame, Qt.AlignmentFlag.AlignCenter, self.text)
