"""A slider with a tick for every step: a click goes there, and the way so far is drawn full."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QSlider

from trainer.desktop.theme import PALETTE

TICKS_PER_STEP = 100
HANDLE_SHARE = 0.3


class StepSlider(QSlider):
    """Slide over whole steps of `TICKS_PER_STEP` each, and between them."""

    def __init__(self) -> None:
        super().__init__(Qt.Orientation.Horizontal)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._done: frozenset[int] = frozenset()

    def show_done(self, steps: Iterable[int]) -> None:
        """Show steps, counted from 0, as done, wherever the handle stands."""
        self._done = frozenset(steps)
        self.update()

    def sizeHint(self) -> QSize:
        """Take room for a handle that a finger can hit."""
        return QSize(300, round(2.1 * self.fontMetrics().height()))

    def minimumSizeHint(self) -> QSize:
        """Take the same height, however narrow."""
        return QSize(120, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the line, a tick for each step, the way so far, and the handle."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        left, right, middle = self._ends()
        at = left + (right - left) * self.value() / max(self.maximum(), 1)
        tick = 0.16 * self.height()
        steps = self.maximum() // TICKS_PER_STEP
        for step in range(steps + 1):
            x = left + (right - left) * step / max(steps, 1)
            is_passed = x <= at and self.isEnabled()
            long = 1.7 if step in (0, steps) else 1.0
            painter.setPen(QPen(PALETTE.accent if is_passed else PALETTE.quiet_ink, 1.5))
            if not self.isEnabled():
                painter.setPen(QPen(PALETTE.rule, 1.5))
            painter.drawLine(QPointF(x, middle - tick * long), QPointF(x, middle + tick * long))
        painter.setPen(QPen(PALETTE.rule, 4, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        painter.drawLine(QPointF(left, middle), QPointF(right, middle))
        if not self.isEnabled():
            return
        painter.setPen(QPen(PALETTE.accent, 6, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        painter.drawLine(QPointF(left, middle), QPointF(at, middle))
        each = (right - left) / max(steps, 1)
        for step in self._done:
            x = left + step * each
            painter.drawLine(QPointF(x, middle), QPointF(x + each, middle))
        self._paint_handle(painter, QPointF(at, middle))

    def _paint_handle(self, painter: QPainter, at: QPointF) -> None:
        radius = HANDLE_SHARE * self.height()
        if self.hasFocus():
            painter.setPen(QPen(PALETTE.in_the_way, 2.5))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawEllipse(at, radius + 4, radius + 4)
        painter.setPen(QPen(PALETTE.ink, 2))
        painter.setBrush(PALETTE.paper)
        painter.drawEllipse(at, radius, radius)
        painter.setBrush(PALETTE.accent)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.drawEllipse(at, radius / 2, radius / 2)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Go where it is pressed."""
        if event.button() == Qt.MouseButton.LeftButton and self.isEnabled():
            self.setSliderDown(True)
            self._go_to(event.position().x())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Follow the hand."""
        if self.isSliderDown():
            self._go_to(event.position().x())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        del event
        self.setSliderDown(False)

    def _go_to(self, x_px: float) -> None:
        left, right, _ = self._ends()
        share = (x_px - left) / max(right - left, 1.0)
        self.setValue(round(min(max(share, 0.0), 1.0) * self.maximum()))

    def _ends(self) -> tuple[float, float, float]:
        rim = HANDLE_SHARE * self.height() + 6
        return rim, self.width() - rim, self.height() / 2
